package judge

import (
	"fmt"
	"slices"
)

// leastOnLine is how many looks since the reset there must be, that those before the last one make a line.
const leastOnLine = 3

// unexplained holds for a last reading that came at once, be it a slip or what nobody has looked at again: nothing is
// cleaned on it alone.
func (s *study) unexplained() string {
	if len(s.looks)-s.since() < leastOnLine || !s.farAlone() && s.odd+s.sudden <= s.losses.From(s.losses.Look) {
		return ""
	}
	return s.farOffLine(s.withoutLast()) + ", and nothing tells what happened"
}

// Far off is a step towards dirt of half the band, and of more than three times all that the looks before it went to and fro. Alone
// is it where no two others of the room stepped half as far the same way on that day. Ours, no source.
const (
	farStep   = 0.5
	farTimes  = 3
	companion = 2
)

// farAlone reports whether the last look lies far off all before it on the side of dirt, at this point alone.
func (s *study) farAlone() bool {
	last, before := len(s.looks)-1, s.shown(s.since())
	step := before[len(before)-1] - before[len(before)-2]
	before = before[:len(before)-1]
	if step < farStep || step < farTimes*(slices.Max(before)-slices.Min(before)) {
		return false
	}
	with := 0
	for _, p := range s.area.members {
		if at := p.lookNear(s.looks[last].t); p != s.past && at > 0 && !p.apart(at) {
			if z := p.shown(at - 1); (z[1]-z[0])/step > 0.5 {
				with++
			}
		}
	}
	return with < companion
}

// shown are the looks from one on in bands, as they were shown: what the visit shares is not taken off.
func (p *past) shown(from int) []float64 {
	all := make([]float64, 0, len(p.looks)-from)
	for i := range p.looks[from:] {
		all = append(all, p.kin.scale.of(p.looks[from+i].now))
	}
	return all
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
	return s.kin.scale.value(x/sum + s.season.at(s.looks[last].t))
}
