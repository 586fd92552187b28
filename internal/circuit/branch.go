package circuit

import (
	"cmp"
	"math"
	"slices"
)

// judge holds every limit of a field against every choice of alarms: by a bound where that does, else by dividing the
// choices until each is bounded or was solved.
func (f *field) judge(v *Verdict, alarms Alarms) {
	root := f.all(alarms)
	s := &searcher{field: f, verdict: v, caps: newCaps(len(f.live)), chosen: make([]bool, len(f.live)), high: f.narrow(&root)}
	tightest, least := -1, math.Inf(-1)
	var open []int
	past := make([]float64, len(f.rows))
	for i := range f.rows {
		past[i] = f.most(&f.rows[i], &root, s.high, s.caps)
		if past[i] > f.tolerance(&f.rows[i]) {
			open = append(open, i)
		}
		if f.rows[i].limit == LeastVolts && past[i] > least {
			tightest, least = i, past[i]
		}
	}
	if tightest >= 0 {
		s.nearest(tightest, &root, least)
	}
	slices.SortStableFunc(open, func(a, b int) int {
		return cmp.Compare(past[b]/max(f.rows[b].needs, 1e-9), past[a]/max(f.rows[a].needs, 1e-9))
	})
	s.open(open, &root)
}

// firstLooks is how many rows are first solved with the alarms that their bounds are about. Points that lie beside each other
// are about much the same alarms.
const firstLooks = 12

// open looks into the rows that the first bound left, the one that it leaves furthest beyond its limit first. Each is
// first solved with the alarms that the bound is about; once a state was found that breaks a limit nothing is left to prove.
func (s *searcher) open(rows []int, root *choice) {
	for _, i := range rows[:min(len(rows), firstLooks)] {
		s.most(&s.rows[i], root, s.high, s.caps)
		s.caps.worst(root, s.rows[i].weight, s.chosen)
		if s.broken(s.chosen) && math.IsInf(s.verdict.Fails.By, 1) {
			return
		}
	}
	for _, i := range rows {
		if s.verdict.Fails != nil {
			return
		}
		s.decide(i, *root)
	}
}

// tolerance is how far rounding may put what just reaches a limit beyond it.
func (f *field) tolerance(r *row) float64 {
	if r.at >= 0 {
		return slack * f.c.top
	}
	return slack * max(math.Abs(r.needs), 1e-6)
}

// searcher decides the rows of a field that a first bound left open.
type searcher struct {
	*field
	verdict *Verdict
	caps    *caps
	chosen  []bool
	high    []float64
}

// nearest solves the choice that the bound of a row of volts is about, to say what is left to its device.
func (s *searcher) nearest(i int, root *choice, past float64) {
	r := &s.rows[i]
	s.most(r, root, s.high, s.caps)
	s.caps.worst(root, r.weight, s.chosen)
	s.verdict.Solved++
	if worst, _ := s.past(s.chosen); worst == nil {
		return
	}
	// With these alarms another device may have less left.
	n := Nearest{Point: -1, At: s.situation(s.chosen)}
	for k := range s.rows {
		if q := &s.rows[k]; q.limit == LeastVolts {
			if margin := Volts(s.w.v[q.point] - q.needs); n.Point < 0 || margin < n.Margin {
				n.Point, n.Volts, n.Margin = q.point, Volts(s.w.v[q.point]), margin
			}
		}
	}
	n.Floor = min(n.Margin, Volts(-past))
	if is := s.verdict.Nearest; is == nil || n.Margin < is.Margin {
		if is != nil {
			n.Floor = min(n.Floor, is.Floor)
		}
		s.verdict.Nearest = &n
	} else {
		is.Floor = min(is.Floor, n.Floor)
	}
}

// effort is how many sets of choices are looked at for one limit of one arc before it is given up as not shown.
func (s *searcher) effort() int {
	if len(s.verdict.Bounds) > 0 {
		return 10 // it is not shown already
	}
	return max(40, min(4000, 1_500_000/(len(s.live)*len(s.live))))
}

// decide divides the choices until the row is proved, or a state was solved that breaks a limit, or the effort is spent.
func (s *searcher) decide(i int, root choice) {
	r := &s.rows[i]
	stack := []choice{root}
	effort, past := s.effort(), 0.0
	left := effort
	for len(stack) > 0 {
		ch := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		over := s.most(r, &ch, s.high, s.caps)
		if over <= s.tolerance(r) {
			continue
		}
		high := s.high
		if left < effort {
			high = s.narrow(&ch)
		}
		over = s.most(r, &ch, high, s.caps)
		if over <= s.tolerance(r) {
			continue
		}
		s.caps.worst(&ch, r.weight, s.chosen)
		if s.broken(s.chosen) {
			return
		}
		at := s.divide(r, &ch)
		if at < 0 {
			continue // one choice, and it was solved
		}
		if left--; left <= 0 {
			past = max(past, over)
			break
		}
		stack = s.halve(stack, &ch, at)
	}
	if past > 0 {
		s.verdict.Bounds = append(s.verdict.Bounds, Bound{Limit: r.limit, Point: r.point, Fault: s.stood.faults, Past: past})
	}
}

// broken solves one choice and notes a limit that it breaks.
func (s *searcher) broken(in []bool) bool {
	s.verdict.Solved++
	r, by := s.past(in)
	if r == nil && !math.IsInf(by, 1) || r != nil && by <= s.tolerance(r) {
		return false
	}
	failure := Failure{Limit: OperatingPoint, At: s.situation(in), Point: -1, By: by}
	if r != nil {
		failure.Limit, failure.Point, failure.Needs = r.limit, r.point, r.needs
		failure.Is = r.needs + by
		if r.at >= 0 {
			failure.Is = r.needs - by
		}
	}
	s.verdict.fail(failure)
	return true
}

func (s *searcher) situation(in []bool) Situation {
	at := Situation{Faults: s.stood.faults, Volts: s.c.loop.Out.Volts, Alarm: []int{}}
	for i, p := range s.live {
		if in[i] {
			at.Alarm = append(at.Alarm, p)
		}
	}
	slices.Sort(at.Alarm)
	return at
}

// divide picks the device on which the choices are told apart: the one whose alarm adds most to the sum, and of equal ones
// the furthest out. -1: nothing is left to choose.
func (s *searcher) divide(r *row, ch *choice) int {
	if ch.left == 0 {
		return -1
	}
	best, most := -1, 0.0
	for i := range s.live {
		if ch.in[i] || ch.out[i] {
			continue
		}
		more := math.Abs(r.weight[i]) * (s.caps.alarmHigh[i] - s.caps.restHigh[i])
		if best < 0 || cmp.Compare(more, most) > 0 || more == most && s.kin[i].depth > s.kin[best].depth {
			best, most = i, more
		}
	}
	return best
}

// halve puts the choices without a device and those with it on the stack. Of devices alike and in line an alarm further out
// is never the lesser evil, so those nearer go out with one, and those further come in with it.
func (s *searcher) halve(stack []choice, ch *choice, at int) []choice {
	without := choice{slices.Clone(ch.in), slices.Clone(ch.out), ch.left, ch.low}
	with := choice{slices.Clone(ch.in), slices.Clone(ch.out), ch.left, ch.low}
	possible := true
	for i, k := range s.kin {
		if k.group != s.kin[at].group {
			continue
		}
		if k.depth <= s.kin[at].depth && !without.in[i] {
			without.out[i] = true
		}
		if k.depth >= s.kin[at].depth && !with.in[i] {
			possible = possible && !with.out[i]
			with.in[i] = true
			with.left--
		}
	}
	stack = append(stack, without)
	if possible && with.left >= 0 {
		stack = append(stack, with)
	}
	return stack
}
