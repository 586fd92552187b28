package hunts

import "math"

// What steps take, in minutes: common practice, no source.
const (
	metresAMinute = 50  // walking with the tools
	storey        = 0.7 // a storey of stairs
	ladder        = 3   // to put it up, climb and take it away
	unplug        = 2   // or plug in, a terminal at a device
	unplugEnd     = 1   // or plug in, an end at the panel
	readPanel     = 1
	readMeter     = 1
	lookAtDevice  = 4
	lookAlong     = 3 // and as many again for each
	metresLooked  = 30
)

// Rates of what goes wrong: common practice, no source.
const (
	misread  = 0.02 // an answer is taken down wrong
	overlook = 0.08 // what is to be seen is not seen
)

// minutes gives what a step takes, and has the technician go where it ends.
func (w *World) minutes(s Step) float64 {
	total := 0.0
	if s.OpenAt != w.stands.OpenAt {
		for _, k := range []int{w.stands.OpenAt, s.OpenAt} {
			if k >= 0 {
				total += w.reach(k) + unplug
			}
		}
	}
	if s.Feed != w.stands.Feed {
		total += w.walk(None)
		for _, end := range []Feed{FromOUT, FromIN} {
			if plugged(s.Feed, end) != plugged(w.stands.Feed, end) {
				total += unplugEnd
			}
		}
	}
	w.stands = s
	switch s.Look {
	case AtPanel:
		return total + w.walk(None) + readPanel
	case AtVolts:
		return total + w.reach(s.At) + readMeter
	case AtOhms:
		if s.OpenAt < 0 {
			return total + w.walk(None) + readMeter
		}
		return total + w.reach(s.OpenAt) + readMeter
	case AtDevice:
		return total + w.reach(s.At) + lookAtDevice
	}
	return total + w.walk(min(s.At, len(w.ring.Devices)-1)) + lookAlong + w.ring.Metres[s.At]/metresLooked
}

func plugged(f, end Feed) bool { return f == Both || f == end }

// reach goes to a device and up to it, unless the technician is there.
func (w *World) reach(k int) float64 {
	if w.at == k && w.up {
		return 0
	}
	total := w.walk(k)
	if w.ring.Devices[k].Ladder {
		total += ladder
	}
	w.up = true
	return total
}

// walk goes to a device, or to the panel: along the cable the shorter way round, and over the stairs.
func (w *World) walk(to int) float64 {
	if w.at == to {
		return 0
	}
	place := func(k int) (metres float64, floor int) {
		if k < 0 {
			return 0, 0
		}
		return w.ring.along(k), w.ring.Devices[k].Floor
	}
	a, from := place(w.at)
	b, floor := place(to)
	metres := math.Abs(a - b)
	metres = min(metres, w.ring.along(len(w.ring.Devices))-metres)
	w.at, w.up = to, false
	return metres/metresAMinute + storey*math.Abs(float64(from-floor))
}
