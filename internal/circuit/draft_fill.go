package circuit

import (
	"fmt"
	"slices"

	"sootline"
)

// usualWarmth is what is taken of a cable's temperature where nobody says: warmer than most are, which is more resistance.
// A judgement of ours, no source.
const usualWarmth = 40

// What may not be known, as gaps name it.
const (
	gapMetres   = "metres of cable are"
	gapSection  = "the cross-section is"
	gapRest     = "what the device draws at rest is"
	gapAlarm    = "what the device draws in alarm is"
	gapLeast    = "least working volts are"
	gapIsolator = "the resistance of a closed isolator is"
)

// Unsaid leaves out the gaps that somebody filled for all points and cables alike.
func Unsaid(gaps []Gap, said *Default) []Gap {
	filled := map[string]bool{
		gapMetres: said.Metres > 0, gapSection: said.MM2 > 0, gapRest: said.RestMA > 0, gapAlarm: said.AlarmMA > 0,
		gapLeast: said.LeastVolts > 0, gapIsolator: said.IsolatorOhm > 0,
	}
	return slices.DeleteFunc(slices.Clone(gaps), func(g Gap) bool { return filled[g.What] })
}

// filler fills a draft's gaps and keeps count.
type filler struct {
	Default
	gaps []Gap
}

func (f *filler) number(value *float64, otherwise float64, where, what, unit string) float64 {
	if value != nil {
		return *value
	}
	f.gaps = append(f.gaps, Gap{Where: where, What: what, Taken: fmt.Sprintf("%g %s", otherwise, unit), Cable: unit == "m" || unit == "mm2 of copper"})
	return otherwise
}

// Alarms says who is in alarm. Its numbers are those of the points of [Draft.Loop].
func (d *Draft) Alarms() (Alarms, error) {
	if d.InAlarm == nil {
		if d.AlarmsAtOnce == nil {
			return EveryAlarm(), nil
		}
		if *d.AlarmsAtOnce < 0 {
			return Alarms{}, invalid("the number of devices in alarm at once is from 0, found %d", *d.AlarmsAtOnce)
		}
		return Alarms{Most: *d.AlarmsAtOnce}, nil
	}
	named := []int{}
	for _, name := range d.InAlarm {
		i := d.at(name)
		if i < 0 {
			return Alarms{}, sootline.Errorf(sootline.NotFound, "points are named as the answer names them, for example 1.1.004", "%s is in alarm, and is not a point of the loop", name)
		}
		named = append(named, i)
	}
	return Alarms{Named: named}, nil
}

// Fill gives one point, such as a device to be added, with what was taken for it.
func (d *Draft) Fill(p *DraftPoint) (Point, []Gap) {
	f := &filler{Default: d.Default}
	return f.point(p), f.gaps
}

// Loop fills the gaps and gives the loop with the list of them.
func (d *Draft) Loop() (Loop, []Gap, error) {
	if err := d.contradiction(0); err != nil {
		return Loop{}, nil, err
	}
	f := &filler{Default: d.Default}
	in := d.In
	if in == nil {
		in = &d.Out
	}
	l := Loop{Name: d.Name, Out: f.end(&d.Out, "OUT"), Return: f.cable(&d.Return, "the way back to the panel")}
	if l.In = f.end(in, "IN"); d.In == nil && d.Out.Volts == nil && d.Out.LowVolts == nil {
		f.gaps = f.gaps[:len(f.gaps)-1] // one gap, not two
	}
	for i := range d.Points {
		p := &d.Points[i]
		l.Points = append(l.Points, f.point(p))
		if p.Isolator == "" || p.Isolator == "none" {
			continue
		}
		side, ok := map[string]Side{"after": After, "before": Before, "base": Base, "branch": Branch}[p.Isolator]
		if !ok {
			return l, nil, invalid("%s: its isolator is after, before, base, branch or none, found %q", p.Name, p.Isolator)
		}
		iso := Isolator{Point: p.Name, Side: side, Plus: Ohms(f.number(p.IsolatorOhm, f.IsolatorOhm, p.Name, gapIsolator, "ohm"))}
		if p.BothCores {
			iso.Minus = iso.Plus
		}
		iso.IsolatorBounds = p.DraftBounds.over(f.DraftBounds).bounds()
		l.Isolators = append(l.Isolators, iso)
	}
	return l, f.gaps, nil
}

func (f *filler) end(e *DraftEnd, name string) End {
	end := End{Plus: Ohms(given(e.PlusOhms)), Minus: Ohms(given(e.MinusOhms)), Limit: Amps(e.LimitMA / 1000)}
	if e.LowVolts != nil {
		end.Volts = Volts(*e.LowVolts)
	} else {
		end.Volts = Volts(f.number(e.Volts, f.Volts, name, "the volts at the panel are", "V"))
	}
	if e.HighVolts != nil {
		end.High = Volts(*e.HighVolts)
	}
	return end
}

func (f *filler) cable(c *DraftCable, where string) Cable {
	if c.PlusOhms != 0 || c.MinusOhms != 0 {
		cable := Cable{Plus: Ohms(c.PlusOhms), Minus: Ohms(c.MinusOhms)}
		if c.Metres != nil {
			cable.Metres = Metres(*c.Metres)
		}
		return cable
	}
	cable := Cable{Metres: Metres(f.number(c.Metres, f.Metres, where, gapMetres, "m"))}
	cable.Conductor = Conductor{OhmsPerKm: c.OhmsPerKm, AWG: c.AWG, Tinned: c.Tinned, Flexible: c.Flexible, Stranded: c.Stranded}
	if c.OhmsPerKm == 0 && c.AWG == 0 {
		cable.Conductor.MM2 = f.number(c.MM2, f.MM2, where, gapSection, "mm2 of copper")
	}
	warmth := c.Celsius
	if warmth == nil {
		warmth = f.Celsius
	}
	if cable.Celsius = usualWarmth; warmth != nil {
		cable.Celsius = Celsius(*warmth)
	} else {
		f.gaps = append(f.gaps, Gap{Where: where, What: "the cable's temperature is", Taken: Celsius(usualWarmth).String(), Cable: true})
	}
	return cable
}

func (f *filler) point(p *DraftPoint) Point {
	filled := Point{
		Name: p.Name, Spur: p.Spur, Cable: f.cable(&p.DraftCable, p.Name), Junction: p.Junction,
		Zone: p.Zone, Floor: p.Floor, Level: levelOf(p.Floor), Area: p.AreaM2, Counted: p.Counted,
	}
	if p.Junction {
		return filled
	}
	filled.Rest = f.load(p.Rest, f.RestMA, p.Name, gapRest)
	filled.Alarm = f.load(p.Alarm, f.AlarmMA, p.Name, gapAlarm)
	if p.LeastVolts == nil && f.LeastVolts == 0 {
		f.gaps = append(f.gaps, Gap{Where: p.Name, What: gapLeast, Taken: "the device is not judged"})
		return filled
	}
	filled.Least = Volts(f.number(p.LeastVolts, f.LeastVolts, p.Name, gapLeast, "V"))
	return filled
}

func (f *filler) load(l *DraftLoad, otherwise float64, where, what string) Load {
	switch {
	case l == nil:
		return In(Amps(f.number(nil, otherwise, where, what, "mA") / 1000))
	case l.W != 0:
		return Drawing(Watts(l.W))
	case l.Ohms != 0:
		return Across(Ohms(l.Ohms))
	}
	return In(Amps(l.MA / 1000))
}

// CountGaps sums gaps up, in the order in which they first appear: "metres of cable are not known: 10 m (at 7 points, the
// first is 1.003)".
func CountGaps(gaps []Gap) []string {
	type kind struct{ what, taken string }
	places := map[kind][]string{}
	var order []kind
	for _, g := range gaps {
		k := kind{g.What, g.Taken}
		if places[k] == nil {
			order = append(order, k)
		}
		places[k] = append(places[k], g.Where)
	}
	var lines []string
	for _, k := range order {
		line := fmt.Sprintf("%s not known: %s", k.what, k.taken)
		switch at := places[k]; {
		case len(at) > 1:
			line += fmt.Sprintf(" (at %d points, the first is %s)", len(at), at[0])
		case at[0] != "":
			line += " (at " + at[0] + ")"
		}
		lines = append(lines, line)
	}
	return lines
}
