package address

import (
	"cmp"
	"slices"

	"sootline"
)

// The codes of the findings.
const (
	Twice   = "number-twice"   // two devices answer to one number
	Unset   = "number-unset"   // still at the number of a device that nobody has set
	Outside = "number-outside" // the loop does not have the number
	Meant   = "number-meant"   // two devices should have one number
	Unable  = "number-unable"  // devices of its type cannot be set to it
	Missing = "number-missing" // neither wanted, nor known how it stands
	Differs = "number-differs" // it stands at another number than wanted
)

// Check looks at the numbers and settings of every loop of the register. The number that
// counts is the one at which a device stands, else the one it should have. The
// findings come loop by loop, and within one in the order of the codes above.
// A number is a plain count, without unit.
func Check(r *sootline.Register) []sootline.Finding {
	var findings []sootline.Finding
	points := r.Points()
	for start, end := 0, 0; start < len(points); start = end {
		id := points[start].LoopID()
		for end = start; end < len(points) && points[end].LoopID() == id; end++ {
		}
		for _, share := range ranges(r, r.Loop(id), points[start:end]) {
			l := newCensus(r, r.Loop(id), share)
			findings = slices.Concat(findings, l.twice(), l.unset(), l.outside(), l.meant(), l.unable(), l.missing(), l.differs())
		}
		findings = append(findings, settings(r, id, points[start:end])...)
	}
	return findings
}

// ranges splits the points of a loop by the range that they take numbers of.
func ranges(r *sootline.Register, facts sootline.Loop, points []*sootline.Point) [][]*sootline.Point {
	if !facts.Separate {
		return [][]*sootline.Point{points}
	}
	split := make([][]*sootline.Point, 2)
	for _, p := range points {
		i := rangeOf(r.Sheet(p.Type))
		split[i] = append(split[i], p)
	}
	return split
}

// census is one loop with its devices and who takes which number.
type census struct {
	sootline.Loop
	devices []taker
	goals   map[int][]taker // who should have a number
	takers  map[int][]taker // who answers to a number; devices still unset are left out
	wanted  map[int]bool    // numbers that some device takes or should take
}

// taker is a point with the numbers that it answers to, first to last; both
// are 0 when no number is known.
type taker struct {
	*sootline.Point
	kind        sootline.DeviceKind
	width       int
	setter      Setter
	first, last int
}

func newCensus(r *sootline.Register, facts sootline.Loop, points []*sootline.Point) *census {
	l := &census{Loop: facts, goals: map[int][]taker{}, takers: make(map[int][]taker, len(points)), wanted: make(map[int]bool, len(points))}
	for _, p := range points {
		sheet := r.Sheet(p.Type)
		d := taker{Point: p, width: sheet.Numbers()}
		if sheet != nil {
			d.kind = sheet.Kind
		}
		d.setter, _ = SetterOf(sheet) // what cannot be read has a finding of its own
		if d.first = p.Number(); d.first != 0 {
			d.last = d.first + d.width - 1
		}
		l.devices = append(l.devices, d)
		l.claim(d)
	}
	return l
}

// claim marks the numbers that a device answers to and those it should have.
func (l *census) claim(d taker) {
	for i := range d.width {
		if d.Wanted != 0 {
			l.wanted[d.Wanted+i] = true
			l.goals[d.Wanted+i] = append(l.goals[d.Wanted+i], d)
		}
		if d.first != 0 && !l.isUnset(d) {
			l.wanted[d.first+i] = true
			l.takers[d.first+i] = append(l.takers[d.first+i], d)
		}
	}
}

// isUnset reports whether a device carries the number of one nobody has set.
func (l *census) isUnset(d taker) bool { return l.Unset != 0 && d.first == l.Unset }

// free gives the lowest number from which a device of that width fits; ok is
// false when the loop is full.
func (l *census) free(width int) (number int, ok bool) {
	run := 0
	for n := max(l.First, 1); n <= l.Last; n++ {
		if run++; l.wanted[n] || n == l.Unset {
			run = 0
		}
		if run == width {
			return n - width + 1, true
		}
	}
	return 0, false
}

// shared lists the runs of numbers that the same several devices take.
func shared(all map[int][]taker) []run {
	var numbers []int
	for n, takers := range all {
		if len(takers) > 1 {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	var runs []run
	for _, n := range numbers {
		takers := all[n]
		if last := len(runs) - 1; last >= 0 && runs[last].last == n-1 && slices.Equal(runs[last].takers, takers) {
			runs[last].last = n
			continue
		}
		runs = append(runs, run{n, n, takers})
	}
	return runs
}

// run is a stretch of numbers and the devices that answer to all of them.
type run struct {
	first, last int
	takers      []taker
}

// byNumber orders devices by the number they answer to, then as the register
// lists them.
func byNumber(devices []taker) []taker {
	return slices.SortedStableFunc(slices.Values(devices), func(a, b taker) int { return cmp.Compare(a.first, b.first) })
}
