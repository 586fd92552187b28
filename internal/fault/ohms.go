package fault

import "math"

// deviceSiemens is the most that a device lets through between the cores while nothing is fed. Common practice, no source.
const deviceSiemens = 1e-5

// piece is what the leads see: from a place, one way, until something stops them.
type piece struct {
	low, high int     // places
	ohms      float64 // of both cores from OUT to where the leads are
}

// piece finds it. With nothing fed an isolator lets no meter through in its plus core, or does: the cause says.
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
	if s.Leads != MinusEarth && !c.passes {
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

// ohms foretells what the meter shows; endless where it shows nothing. Through devices it is vague. Whether they let
// anything through beside a leakage goes by the meter, so half of it is taken.
func (w *walk) ohms(s *Step) (ohms float64, vague bool) {
	p := w.r.piece(w.c, s)
	n := p.devices(len(w.r.Devices))
	site, meter := w.c.site(), w.x[ofMeter]
	if s.Leads != Cores {
		return w.toEarth(s, &p)
	}
	switch {
	case p.holds(site) && (w.c.Kind == Short || w.c.Kind == StuckShut):
		return meter * (w.way(&p, site/perDevice) + w.x[ofFault]), false
	case p.holds(site) && w.c.Kind == Leakage && w.x[ofFault] > 0:
		return meter * (w.way(&p, w.c.At) + 1/(w.x[ofFault]/w.r.Volts+deviceSiemens/2*float64(n))), false
	case n == 0: // an isolator that lets the meter through shows devices
		return math.Inf(1), w.r.isolated() && !w.c.passes
	}
	return meter / (deviceSiemens * float64(n)), true
}

// toEarth is the same between a core and earth. What the meter sees from the sound core, through the devices, differs by
// device: endless, or vague.
func (w *walk) toEarth(s *Step, p *piece) (ohms float64, vague bool) {
	switch {
	case w.c.Kind != Earth:
		return math.Inf(1), false
	case (s.Leads == MinusEarth) != w.c.Minus:
		return math.Inf(1), true
	case !p.holds(w.c.site()):
		return math.Inf(1), false
	}
	return w.x[ofMeter] * (w.way(p, w.c.At)/2 + w.x[ofFault]), false
}

// way is the ohms of both cores from the leads to the fault on a stretch.
func (w *walk) way(p *piece, stretch int) float64 {
	_, begin := w.r.begin(stretch)
	return w.x[ofCable] * math.Abs(begin+2*w.x[ofPlace]*w.r.Ohms[stretch]-p.ohms)
}
