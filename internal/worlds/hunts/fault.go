package hunts

import "math/rand/v2"

// Kind is a kind of fault.
type Kind string

// The kinds. Those of the cable are at a stretch, the others at a device.
const (
	Open      Kind = "open"                        // a stretch
	Short     Kind = "short"                       // a stretch
	Earth     Kind = "earth fault"                 // a stretch
	Contact   Kind = "high contact resistance"     // a stretch, at either end of it
	Leakage   Kind = "leakage between cores"       // a stretch
	StuckOpen Kind = "isolator stuck open"         // a device
	StuckShut Kind = "isolator that does not open" // a device; a short beside it shows it
	Double    Kind = "double address"              // the device that has another's number
	Dead      Kind = "device dead"                 // a device
	Polarity  Kind = "wrong polarity"              // a device
	Overload  Kind = "device that draws too much"  // a device
)

// Kinds lists them.
func Kinds() []Kind {
	return []Kind{Open, Short, Earth, Contact, Leakage, StuckOpen, StuckShut, Double, Dead, Polarity, Overload}
}

// Fault is what is wrong.
type Fault struct {
	Kind   Kind
	At     int     // the stretch or device
	Place  float64 // along the stretch, 0 to 1
	Ohms   float64 // of the short, earth, contact or leakage
	MA     float64 // that an overload draws
	Minus  bool    // an earth fault of the minus core
	Before bool    // of an isolator: its switch towards OUT
	Other  int     // Double: the device whose number it has
}

// OfCable says whether a kind is at a stretch.
func (k Kind) OfCable() bool {
	switch k {
	case Open, Short, Earth, Contact, Leakage:
		return true
	}
	return false
}

// isolators lists the devices that have some.
func (r Ring) isolators() []int {
	var out []int
	for k, d := range r.Devices {
		if d.Isolator {
			out = append(out, k)
		}
	}
	return out
}

// plant draws a fault of a kind; false where the ring cannot have it.
func plant(r Ring, kind Kind, rng *rand.Rand) (Fault, bool) {
	f := Fault{Kind: kind, At: rng.IntN(len(r.Devices)), Place: 0.05 + 0.9*rng.Float64()}
	if kind.OfCable() {
		f.At = rng.IntN(len(r.Metres))
	}
	switch kind {
	case Short:
		f.Ohms = 2 * rng.Float64()
	case Earth:
		f.Ohms, f.Minus = 2000*rng.Float64(), rng.IntN(2) == 0
	case Contact:
		// As many ohms as cost 3 to 6 V with all current through it: fewer would trouble nobody.
		total := 0.0
		for _, d := range r.Devices {
			total += d.MA / 1000
		}
		f.Ohms = (3 + 3*rng.Float64()) / total
		if f.Place = 0; rng.IntN(2) == 0 {
			f.Place = 1
		}
	case Leakage:
		f.Ohms = r.Volts / (0.02 + 0.06*rng.Float64())
	case Overload:
		f.MA = 20 + 60*rng.Float64()
	case Double:
		f.Other = (f.At + 1 + rng.IntN(len(r.Devices)-1)) % len(r.Devices)
	case StuckOpen, StuckShut:
		with := r.isolators()
		if len(with) == 0 {
			return f, false
		}
		f.At, f.Before = with[rng.IntN(len(with))], rng.IntN(2) == 0
		f.Ohms = 1
	}
	return f, true
}

// shorted gives the stretch that is shorted, if any: beside an isolator that does not open, the one that it faces.
func (f Fault) shorted() (int, bool) {
	switch {
	case f.Kind == Short:
		return f.At, true
	case f.Kind == StuckShut && f.Before:
		return f.At, true
	case f.Kind == StuckShut:
		return f.At + 1, true
	}
	return 0, false
}

// parted gives the stretch that does not carry, if any.
func (f Fault) parted() (int, bool) {
	switch {
	case f.Kind == Open, f.Kind == StuckOpen && f.Before:
		return f.At, true
	case f.Kind == StuckOpen:
		return f.At + 1, true
	}
	return 0, false
}
