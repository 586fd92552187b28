package hunts

import (
	"errors"
	"math"
	"math/rand/v2"
)

// World is a ring with a fault on it, and a technician who does what a finder says.
type World struct {
	Case    Case
	ring    Ring // as built
	fault   Fault
	stands  Step
	at      int  // the device where the technician is; None: at the panel
	up      bool // and within reach of it
	rng     *rand.Rand
	Asked   []Asked
	Minutes float64
	exact   bool // no noise
}

// Plant draws a world with a fault of a kind; the same seed draws the same one.
func Plant(seed uint64, kind Kind) *World {
	rng := rand.New(rand.NewPCG(seed, 11))
	for {
		written := draw(rng)
		built := written.built(rng)
		fault, ok := plant(built, kind, rng)
		if !ok {
			continue
		}
		w := &World{ring: built, fault: fault, rng: rng, at: None, stands: Step{OpenAt: None, Feed: Both}}
		w.Case = Case{Ring: written, Panel: Observe(built, fault, Step{OpenAt: None, Feed: Both, Look: AtPanel})}
		return w
	}
}

// Truth gives what was planted.
func (w *World) Truth() Verdict { return Verdict{w.fault.Kind, w.fault.At, 1} }

// Right says whether a verdict names the kind and the place.
func (w *World) Right(v Verdict) bool { return v.Kind == w.fault.Kind && v.At == w.fault.At }

// check refuses a step that cannot be done.
func (w *World) check(s Step) error {
	n := len(w.ring.Devices)
	switch {
	case s.OpenAt < None || s.OpenAt >= n:
		return errors.New("no such device to unplug behind")
	case s.Look == AtOhms && s.Feed != Off:
		return errors.New("ohms are read without volts: both ends unplugged")
	case s.Look != AtOhms && s.Look != AtDevice && s.Look != AtStretch && s.Feed == Off:
		return errors.New("nothing is to be read with both ends unplugged")
	case (s.Look == AtVolts || s.Look == AtDevice) && (s.At < 0 || s.At >= n):
		return errors.New("no such device")
	case s.Look == AtStretch && (s.At < 0 || s.At > n):
		return errors.New("no such stretch")
	}
	return nil
}

// Do does a step.
func (w *World) Do(s Step) (Asked, error) {
	if err := w.check(s); err != nil {
		return Asked{}, err
	}
	minutes := w.minutes(s)
	a := Observe(w.ring, w.fault, s)
	if !w.exact {
		w.blur(&a, s)
	}
	w.Minutes += minutes
	w.Asked = append(w.Asked, Asked{s, a, minutes})
	return w.Asked[len(w.Asked)-1], nil
}

// blur has meters be off, figures be rounded, and an answer now and then be taken down wrong.
func (w *World) blur(a *Answer, s Step) {
	wrong := w.rng.Float64() < misread
	switch s.Look {
	case AtPanel:
		a.OutMA = math.Round(a.OutMA * (1 + 0.02*w.rng.NormFloat64()))
		a.InMA = math.Round(a.InMA * (1 + 0.02*w.rng.NormFloat64()))
		if wrong {
			w.misreadPanel(a)
		}
	case AtVolts:
		a.Volts = math.Round(100*(a.Volts*(1+0.002*w.rng.NormFloat64())+0.02*w.rng.NormFloat64())) / 100
		if wrong {
			a.Volts += []float64{-1, 1, 10, -10}[w.rng.IntN(4)] // a digit
		}
	case AtOhms:
		a.Ohms = math.Round(10*(a.Ohms*(1+0.01*w.rng.NormFloat64())+0.1*w.rng.NormFloat64())) / 10
		if a.Ohms > 2e6 {
			a.Ohms = math.Inf(1)
		}
		if a.Ohms = max(a.Ohms, 0); wrong {
			a.Ohms *= []float64{0.1, 10, 1000}[w.rng.IntN(3)] // the range
		}
	default:
		if w.rng.Float64() < overlook {
			a.Found = ""
		}
	}
}

// misreadPanel overlooks the message, or a device.
func (w *World) misreadPanel(a *Answer) {
	if w.rng.IntN(2) == 0 {
		if a.Message == SaysNothing {
			a.Message = w.Case.Panel.Message
		} else {
			a.Message, a.Twice = SaysNothing, None
		}
		return
	}
	k := w.rng.IntN(len(a.Answers))
	a.Answers[k] = !a.Answers[k]
}

// most is how many steps a hunt may take.
const most = 300

// Hunt has a finder look for the fault until its verdict. In the end the loop is plugged in as it was, which counts. An
// error is a step that cannot be done, or a hunt without end.
func (w *World) Hunt(f Finder) (Verdict, error) {
	for range most {
		step, verdict := f.Next(w.Asked)
		if verdict != nil {
			w.Minutes += w.minutes(Step{OpenAt: None, Feed: Both, Look: AtPanel})
			return *verdict, nil
		}
		if _, err := w.Do(step); err != nil {
			return Verdict{}, err
		}
	}
	return Verdict{}, errors.New("no verdict after as many steps as are allowed")
}
