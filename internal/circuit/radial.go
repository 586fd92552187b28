package circuit

import (
	"fmt"
	"math"

	"sootline"
)

// Radial is a circuit that leaves the panel and does not come back: sounders or a conventional zone, with a resistor at its end
// by whose current the panel sees that it is whole. What is nil is not known.
type Radial struct {
	Points          []Point // the trunk, and spurs that hang from it; the resistor is behind the last one of the trunk
	Usual           Volts   // at the panel's terminals in alarm
	Low, High       *Volts  // there, from the low battery to the highest charge
	Rest            *Volts  // there at rest; nil: the same as in alarm
	Source          *Ohms   // of each core, inside the panel
	Limit           *Amps   // what the circuit can give
	End             *Ohms   // the resistor
	EndShare        float64 // by which it may be off, as a share
	BandLow         *Amps   // at rest, below this the panel tells of a break
	BandHigh        *Amps   // above this it tells of a short
	Coldest, Warmth Celsius // between which the cable lies
	NoRest, NoAlarm []int   // points of which nobody knows what they draw
}

// endPoint is the name of the resistor among the points.
const endPoint = "the end-of-line resistor"

// thin is a cable of next to no ohms, where the solver wants one.
var thin = Cable{Plus: 1e-6, Minus: 1e-6}

// RadialVerdict says how a radial circuit stands.
type RadialVerdict struct {
	Says    Standing
	Why     string   // of a failure: the state, the place, by how much
	Missing []string // of not shown: what nobody knows
	Bounds  []string // of not shown: devices whose volts were not bounded closely enough
	Lines   []string // what was found, in words
}

// radial is one at work: what is known, and the corners between which it lies.
type radial struct {
	*Radial
	v           *RadialVerdict
	low, high   Volts // of alarm
	rlow, rhigh Volts // of rest
	source      Ohms
	endLow      Ohms
	endHigh     Ohms
}

// Judge holds the circuit against every limit: volts of each device in alarm from the low battery, the current that it can
// give, the current of the resistor in its band, and whether every break and every short of its cable is seen.
func (r *Radial) Judge() (*RadialVerdict, error) {
	w := &radial{Radial: r, v: &RadialVerdict{Says: Shown}, low: r.Usual, high: r.Usual}
	w.missing()
	if r.Low != nil {
		w.low = *r.Low
	}
	if r.High != nil {
		w.high = *r.High
	}
	w.rlow, w.rhigh = w.low, w.high
	if r.Rest != nil {
		w.rlow, w.rhigh = *r.Rest, *r.Rest
	}
	if r.Source != nil {
		w.source = *r.Source
	}
	if r.End != nil {
		w.endLow, w.endHigh = *r.End*Ohms(1-r.EndShare), *r.End*Ohms(1+r.EndShare)
	}
	for _, look := range []func() error{w.inAlarm, w.current, w.band, w.breaks, w.shorts} {
		if err := look(); err != nil {
			return nil, err
		}
	}
	if w.v.Says != Failing && len(w.v.Missing)+len(w.v.Bounds) > 0 {
		w.v.Says = NotShown
	}
	return w.v, nil
}

func (w *radial) missing() {
	lacks := func(known bool, what string) {
		if !known {
			w.v.Missing = append(w.v.Missing, what)
		}
	}
	lacks(w.Low != nil, "the volts of the low battery")
	lacks(w.High != nil, "the highest volts of the supply")
	lacks(w.Source != nil, "the resistance in the panel")
	lacks(w.Limit != nil, "what the circuit can give")
	lacks(w.End != nil, "the end-of-line resistor")
	lacks(w.BandLow != nil && w.BandHigh != nil, "between which currents the panel takes the circuit as whole")
	lacks(len(w.NoRest) == 0, "what devices draw at rest")
	lacks(len(w.NoAlarm) == 0, "what devices draw in alarm")
	least := true
	for i := range w.Points {
		least = least && (w.Points[i].Junction || w.Points[i].Least > 0)
	}
	lacks(least, "least working volts of devices")
}

// fails notes the first state that does not keep a limit.
func (w *radial) fails(format string, args ...any) {
	if w.v.Says != Failing {
		w.v.Says, w.v.Why = Failing, fmt.Sprintf(format, args...)
	}
}

func (w *radial) say(format string, args ...any) {
	w.v.Lines = append(w.v.Lines, fmt.Sprintf(format, args...))
}

// corner is one state of the circuit: its volts, its cable's temperature, its resistor, who is in alarm.
type corner struct {
	volts   Volts
	celsius Celsius
	end     Load
	alarm   bool
	cut     *int // a break before this point
}

// solve solves a corner: the circuit is a loop whose way back is open. It gives volts by point, and the current of the panel.
func (w *radial) solve(at corner) (*Solution, error) {
	loop, faults := w.loop(at)
	c, err := New(loop)
	if err != nil {
		return nil, err
	}
	return c.Solve(State{Faults: faults, All: at.alarm})
}

func (w *radial) loop(at corner) (Loop, []Fault) {
	from := End{Volts: at.volts, Plus: w.source, Minus: w.source}
	loop := Loop{Out: from, In: from, Return: thin}
	for _, p := range w.Points {
		p.Cable.Celsius = at.celsius
		loop.Points = append(loop.Points, p)
	}
	if at.end.Value > 0 {
		loop.Points = append(loop.Points, Point{Name: endPoint, Cable: thin, Rest: at.end, Alarm: at.end})
	}
	faults := []Fault{{Kind: Open, Segment: loop.ReturnSegment()}}
	if at.cut != nil {
		faults = append(faults, Fault{Kind: Open, Segment: Segment(*at.cut)})
	}
	return loop, faults
}

func (w *radial) resistor(r Ohms) Load {
	if w.End == nil {
		return Load{}
	}
	return Across(r)
}

// steady is the most that the resistor can draw, at any volts that it may have: with it as a constant current volts fall with
// every ohm of cable, so that the warmest cable is the worst.
func (w *radial) steady() Load {
	if w.End == nil {
		return Load{}
	}
	return In(Amps(float64(w.high) / float64(w.endLow)))
}

// inAlarm holds the volts of every device in alarm from the low battery.
func (w *radial) inAlarm() error {
	is, err := w.solve(corner{volts: w.low, celsius: w.Warmth, end: w.resistor(w.endLow), alarm: true})
	if err != nil {
		return err
	}
	if !is.Exists {
		w.fails("in alarm at %s it has no operating point", w.low)
		return nil
	}
	bound, err := w.solve(corner{volts: w.low, celsius: w.Warmth, end: w.steady(), alarm: true})
	if err != nil {
		return err
	}
	last, least := -1, math.Inf(1)
	for i := range w.Points {
		p := &w.Points[i]
		if p.Junction {
			continue
		}
		if v := float64(is.Volts[i]); v < least {
			last, least = i, v
		}
		switch {
		case p.Least == 0:
		case is.Volts[i] < p.Least:
			w.fails("in alarm at %s, %s has %s, %s V below its least of %s", w.low, p.Name, is.Volts[i], sootline.Significant(float64(p.Least-is.Volts[i]), 3), p.Least)
		case !bound.Exists || bound.Volts[i] < p.Least:
			w.v.Bounds = append(w.v.Bounds, p.Name)
		}
	}
	if last >= 0 {
		w.say("in alarm at %s with the cable at %s, %s has the least: %s", w.low, w.Warmth, w.Points[last].Name, is.Volts[last])
	}
	return nil
}

// current holds what all devices draw in alarm against what the circuit can give.
func (w *radial) current() error {
	is, err := w.solve(corner{volts: w.high, celsius: w.Coldest, end: w.resistor(w.endLow), alarm: true})
	if err != nil || !is.Exists {
		return err
	}
	text := fmt.Sprintf("in alarm at %s it draws %s", w.high, is.Out)
	if w.Limit == nil {
		w.say("%s", text)
		return nil
	}
	w.say("%s of the %s that it can give", text, *w.Limit)
	if is.Out > *w.Limit {
		w.fails("%s, %s more than the %s that it can give", text, is.Out-*w.Limit, *w.Limit)
	}
	return nil
}

// band holds the current at rest against the band in which the panel takes the circuit as whole. The resistor is the only
// resistance that draws, so its current falls with ohms and rises with volts: the two corners are the extremes.
func (w *radial) band() error {
	if w.End == nil || w.BandLow == nil || w.BandHigh == nil {
		return nil
	}
	most, err := w.solve(corner{volts: w.rhigh, celsius: w.Coldest, end: w.resistor(w.endLow)})
	if err != nil {
		return err
	}
	least, err := w.solve(corner{volts: w.rlow, celsius: w.Warmth, end: w.resistor(w.endHigh)})
	if err != nil || !most.Exists || !least.Exists {
		return err
	}
	w.say("at rest it draws %s to %s, and from %s to %s the panel takes it as whole", least.Out, most.Out, *w.BandLow, *w.BandHigh)
	switch {
	case least.Out < *w.BandLow && len(w.NoRest) == 0:
		w.fails("at rest at %s it draws %s, below the %s from which the panel takes it as whole: a break is told that is none", w.rlow, least.Out, *w.BandLow)
	case most.Out > *w.BandHigh && w.Source != nil:
		w.fails("at rest at %s it draws %s, above the %s up to which the panel takes it as whole: a short is told that is none", w.rhigh, most.Out, *w.BandHigh)
	}
	return nil
}
