package hunts

import "math"

// halving is the peer: the loop is unplugged in the middle of what is left, somebody reads at the panel what the part
// fed from OUT does, and the middle moves. What is left in the end is looked at; where nothing is to be seen, it begins
// again once.
type halving struct {
	c        Case
	low, top int // the fault lies behind device low-1 and not behind device top: in stretches and devices low to top
	asked    int // answers taken in
	left     []Step
	looked   bool // the list of what is left has been made
	again    bool
}

// Halving gives the peer policy.
func Halving(c Case) Finder {
	h := &halving{c: c}
	h.begin()
	return h
}

// begin takes what the panel's list says: a short lies among those it takes, a break and the rest anywhere.
func (h *halving) begin() {
	n := len(h.c.Ring.Devices)
	h.low, h.top, h.left, h.looked = 0, n, nil, false
	missing := h.missing()
	switch {
	case h.c.Panel.Message == SaysShort && len(missing) > 0 && len(missing) < n:
		h.low, h.top = missing[0], missing[len(missing)-1]+1
	case h.c.Panel.Message == SaysDouble || h.c.Panel.Message == SaysMissing:
		h.looked = true
		for _, k := range missing {
			h.left = append(h.left, lookAt(k))
		}
	}
}

func (h *halving) missing() []int {
	var out []int
	for k, ok := range h.c.Panel.Answers {
		if !ok {
			out = append(out, k)
		}
	}
	return out
}

func lookAt(device int) Step { return Step{OpenAt: None, Feed: Both, Look: AtDevice, At: device} }

// Next goes on.
func (h *halving) Next(asked []Asked) (Step, *Verdict) {
	for ; h.asked < len(asked); h.asked++ {
		a := asked[h.asked]
		switch a.Step.Look {
		case AtPanel:
			h.halve(a.Step.OpenAt, h.before(a))
		case AtVolts:
			h.halve(a.Step.At, h.lower(a))
		default:
			if a.Answer.Found != "" {
				return Step{}, &Verdict{a.Answer.Found, h.stretchOf(a), 0.95}
			}
		}
	}
	if h.low < h.top && !h.looked {
		return h.split(), nil
	}
	return h.look()
}

// stretchOf gives the place of what was found: a contact is on the stretch that is left.
func (h *halving) stretchOf(a Asked) int {
	if a.Answer.Found == Contact {
		return h.low
	}
	return a.Step.At
}

// split is the step in the middle.
func (h *halving) split() Step {
	middle := (h.low+h.top+1)/2 - 1
	if h.c.Panel.Message == SaysOhms {
		return Step{OpenAt: None, Feed: FromOUT, Look: AtVolts, At: middle}
	}
	return Step{OpenAt: middle, Feed: FromOUT, Look: AtPanel}
}

// halve keeps what lies up to a device, or behind it.
func (h *halving) halve(device int, before bool) {
	if before {
		h.top = min(h.top, device)
	} else {
		h.low = max(h.low, device+1)
	}
}

// before says whether the part in front shows the fault.
func (h *halving) before(a Asked) bool {
	switch h.c.Panel.Message {
	case SaysOpen:
		return !a.Answer.Answers[a.Step.OpenAt]
	case SaysCurrent:
		want := 0.0
		for _, d := range h.c.Ring.Devices[:a.Step.OpenAt+1] {
			want += d.MA
		}
		return a.Answer.OutMA > want*1.1+8
	}
	return a.Answer.Message == h.c.Panel.Message
}

// lower says whether the volts are lower than calculated by more than a meter is off.
func (h *halving) lower(a Asked) bool {
	healthy := stand(h.c.Ring, Fault{At: None}, a.Step).volts(a.Step.At, false)
	return healthy-a.Answer.Volts > 0.4
}

// look looks at what is left: the devices on either side, then along the stretch.
func (h *halving) look() (Step, *Verdict) {
	n := len(h.c.Ring.Devices)
	if !h.looked {
		h.looked = true
		for _, k := range []int{h.low, h.low - 1} {
			if k >= 0 && k < n {
				h.left = append(h.left, lookAt(k))
			}
		}
		h.left = append(h.left, Step{OpenAt: None, Feed: Both, Look: AtStretch, At: h.low})
	}
	if len(h.left) > 0 {
		next := h.left[0]
		h.left = h.left[1:]
		return next, nil
	}
	if !h.again {
		h.again = true
		h.begin()
		return h.Next(nil)
	}
	kinds := map[Message]Kind{SaysOpen: Open, SaysShort: Short, SaysEarth: Earth, SaysCurrent: Leakage, SaysOhms: Contact, SaysDouble: Double, SaysMissing: Dead}
	at := h.low
	if missing := h.missing(); (h.c.Panel.Message == SaysDouble || h.c.Panel.Message == SaysMissing) && len(missing) > 0 {
		at = missing[0]
	}
	return Step{}, &Verdict{kinds[h.c.Panel.Message], min(at, n), math.NaN()}
}
