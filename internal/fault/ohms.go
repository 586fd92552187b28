package fault

import "math"

// deviceSiemens is what a device lets through between the cores while nothing is fed. Common practice, no source.
const deviceSiemens = 1e-5

// piece is what the leads see: from a place, one way, until something stops them.
type piece struct {
	low, high int     // places
	ohms      float64 // of both cores from OUT to where the leads are
}

// piece finds it. With nothing fed an isolator lets no meter through in its plus core.
func (r *Ring) piece(c *Cause, s *Step) piece {
	n := len(r.Devices)
	p := piece{low: -1, high: place(n, onStretch) + 1, ohms: 0}
	switch {
	case s.OpenAt != None:
		p.ohms = r.rho[s.OpenAt]
		if s.ToIn {
			p.low = place(s.OpenAt, onPlug)
		} else {
			p.high = place(s.OpenAt, onPlug)
		}
	case !s.ToIn:
		p.ohms = r.rho[n]
	}
	stop := func(at int) {
		switch {
		case at <= p.low || at >= p.high:
		case s.ToIn:
			p.high = at
		default:
			p.low = at
		}
	}
	if at, ok := c.cut(); ok {
		stop(at)
	}
	if s.Leads != MinusEarth {
		r.stopAtIsolators(&p, s.ToIn, stop)
	}
	return p
}

func (r *Ring) stopAtIsolators(p *piece, toIn bool, stop func(int)) {
	first, step := max(p.low/perDevice, 0), 1
	if !toIn {
		first, step = min(p.high/perDevice, len(r.Devices)-1), -1
	}
	for k := first; k >= 0 && k < len(r.Devices); k += step {
		low, high := p.low, p.high
		sides := [2]bool{r.Devices[k].Before, r.Devices[k].After}
		at := [2]int{place(k, onBefore), place(k, onAfter)}
		for i := range sides {
			if j := (i + (1-step)/2) % 2; sides[j] {
				stop(at[j])
			}
		}
		if low != p.low || high != p.high {
			return
		}
	}
}

func (p *piece) holds(at int) bool { return at > p.low && at < p.high }

// devices counts those within.
func (p *piece) devices(n int) int {
	first := max(0, (p.low-onDevice)/perDevice+1)
	if p.low < onDevice {
		first = 0
	}
	return max(0, min(n, (p.high-onDevice+perDevice-1)/perDevice)-first)
}

// ohms foretells what the meter shows; endless where it shows nothing that places the fault.
func (w *walk) ohms(s *Step) float64 {
	p := w.r.piece(w.c, s)
	if !p.holds(w.c.site()) {
		return math.Inf(1)
	}
	meter := w.x[ofMeter]
	switch {
	case s.Leads == Cores && (w.c.Kind == Short || w.c.Kind == StuckShut):
		return meter * (w.way(&p, w.c.site()/perDevice) + w.x[ofFault])
	case s.Leads == Cores && w.c.Kind == Leakage && w.x[ofFault] > 0:
		through := w.x[ofFault]/w.r.Volts + deviceSiemens*float64(p.devices(len(w.r.Devices)))
		return meter * (w.way(&p, w.c.At) + 1/through)
	case w.c.Kind == Earth && s.Leads == PlusEarth && !w.c.Minus, w.c.Kind == Earth && s.Leads == MinusEarth && w.c.Minus:
		return meter * (w.way(&p, w.c.At)/2 + w.x[ofFault])
	}
	return math.Inf(1)
}

// way is the ohms of both cores from the leads to the fault on a stretch.
func (w *walk) way(p *piece, stretch int) float64 {
	_, begin := w.r.begin(stretch)
	return w.x[ofCable] * math.Abs(begin+2*w.x[ofPlace]*w.r.Ohms[stretch]-p.ohms)
}
