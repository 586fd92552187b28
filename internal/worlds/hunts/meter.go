package hunts

import "math"

// deviceOhms is what a device without volts is between its cores, about.
const deviceOhms = 100e3

// meter gives the ohms of a piece without volts, from the opening or a panel end up to where it ends or an isolator
// stops it. An earth fault is seen by the lead on its own core alone.
func meter(r Ring, f Fault, s Step) float64 {
	n := len(r.Devices)
	stops := func(k int) bool { return k < 0 || k >= n || r.Devices[k].Isolator && s.Leads != MinusEarth }
	first, way, devices := s.OpenAt+1, 1, 0
	if !s.ToIN {
		way = -1
		if first = s.OpenAt; first < 0 {
			first = n
		} else if devices = 1; stops(first) {
			return math.Inf(1)
		}
	}
	cores := 0.0 // ohms of the cable so far, both cores
	for k := first; k >= 0 && k <= n; k += way {
		place := f.Place
		if way < 0 {
			place = 1 - f.Place
		}
		if ohms, hit := hits(f, k, s.Leads, cores+r.ohms(k)*place); hit {
			return ohms
		}
		if parted, ok := f.parted(); ok && parted == k {
			break
		}
		cores += r.ohms(k)
		next := k
		if way < 0 {
			next = k - 1
		}
		if stops(next) {
			break
		}
		devices++
	}
	if s.Leads != Cores || devices == 0 {
		return math.Inf(1)
	}
	return deviceOhms / float64(devices)
}

// hits gives what the meter shows where the fault lies on a stretch and the leads see it.
func hits(f Fault, stretch int, leads Leads, cores float64) (float64, bool) {
	at, is := f.At, f.Kind == Leakage
	if short, ok := f.shorted(); ok {
		at, is = short, true
	}
	earth := f.Kind == Earth && (leads == MinusEarth) == f.Minus
	switch {
	case at != stretch:
	case leads == Cores && is:
		return cores + f.Ohms, true
	case leads != Cores && earth:
		return cores/2 + f.Ohms, true
	}
	return 0, false
}
