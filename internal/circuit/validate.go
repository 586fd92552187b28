package circuit

import "sootline"

// Beyond these no cable, load or supply is meant, and digits would be lost.
const (
	leastOhms = 1e-6
	mostOhms  = 1e6
	mostVolts = 1e5
	mostLoad  = 1e9
)

// check reports the first thing that makes the loop impossible, save what needs its cables worked out.
func (c *Circuit) check() error {
	names := make(map[string]*Point, len(c.loop.Points))
	ring := 0
	for i := range c.loop.Points {
		p := &c.loop.Points[i]
		if p.Name == "" {
			return invalid("point %d of the loop has no name", i+1)
		}
		if names[p.Name] != nil {
			return invalid("two points of the loop are named %s", p.Name)
		}
		names[p.Name] = p
		if err := p.check(); err != nil {
			return err
		}
		if p.Spur == "" {
			ring++
		}
	}
	if ring == 0 {
		return invalid("the loop has no points")
	}
	for i := range c.loop.Points {
		if err := checkSpur(&c.loop.Points[i], names); err != nil {
			return err
		}
	}
	for i := range c.loop.Isolators {
		if err := c.loop.Isolators[i].check(names); err != nil {
			return err
		}
	}
	if err := c.loop.Out.check("OUT"); err != nil {
		return err
	}
	return c.loop.In.check("IN")
}

func invalid(format string, args ...any) error {
	return sootline.Errorf(sootline.Invalid, "", format, args...)
}

func checkSpur(p *Point, names map[string]*Point) error {
	if p.Spur == "" {
		return nil
	}
	parent := names[p.Spur]
	if parent == nil {
		return sootline.Errorf(sootline.Invalid, "name a point of the same loop that is on the ring", "%s is on a spur from %s, which is not a point of the loop", p.Name, p.Spur)
	}
	if parent.Spur != "" {
		return sootline.Errorf(sootline.Invalid, "name the ring point that the spur hangs from", "%s is on a spur from %s, which is on a spur itself", p.Name, p.Spur)
	}
	return nil
}

func (p *Point) check() error {
	for i, load := range [...]Load{p.Rest, p.Alarm} {
		when := [...]string{"at rest", "in alarm"}[i]
		if load.Kind > Power || !notNegative(load.Value) {
			return invalid("%s: its load %s is a number from 0, found %g", p.Name, when, load.Value)
		}
		if load.Value > mostLoad || load.Kind == Resistance && load.Value > 0 && load.Value < leastOhms {
			return invalid("%s: its load %s is out of all proportion, found %g", p.Name, when, load.Value)
		}
		if p.Junction && load.Value != 0 {
			return invalid("%s is a junction and cannot draw anything %s, found %g", p.Name, when, load.Value)
		}
	}
	if !notNegative(float64(p.Least)) {
		return invalid("%s: its least working volts are a number from 0, found %g", p.Name, p.Least)
	}
	if !notNegative(p.Area) {
		return invalid("%s: the area that it protects is a number from 0, found %g", p.Name, p.Area)
	}
	return nil
}

func (i *Isolator) check(names map[string]*Point) error {
	p := names[i.Point]
	switch {
	case p == nil:
		return invalid("an isolator is at %q, which is not a point of the loop", i.Point)
	case i.Side > Branch:
		return invalid("the isolator at %s has no side", i.Point)
	case !resistance(i.Plus) || !resistance(i.Minus):
		return invalid("the isolator at %s: its resistance is a number from 0 ohm, found %g and %g", i.Point, i.Plus, i.Minus)
	}
	return nil
}

func (e *End) check(name string) error {
	if !positive(float64(e.Volts)) {
		return sootline.Errorf(sootline.Invalid, "give the voltage at the panel's terminals", "the %s end has no volts, so no load can be worked out", name)
	}
	if e.Volts > mostVolts {
		return invalid("the %s end: its volts are at most %g, found %g", name, mostVolts, e.Volts)
	}
	if !resistance(e.Plus) || !resistance(e.Minus) {
		return invalid("the %s end: the resistance of its source is a number from 0 ohm, found %g and %g", name, e.Plus, e.Minus)
	}
	if !notNegative(float64(e.Limit)) {
		return invalid("the %s end: its current limit is a number from 0 A, found %g", name, e.Limit)
	}
	return nil
}

func resistance(r Ohms) bool { return r >= 0 && r <= mostOhms }
