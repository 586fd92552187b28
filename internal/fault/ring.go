package fault

import (
	"cmp"
	"math"
	"slices"

	"sootline"
	"sootline/internal/circuit"
)

// Device is a device on the ring.
type Device struct {
	Name          string
	Before, After bool    // an isolator on its side towards OUT, towards IN
	Amps          float64 // at rest
	Floor         int
	Ladder        bool // it takes a ladder
	Mute          bool // no device that answers: a joint, or an isolator in line
}

// Ring is a loop as it is written down. Stretch k leads to device k, the last one back to IN.
type Ring struct {
	Volts     float64
	VoltsOff  float64   // by how much the panel's volts may be off from them, as a standard deviation
	MostVolts float64   // at the highest charge; 0: not known
	Source    float64   // ohms of both cores in the panel, at each end
	Metres    []float64 // by stretch
	Ohms      []float64 // of one core, by stretch
	Devices   []Device

	spurs map[string]int // where the spur of a point begins

	to   []float64 // metres from OUT to the end of each stretch
	rho  []float64 // ohms of both cores from OUT to the end of each stretch, source apart
	amps []float64 // drawn by the devices before each
	turn []float64 // amps times ohms, likewise
}

// Supply is what the panel gives while a fault is searched for: mains on, from an empty battery to one at full charge.
type Supply struct{ Low, Usual, High float64 } // V; 0: not known

// supplyShare is how far a panel's volts are off the usual ones where the lowest and the highest are not known, as a standard
// deviation and a share: 21 to 28 V of 24 are common practice, no source.
const supplyShare = 0.07

// feed takes what the panel gives. The loop itself has the low battery's volts, which are not those of the search.
func (r *Ring) feed(s Supply, written float64) {
	r.Volts = cmp.Or(s.Usual, written)
	r.VoltsOff, r.MostVolts = supplyShare*r.Volts, s.High
	if s.Low > 0 && s.High > 0 {
		r.VoltsOff = max(s.High-r.Volts, r.Volts-s.Low) / 2
	}
}

// RingOf takes a loop as the circuit has it, and what feeds it. What hangs on spurs counts where the spur begins: the search
// does not look along spurs.
func RingOf(loop *circuit.Loop, s Supply) (Ring, error) {
	r := Ring{Source: float64(loop.Out.Plus + loop.Out.Minus), spurs: map[string]int{}}
	r.feed(s, float64(loop.Out.Volts))
	at := map[string]int{}
	for i := range loop.Points {
		p := &loop.Points[i]
		if p.Spur != "" {
			continue
		}
		if err := r.stretch(p.Cable); err != nil {
			return r, err
		}
		at[p.Name] = len(r.Devices)
		r.Devices = append(r.Devices, Device{Name: p.Name, Amps: drawn(p.Rest, r.Volts), Floor: level(p), Mute: p.Junction})
	}
	for i := range loop.Points {
		if p := &loop.Points[i]; p.Spur != "" {
			r.spurs[p.Name] = at[p.Spur]
			r.Devices[at[p.Spur]].Amps += drawn(p.Rest, r.Volts)
		}
	}
	if err := r.stretch(loop.Return); err != nil {
		return r, err
	}
	for _, i := range loop.Isolators {
		k, onRing := at[i.Point]
		if !onRing {
			continue
		}
		d := &r.Devices[k]
		d.Before = d.Before || i.Side == circuit.Before || i.Side == circuit.Base
		d.After = d.After || i.Side == circuit.After || i.Side == circuit.Base
	}
	return r, r.sum()
}

// OnSpurs counts the points that hang on spurs.
func (r *Ring) OnSpurs() int { return len(r.spurs) }

// isolated reports whether the ring has isolators.
func (r *Ring) isolated() bool {
	return slices.ContainsFunc(r.Devices, func(d Device) bool { return d.Before || d.After })
}

func level(p *circuit.Point) int {
	if p.Level == nil {
		return 0
	}
	return *p.Level
}

// drawn is what a load draws at the supply's volts.
func drawn(l circuit.Load, volts float64) float64 {
	switch {
	case l.Value == 0:
		return 0
	case l.Kind == circuit.Resistance:
		return volts / l.Value
	case l.Kind == circuit.Power:
		return l.Value / volts
	}
	return l.Value
}

func (r *Ring) stretch(c circuit.Cable) error {
	plus, minus, err := c.Cores()
	r.Metres = append(r.Metres, float64(c.Metres))
	r.Ohms = append(r.Ohms, float64(plus+minus)/2)
	return err
}

// sum checks the ring and adds up along it.
func (r *Ring) sum() error {
	n := len(r.Devices)
	if n == 0 || len(r.Metres) != n+1 || len(r.Ohms) != n+1 || !(r.Volts > 0) {
		return sootline.Errorf(sootline.Invalid, "write down the loop's devices, its cables and the volts of its panel", "a ring of %d devices and %d cables at %g V cannot be searched", n, len(r.Metres), r.Volts)
	}
	r.to, r.rho = make([]float64, n+1), make([]float64, n+1)
	r.amps, r.turn = make([]float64, n+1), make([]float64, n+1)
	metres, ohms := 0.0, 0.0
	for k := range n + 1 {
		metres += math.Max(r.Metres[k], 0)
		ohms += 2 * r.Ohms[k]
		r.to[k], r.rho[k] = metres, ohms
		if k < n {
			r.amps[k+1] = r.amps[k] + r.Devices[k].Amps
			r.turn[k+1] = r.turn[k] + r.Devices[k].Amps*ohms
		}
	}
	return nil
}

// begin gives the metres and ohms of both cores from OUT to the beginning of a stretch.
func (r *Ring) begin(stretch int) (metres, ohms float64) {
	if stretch == 0 {
		return 0, 0
	}
	return r.to[stretch-1], r.rho[stretch-1]
}
