package fault

import "math"

// How often an answer is wrong. Common practice, no source.
const (
	misread   = 0.02 // a reading or a message
	overlook  = 0.05 // what is to be seen is not seen
	slipsList = 0.02 // a device more or less on the list

	devicesShare = 0.3  // how far what devices let through may be off
	overChance   = 0.05 // that a meter is over its range where there is something to read; a device on the loop often hides it
	vagueChance  = 0.3  // that a meter shows something else where devices or isolators let it through
)

// quantity is one reading of an answer.
type quantity uint8

const (
	outMA quantity = iota
	inMA
	volts
	ohms
)

// quantities lists what a look reads.
func quantities(l Look) []quantity {
	switch l {
	case AtPanel:
		return []quantity{outMA, inMA}
	case AtVolts:
		return []quantity{volts}
	case AtOhms:
		return []quantity{ohms}
	}
	return nil
}

func (a *Answer) read(q quantity) float64 {
	return [...]float64{outMA: a.OutMA, inMA: a.InMA, volts: a.Volts, ohms: a.Ohms}[q]
}

// value foretells a reading.
func (w *walk) value(s *Step, q quantity) (value float64, vague bool) {
	switch q {
	case outMA, inMA:
		out, in := w.ends()
		if q == inMA {
			return 1000 * in, false
		}
		return 1000 * out, false
	case volts:
		return w.volts(s.At, s.ToIn), false
	}
	return w.ohms(s)
}

// expected is a reading as a cause foretells it: a normal distribution.
type expected struct {
	mean  float64
	slope vector
	noise float64 // variance of the reading alone
	vague bool    // the mean is known to its share only, or may be endless
}

// expect foretells a reading with its slopes by the unknowns.
func (r *Ring) expect(c *Cause, s *Step, f *reach, q quantity) expected {
	x := c.mean
	w := walk{r, c, f, &x}
	var e expected
	if e.mean, e.vague = w.value(s, q); math.IsInf(e.mean, 0) {
		return e
	}
	for i := range x {
		step := 0.01 * math.Sqrt(c.cov[i][i])
		if step == 0 {
			continue
		}
		x[i] += step
		changed, _ := w.value(s, q)
		e.slope[i] = (changed - e.mean) / step
		x[i] -= step
	}
	e.noise = r.noise(q, e.mean)
	switch beside := deviceSiemens / 2 * float64(len(r.Devices)) * e.mean * e.mean; {
	case e.vague:
		e.noise = devicesShare * devicesShare * e.mean * e.mean
	case q == ohms && c.Kind == Leakage:
		e.noise += beside * beside
	}
	return e
}

// noise is the variance of one reading: the meter's last digits and leads, and what single cables and devices are off by
// themselves. Common practice, no source.
func (r *Ring) noise(q quantity, mean float64) float64 {
	var share, floor float64
	switch q {
	case outMA, inMA:
		share, floor = 0.015*mean, 1
	case volts:
		share, floor = 0.03*(r.Volts-math.Abs(mean)), 0.06
		if mean == 0 {
			share, floor = 0, 0.2
		}
	case ohms:
		share, floor = 0.01*mean, 0.1
	}
	return share*share + floor*floor
}

// broad is the density of a reading that is wrong, or of which nothing is foretold.
func (r *Ring) broad(q quantity, read float64) float64 {
	switch q {
	case outMA, inMA:
		return 1 / 200.0
	case volts:
		return 1 / (2 * r.Volts)
	}
	return 1 / (max(read, 0.1) * math.Log(1e6))
}

// weigh adds to a cause what an answer says of it, and narrows its unknowns.
func (r *Ring) weigh(c *Cause, a *Asked) {
	f := r.reach(c, &a.Step)
	c.odd = false
	switch a.Step.Look {
	case AtPanel:
		c.weight += r.weighPanel(c, a)
	case AtDevice, AtStretch:
		c.weight += r.weighSeen(c, a)
	}
	for _, q := range quantities(a.Step.Look) {
		if read := a.Answer.read(q); !math.IsNaN(read) {
			c.weight += r.weighReading(c, a, &f, q, read)
		}
	}
}

// wrong notes that a part of an answer is a wrong one, if this is the cause.
func (c *Cause) wrong(is bool) {
	if is {
		c.odd = true
		c.wrongs++
	}
}

// weighReading weighs one reading, and narrows by it what is not known, unless it is rather a wrong one.
func (r *Ring) weighReading(c *Cause, a *Asked, f *reach, q quantity, read float64) float64 {
	e := r.expect(c, &a.Step, f, q)
	if q == ohms && (math.IsInf(e.mean, 0) || math.IsInf(read, 0)) {
		chance, fits := r.overRange(&e, read)
		c.wrong(!fits)
		return math.Log(chance)
	}
	variance, _ := c.spread(&e.slope)
	fits := (1 - misread) * density(read-e.mean, variance+e.noise)
	wrong := misread * r.broad(q, read)
	if e.vague { // whatever devices let through is no slip of the meter
		return math.Log(fits + vagueChance*r.broad(q, read))
	}
	if fits > wrong {
		r.narrow(c, a, f, q, read)
	} else {
		c.wrong(true)
	}
	return math.Log(fits + wrong)
}

// narrow learns a reading. Where it moves the unknowns far, the slopes are taken again where it moved them.
func (r *Ring) narrow(c *Cause, a *Asked, f *reach, q quantity, read float64) {
	moved := *c
	for range 3 {
		e := r.expect(&moved, &a.Step, f, q)
		off := read - e.mean
		for i, slope := range e.slope {
			off -= slope * (c.mean[i] - moved.mean[i])
		}
		moved.believed = c.believed
		moved.learn(off, &e.slope, e.noise)
	}
	c.believed = moved.believed
}

// overRange weighs a meter over its range, and one that should be; and says whether it fits.
func (r *Ring) overRange(e *expected, read float64) (chance float64, fits bool) {
	switch endless := math.IsInf(read, 0); {
	case math.IsInf(e.mean, 0) && endless:
		return 1 - misread, true
	case endless && !math.IsInf(e.mean, 0): // the device at the leads, or their contact, may let no meter through
		if e.vague {
			return vagueChance, true
		}
		return overChance, false
	case e.vague && !endless:
		return vagueChance * r.broad(ohms, read), true
	}
	return misread * r.broad(ohms, min(read, 1e6)), false
}

// weighPanel weighs the list and the message.
func (r *Ring) weighPanel(c *Cause, a *Asked) float64 {
	t := r.panel(c, &a.Step)
	weight := 0.0
	if a.Answer.Answers != nil {
		chance, fits := r.weighList(&t, a.Answer.Answers)
		weight += chance
		c.wrong(!fits)
	}
	if m := a.Answer.Message; m != Unread {
		if m == t.message {
			weight += math.Log(1 - misread)
		} else {
			weight += math.Log(misread / float64(Unread))
			c.wrong(true)
		}
	}
	if c.Kind == Double && a.Answer.Message == SaysDouble && c.Other != None && a.Answer.Twice != None && a.Answer.Twice != t.twice {
		weight += math.Log(misread)
	}
	return weight
}

// weighList: one device more or less is a slip of whoever reads, more are hardly that.
func (r *Ring) weighList(t *foretold, list []bool) (weight float64, fits bool) {
	wrong := 0
	for k, answers := range list {
		if !r.Devices[k].Mute && answers != t.answers(k) {
			wrong++
		}
	}
	if wrong == 0 {
		return math.Log(1 - slipsList), true
	}
	each := math.Log(slipsList / float64(len(list)))
	return each + float64(min(wrong-1, 3))*math.Log(slipsList), false
}

// weighSeen weighs what was seen at a device or along a stretch.
func (r *Ring) weighSeen(c *Cause, a *Asked) float64 {
	seen := r.seenBy(c, &a.Step)
	switch found := a.Answer.Found; {
	case found == 0:
		c.wrong(seen > 0)
		return math.Log(1 - max(seen, misread))
	case found == c.Kind && seen > 0:
		return math.Log(seen)
	}
	c.wrong(true)
	return math.Log(misread / float64(len(kindRows)))
}

// seenBy is the chance that a cause is seen where a step looks. A bad contact is at a device's clamps, or at the panel's,
// which belong to the first and last stretch. The short beside an isolator is on a stretch of its own.
func (r *Ring) seenBy(c *Cause, s *Step) float64 {
	there := !c.Kind.Gone() && c.At == s.At && c.Kind.OfCable() == (s.Look == AtStretch)
	if c.Kind == Contact {
		device := c.At
		if c.Side {
			device--
		}
		inside := device >= 0 && device < len(r.Devices)
		there = inside && s.Look == AtDevice && s.At == device || !inside && s.Look == AtStretch && s.At == c.At
	}
	if !there {
		return 0
	}
	return 1 - overlook
}
