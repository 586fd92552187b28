package fault

// walk is one cause with one choice of the unknowns, on a ring that stands in one way.
type walk struct {
	r *Ring
	c *Cause
	f *reach
	x *vector
}

// contact is the ohms that a bad contact adds to what lies from a device on.
func (w *walk) contact() (from int, ohms float64) {
	if w.c.Kind == Contact {
		return w.c.At, w.x[ofFault]
	}
	return len(w.r.Metres), 0
}

// extra is the current that the fault draws, with the ohms of both cores at which it does.
func (w *walk) extra() (amps, ohms float64) {
	switch w.c.Kind {
	case Leakage:
		_, begin := w.r.begin(w.c.At)
		return w.x[ofFault], w.r.Source + w.x[ofCable]*(begin+2*w.x[ofPlace]*w.r.Ohms[w.c.At])
	case Overload:
		return w.x[ofFault], w.ohmsTo(w.c.At)
	}
	return 0, 0
}

// ohmsTo is the ohms of both cores from OUT's source to a device.
func (w *walk) ohmsTo(k int) float64 {
	ohms := w.r.Source + w.x[ofCable]*w.r.rho[k]
	if from, more := w.contact(); k >= from {
		ohms += more
	}
	return ohms
}

// around is the ohms of both cores from one source to the other.
func (w *walk) around() float64 {
	_, more := w.contact()
	return 2*w.r.Source + w.x[ofCable]*w.r.rho[len(w.r.rho)-1] + more
}

// ends gives the amperes that each end gives.
func (w *walk) ends() (out, in float64) {
	r, n, loads := w.r, len(w.r.Devices), w.x[ofLoads]
	amps, ohms := w.extra()
	if w.f.closed {
		from, more := w.contact()
		whole := w.around()
		turn := r.Source*r.amps[n] + w.x[ofCable]*r.turn[n] + more*(r.amps[n]-r.amps[min(from, n)])
		out = loads*(r.amps[n]-turn/whole) + amps*(1-ohms/whole)
		return out, loads*r.amps[n] + amps - out
	}
	out, in = loads*r.amps[w.f.upTo(n)], loads*(r.amps[n]-r.amps[w.f.from(n)])
	switch at := w.c.site(); {
	case at < w.f.fromOut:
		out += amps
	case at > w.f.fromIn:
		in += amps
	}
	return out, in
}

// volts between the cores at a device's terminals; 0 where nothing is fed.
func (w *walk) volts(k int, toIn bool) float64 {
	at := place(k, onTerminalsOut)
	if toIn {
		at = place(k, onTerminalsIn)
	}
	volts := 0.0
	switch {
	case w.f.closed || at < w.f.fromOut:
		volts = w.fromOut(k)
	case at > w.f.fromIn:
		volts = w.fromIn(k)
	}
	if w.c.Kind == Polarity && w.c.At == k {
		volts = -volts
	}
	return volts * w.x[ofMeter]
}

// fromOut: the current of what lies behind, times the ohms up to it.
func (w *walk) fromOut(k int) float64 {
	r := w.r
	out, _ := w.ends()
	ohms := w.ohmsTo(k)
	passed := w.x[ofCable] * (r.rho[k]*r.amps[k] - r.turn[k])
	if from, more := w.contact(); k >= from {
		passed += more * r.amps[from]
	}
	drop := out*ohms - w.x[ofLoads]*passed
	if amps, at := w.extra(); at < ohms {
		drop -= amps * (ohms - at)
	}
	return r.Volts + w.x[ofSupply] - drop
}

// fromIn is the same from the other end.
func (w *walk) fromIn(k int) float64 {
	r, n := w.r, len(w.r.Devices)
	_, in := w.ends()
	ohms := w.around() - w.ohmsTo(k)
	behind := r.amps[n] - r.amps[k+1]
	passed := w.x[ofCable] * (r.turn[n] - r.turn[k+1] - r.rho[k]*behind)
	if from, more := w.contact(); k < from && from <= n {
		passed += more * (r.amps[n] - r.amps[min(from, n)])
	}
	drop := in*ohms - w.x[ofLoads]*passed
	if amps, at := w.extra(); amps != 0 && at > w.ohmsTo(k) {
		drop -= amps * (at - w.ohmsTo(k))
	}
	return r.Volts + w.x[ofSupply] - drop
}
