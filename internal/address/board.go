package address

import (
	"maps"
	"slices"
)

// belief is where the devices are thought to answer, and which answers are
// accounted for otherwise.
type belief struct {
	number    []int        // by device; 0: it does not answer
	accounted map[int]bool // answers of devices that the register does not know, or of a wrong type
}

// after gives the belief that an explanation leads to.
func (b belief) after(e Explanation) belief {
	b = belief{slices.Clone(b.number), maps.Clone(b.accounted)}
	for _, m := range e.Moved {
		b.number[m.Device] = m.At
	}
	for _, a := range e.accounted {
		b.accounted[a] = true
	}
	return b
}

// board lays a belief out beside what answers, so that trying an explanation
// costs no more than the numbers it touches.
type board struct {
	*scene
	belief
	own, wide [2][][]int // devices by range and number: their first one, their later ones
	traces    [2][][]Trace
	tally     tally
	seen      [2][]int // the last trial that touched a number
	trial     int
}

func (s *scene) newBoard(from belief) *board {
	b := &board{scene: s, belief: from, tally: newTally(s.types)}
	for r := range s.at {
		n := len(s.at[r])
		b.own[r], b.wide[r], b.traces[r], b.seen[r] = make([][]int, n), make([][]int, n), make([][]Trace, n), make([]int, n)
	}
	for i, n := range from.number {
		b.put(i, n)
	}
	for r := range s.at {
		for n := range s.at[r] {
			b.traces[r][n] = b.compare(Range(r), n)
			b.count(spot{Range(r), n}, b.traces[r][n], 1)
		}
	}
	return b
}

// all lists the traces by range and number.
func (b *board) all() []Trace {
	return slices.Concat(slices.Concat(b.traces[0]...), slices.Concat(b.traces[1]...))
}

// put lays a device down at n.
func (b *board) put(i, n int) { b.eachNumber(i, n, insert) }

// lift takes a device away from n.
func (b *board) lift(i, n int) { b.eachNumber(i, n, remove) }

// eachNumber changes the list of every number that a device takes from n.
func (b *board) eachNumber(i, n int, change func([]int, int) []int) {
	device := &b.loop.Devices[i]
	r := b.loop.rangeOf(device)
	if n == 0 || n >= len(b.own[r]) {
		return
	}
	b.own[r][n] = change(b.own[r][n], i)
	for k := n + 1; k < min(n+device.width(), len(b.wide[r])); k++ {
		b.wide[r][k] = change(b.wide[r][k], i)
	}
}

func insert(list []int, i int) []int {
	at, _ := slices.BinarySearch(list, i)
	return slices.Insert(list, at, i)
}

func remove(list []int, i int) []int {
	at, _ := slices.BinarySearch(list, i)
	return slices.Delete(list, at, at+1)
}

// spot is a number of a range.
type spot struct {
	r Range
	n int
}

// touched lists the numbers that an explanation bears on, each once.
func (b *board) touched(e Explanation) []spot {
	b.trial++
	var spots []spot
	add := func(r Range, from, width int) {
		for n := from; n < min(from+width, len(b.seen[r])); n++ {
			if from > 0 && b.seen[r][n] != b.trial {
				b.seen[r][n] = b.trial
				spots = append(spots, spot{r, n})
			}
		}
	}
	for _, m := range e.Moved {
		device := &b.loop.Devices[m.Device]
		add(b.loop.rangeOf(device), b.number[m.Device], device.width())
		add(b.loop.rangeOf(device), m.At, device.width())
	}
	for _, a := range e.accounted {
		add(b.heardIn(&b.answers[a]), b.answers[a].Number, 1)
	}
	return spots
}

// try says how many traces an explanation would clear and the odds of those it
// would leave. It leaves the board as it was.
func (b *board) try(e Explanation) (clears int, left odds) {
	spots := b.touched(e)
	for _, at := range spots {
		clears += len(b.traces[at.r][at.n])
		b.count(at, b.traces[at.r][at.n], -1)
	}
	b.lay(e)
	fresh := make([][]Trace, len(spots))
	for k, at := range spots {
		fresh[k] = b.compare(at.r, at.n)
		clears -= len(fresh[k])
		b.count(at, fresh[k], 1)
	}
	left = b.ofTraces(b.tally)
	for k, at := range spots {
		b.count(at, fresh[k], -1)
	}
	b.take(e)
	for _, at := range spots {
		b.count(at, b.traces[at.r][at.n], 1)
	}
	return clears, left
}

// lay puts the devices of an explanation where it has them.
func (b *board) lay(e Explanation) {
	for _, m := range e.Moved {
		b.lift(m.Device, b.number[m.Device])
		b.put(m.Device, m.At)
	}
	for _, a := range e.accounted {
		b.accounted[a] = true
	}
}

// take undoes lay.
func (b *board) take(e Explanation) {
	for _, m := range e.Moved {
		b.lift(m.Device, m.At)
		b.put(m.Device, b.number[m.Device])
	}
	for _, a := range e.accounted {
		delete(b.accounted, a)
	}
}

// compare looks at one number. Where several devices are thought to be, one
// answer of any of them will do, for panels hear only one. A later number of a
// wide device may answer or not, and so may one at a number that no panel asks.
func (b *board) compare(r Range, n int) []Trace {
	heard, own, wide := b.at[r][n], b.own[r][n], b.wide[r][n]
	var all []Trace
	if len(heard) == 0 {
		if !b.polled(n) {
			return nil
		}
		for _, i := range own {
			all = append(all, Trace{NoAnswer, n, i, nobody})
		}
		return all
	}
	free := slices.Clone(own)
	for _, a := range heard {
		if b.accounted[a] {
			continue
		}
		fits := func(i int) bool { return b.agrees(i, a) }
		k := slices.IndexFunc(free, fits)
		switch {
		case k >= 0:
			free = slices.Delete(free, k, k+1)
		case slices.ContainsFunc(wide, fits):
		case len(free) > 0:
			sign := WrongType
			if b.strange(free[0], a) && b.sameType(free[0], a) {
				sign = OtherUnit
			}
			all = append(all, Trace{sign, n, free[0], a})
			free = free[1:]
			continue
		default:
			all = append(all, Trace{Unexpected, n, nobody, a})
			continue
		}
		if b.answers[a].Unstable && len(own)+len(wide) < 2 {
			all = append(all, Trace{Flickering, n, slices.Concat(own, wide)[0], a})
		}
	}
	return all
}

// polled reports whether a panel asks at a number: one of the loop's own, or
// that of a device nobody has set.
func (b *board) polled(n int) bool {
	span := b.loop.Span
	return n >= span.First && n <= span.Last || span.isUnset(n) || b.wanted[n]
}

// tally counts traces so that the mistakes they need can be told at once.
type tally struct {
	missing, unexpected []int // by type; 0 for those of no known type
	other, swapped      int
	hidden              int
}

func newTally(types int) tally {
	return tally{missing: make([]int, types), unexpected: make([]int, types)}
}

// count adds what one number shows to the tally, or takes it away.
func (b *board) count(at spot, traces []Trace, by int) {
	for _, t := range traces {
		switch t.Sign {
		case NoAnswer:
			b.tally.missing[b.deviceType[t.Device]] += by
		case Unexpected:
			b.tally.unexpected[b.answerType[t.Answer]] += by
		case OtherUnit:
			b.tally.swapped += by
		default:
			b.tally.other += by
		}
	}
	if heard := b.at[at.r][at.n]; len(heard) == 1 && len(b.own[at.r][at.n]) > 1 && !b.answers[heard[0]].Unstable {
		b.tally.hidden += by
	}
}

// pairs counts the missing devices that may go with an unexpected answer of
// their type, and those that are left of both.
func (t tally) pairs() (pairs, missing, unexpected int) {
	for k := 1; k < len(t.missing); k++ {
		m, u := t.missing[k], t.unexpected[k]
		pairs += min(m, u)
		missing += max(m-u, 0)
		unexpected += max(u-m, 0)
	}
	// those of no known type go with any
	more := min(t.missing[0], unexpected)
	pairs, unexpected = pairs+more, unexpected-more
	fewer := min(t.unexpected[0], missing)
	pairs, missing = pairs+fewer, missing-fewer
	m, u := t.missing[0]-more, t.unexpected[0]-fewer
	both := min(m, u)
	return pairs + both, missing + m - both, unexpected + u - both
}
