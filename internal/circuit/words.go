package circuit

import (
	"fmt"
	"strings"
)

// Between names a cable by what it joins.
func (c *Circuit) Between(s Segment) string {
	n := node{-1, len(c.ring)}
	if s < c.loop.ReturnSegment() {
		n = c.nodes[s]
	}
	name := func(p int) string { return c.loop.Points[p].Name }
	switch {
	case n.spur >= 0 && n.pos > 0:
		return "between " + name(c.spurs[n.spur].points[n.pos-1]) + " and " + name(int(s))
	case n.spur >= 0:
		return "between " + name(c.ring[c.spurs[n.spur].at]) + " and " + name(int(s)) + " on its spur"
	case n.pos == 0:
		return "between OUT and " + name(c.ring[0])
	case n.pos == len(c.ring):
		return "between " + name(c.ring[n.pos-1]) + " and IN"
	}
	return "between " + name(c.ring[n.pos-1]) + " and " + name(c.ring[n.pos])
}

// Describe names faults: "a break between 1.043 and 1.044".
func (c *Circuit) Describe(faults []Fault) string {
	if len(faults) == 0 {
		return "no fault"
	}
	var parts []string
	for _, f := range faults {
		what := "a break "
		switch {
		case f.Kind == Short:
			what = "a short "
		case f.Core == PlusCore:
			what = "a break of the plus core "
		case f.Core == MinusCore:
			what = "a break of the minus core "
		}
		parts = append(parts, what+c.Between(f.Segment))
	}
	return strings.Join(parts, " and ")
}

// Sentence says what is lost. Floors and square metres are those that are known.
func (l *Loss) Sentence() string {
	if len(l.Points) == 0 {
		return "no device is lost"
	}
	are := "are"
	if len(l.Points) == 1 {
		are = "is"
	}
	text := fmt.Sprintf("%s %s lost, detectors and call points: %d", count(len(l.Points), "device"), are, l.Counted)
	if len(l.Zones) > 0 {
		text += "; of zone " + strings.Join(l.Zones, ", ")
	}
	var floors []string
	for _, f := range l.Floors {
		floors = append(floors, fmt.Sprintf("%s (%d)", f.Floor, f.Points))
	}
	if len(floors) > 0 {
		text += "; on floor " + strings.Join(floors, ", ")
	}
	if l.Area > 0 {
		text += fmt.Sprintf("; %.0f m2", l.Area)
	}
	return text
}

// Sentence says what an outcome comes to and why.
func (c *Circuit) Sentence(o *Outcome) string {
	state := "with " + c.Describe(o.Faults)
	if len(o.Alarm) > 0 {
		state += " and " + count(len(o.Alarm), "device") + " in alarm"
	}
	if !o.Exists {
		return state + " there is no operating point: the loads ask for more than the cable can carry"
	}
	if o.Point < 0 {
		return state + " no device is fed"
	}
	p := &c.loop.Points[o.Point]
	volts, least := o.Volts.String(), p.Least.String()
	if o.Margin < 0 {
		volts, least = apart(float64(o.Volts), float64(p.Least), voltText)
	}
	text := fmt.Sprintf("%s, %s has %s, ", state, p.Name, volts)
	switch {
	case p.Least == 0:
		text += "and its least working volts are not known"
	case o.Margin < 0:
		text += fmt.Sprintf("below its least working volts of %s; how it behaves there cannot be calculated", least)
	default:
		text += fmt.Sprintf("%s above its least working volts of %s", o.Margin, p.Least)
	}
	switch {
	case o.Exact:
	case o.Bounded:
		text += fmt.Sprintf("; no other choice of alarms leaves less than %s of margin", o.Floor)
	default:
		text += "; another choice of alarms may be worse, which could not be bounded"
	}
	return text + c.overLimit(o)
}

func (c *Circuit) overLimit(o *Outcome) string {
	text := ""
	for _, end := range []struct {
		name           string
		current, limit Amps
	}{{"OUT", o.Out, c.loop.Out.Limit}, {"IN", o.In, c.loop.In.Limit}} {
		if over(end.current, end.limit) {
			gives, can := apart(float64(end.current), float64(end.limit), ampText)
			text += fmt.Sprintf("; %s may have to give %s and can give %s", end.name, gives, can)
		}
	}
	return text
}
