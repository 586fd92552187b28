package fault

// Places along the loop in order: eight to a device, so that a cut has a place of its own. A stretch comes first, then
// the terminals towards OUT, the isolator on that side, the device, the other isolator, the terminals towards IN, and the
// plug behind them.
const (
	onStretch = iota
	onTerminalsOut
	onBefore
	onDevice
	onAfter
	onTerminalsIn
	onPlug
	perDevice = 8
)

func place(k, part int) int { return perDevice*k + part }

// reach is what is fed: from OUT up to a place, from IN down to one. A closed ring is fed throughout.
type reach struct {
	fromOut, fromIn int // places; what lies before the one and behind the other is fed
	closed          bool
	shorted         bool // a short took something
}

func (f *reach) fed(place int) bool { return f.closed || place < f.fromOut || place > f.fromIn }

// upTo counts the devices that are fed from OUT, of n.
func (f *reach) upTo(n int) int {
	if f.closed {
		return n
	}
	return min(n, (f.fromOut-onDevice+perDevice-1)/perDevice)
}

// from is the first device that is fed from IN, of n.
func (f *reach) from(n int) int {
	switch {
	case f.closed:
		return n
	case f.fromIn < onDevice:
		return 0
	}
	return min(n, (f.fromIn-onDevice)/perDevice+1)
}

// cut is the place where a cause interrupts the loop.
func (c *Cause) cut() (int, bool) {
	switch {
	case c.Kind == Open:
		return place(c.At, onStretch), true
	case c.Kind == StuckOpen && c.Side:
		return place(c.At, onBefore), true
	case c.Kind == StuckOpen:
		return place(c.At, onAfter), true
	}
	return 0, false
}

// site is the place that a cause is at, as far as feeding goes.
func (c *Cause) site() int {
	switch {
	case c.Kind == StuckShut && !c.Side:
		return place(c.At+1, onStretch) // the short beside it
	case c.Kind.OfCable() || c.Kind == StuckShut:
		return place(c.At, onStretch)
	}
	return place(c.At, onDevice)
}

// reach says what is fed when the loop stands as a step wants it.
func (r *Ring) reach(c *Cause, s *Step) reach {
	end := place(len(r.Devices), onStretch) + 1
	f := reach{fromOut: end, fromIn: -1, closed: s.Feed == Both}
	interrupt := func(at int) {
		f.closed = false
		f.fromOut, f.fromIn = min(f.fromOut, at), max(f.fromIn, at)
	}
	if s.OpenAt != None {
		interrupt(place(s.OpenAt, onPlug))
	}
	if at, ok := c.cut(); ok {
		interrupt(at)
	}
	if s.Feed == FromOut || s.Feed == Off {
		f.fromIn = end
	}
	if s.Feed == FromIn || s.Feed == Off {
		f.fromOut = -1
	}
	if c.Kind == Short || c.Kind == StuckShut {
		r.isolate(c, &f)
	}
	return f
}

// isolate opens the isolators next to a short that is fed.
func (r *Ring) isolate(c *Cause, f *reach) {
	at := c.site()
	left, right := f.closed || at < f.fromOut, f.closed || at > f.fromIn
	f.shorted = left || right
	if left {
		f.fromOut = r.switchBefore(c, at)
	}
	if right {
		f.fromIn = r.switchBehind(c, at)
	}
	f.closed = false
}

// switchBefore finds the isolator that opens on the OUT side of a place; -1: none does.
func (r *Ring) switchBefore(c *Cause, at int) int {
	for k := min(at/perDevice, len(r.Devices)) - 1; k >= 0; k-- {
		stuck := c.Kind == StuckShut && c.At == k
		switch d := r.Devices[k]; {
		case d.After && !(stuck && !c.Side):
			return place(k, onAfter)
		case d.Before && !(stuck && c.Side):
			return place(k, onBefore)
		}
	}
	return -1
}

// switchBehind finds the one on the IN side; past the end: none does.
func (r *Ring) switchBehind(c *Cause, at int) int {
	for k := at / perDevice; k < len(r.Devices); k++ {
		stuck := c.Kind == StuckShut && c.At == k
		switch d := r.Devices[k]; {
		case d.Before && !(stuck && c.Side):
			return place(k, onBefore)
		case d.After && !(stuck && !c.Side):
			return place(k, onAfter)
		}
	}
	return place(len(r.Devices), onStretch) + 1
}
