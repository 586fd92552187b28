package judge

import "fmt"

// slipPossible is the chance of a slip from which a last reading that came at once is read again, rather than believed.
const slipPossible = 0.15

// leastOnLine is how many looks since the reset there must be, that those before the last one make a line.
const leastOnLine = 3

// unexplained holds for a last reading that came at once: a slip, or one of several things of which none is likely.
func (s *study) unexplained() string {
	if len(s.looks)-s.since() < leastOnLine || s.odd < slipPossible || s.odd+s.sudden <= likelySo {
		return ""
	}
	return s.farOffLine(s.withoutLast()) + ", and nothing tells what happened"
}

// farOffLine says how far the last reading lies off the line of the others, which leads to a value there.
func (s *study) farOffLine(leads float64) string {
	last := &s.looks[len(s.looks)-1]
	return fmt.Sprintf("the reading of %s, %s, lies far off the line of the others, which leads to %s there", date(last.at), s.amount(last.y), s.amount(leads))
}

// withoutLast is the level at the last look in the stories in which that was a slip.
func (s *study) withoutLast() float64 {
	last := len(s.looks) - 1
	sum, x := 0.0, 0.0
	for i := range s.ahead.leaves {
		g := &s.ahead.leaves[i]
		if e := g.tale.events; e != nil && e.look == last && (suspected{e.kind, e.look}).isSlip() {
			sum, x = sum+g.weight, x+g.weight*g.x
		}
	}
	return s.kin.scale.value(x / sum)
}
