package judge

import "fmt"

// leastOnLine is how many looks since the reset there must be, that those before the last one make a line.
const leastOnLine = 3

// unexplained holds for a last reading that came at once, be it a slip or what nobody has looked at again: nothing is
// cleaned on it alone.
func (s *study) unexplained() string {
	if len(s.looks)-s.since() < leastOnLine || s.odd+s.sudden <= s.losses.From(s.losses.Look) {
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
	if sum == 0 {
		return s.looks[last-1].y
	}
	return s.kin.scale.value(x / sum)
}
