package hunts

import "math"

// live is the loop as it stands in a step: which stretches carry, and which devices are fed from where.
type live struct {
	ring    Ring
	fault   Fault
	step    Step
	carries []bool // by stretch
	fromOUT []bool // by device
	fromIN  []bool
	dead    []bool // in a shorted part
	short   bool   // the panel sees one
}

// stand works out how the loop stands.
func stand(r Ring, f Fault, s Step) *live {
	n := len(r.Devices)
	l := &live{ring: r, fault: f, step: s, carries: make([]bool, n+1), dead: make([]bool, n)}
	for k := range l.carries {
		l.carries[k] = true
	}
	if s.OpenAt >= 0 {
		l.carries[s.OpenAt+1] = false
	}
	// Where the technician has unplugged a stretch and it is broken too, it carries as little.
	if k, ok := f.parted(); ok {
		l.carries[k] = false
	}
	l.feed()
	if k, ok := f.shorted(); ok && l.touches(k) {
		l.isolate(k)
		l.feed()
	}
	return l
}

// feed finds who is fed from each end.
func (l *live) feed() {
	n := len(l.ring.Devices)
	l.fromOUT, l.fromIN = make([]bool, n), make([]bool, n)
	for k := 0; k < n && l.carries[k] && (l.step.Feed == Both || l.step.Feed == FromOUT); k++ {
		l.fromOUT[k] = true
	}
	for k := n - 1; k >= 0 && l.carries[k+1] && (l.step.Feed == Both || l.step.Feed == FromIN); k-- {
		l.fromIN[k] = true
	}
}

// fed says whether a device has volts.
func (l *live) fed(k int) bool { return k >= 0 && k < len(l.fromOUT) && (l.fromOUT[k] || l.fromIN[k]) }

// touches says whether a place on a stretch has volts from either end. An unplugged stretch hangs on its far device.
func (l *live) touches(stretch int) bool {
	n := len(l.ring.Devices)
	before := l.fed(stretch-1) || stretch == 0 && (l.step.Feed == Both || l.step.Feed == FromOUT)
	behind := l.fed(stretch) || stretch == n && (l.step.Feed == Both || l.step.Feed == FromIN)
	if l.step.OpenAt+1 == stretch && l.step.OpenAt >= 0 {
		before = false
	}
	return before || behind
}

// isolate has a short take what lies up to the next isolators. Where none lies between it and a panel end that is
// plugged in, that end gives nothing; the part that hangs on it is taken with the stretches up to it.
func (l *live) isolate(stretch int) {
	l.short = true
	unplugged := l.step.OpenAt+1 == stretch && l.step.OpenAt >= 0
	was := append([]bool{}, l.carries...)
	l.carries[stretch] = false
	for k := stretch; k < len(l.ring.Devices); k++ { // towards IN
		if l.opens(k, true) {
			break
		}
		l.dead[k] = true
		if l.opens(k, false) || !was[k+1] {
			l.carries[k+1] = false
			break
		}
		l.carries[k+1] = false
	}
	for k := stretch - 1; k >= 0 && !unplugged; k-- { // towards OUT
		if l.opens(k, false) {
			break
		}
		l.dead[k] = true
		l.carries[k] = false
		if l.opens(k, true) || !was[k] {
			break
		}
	}
}

// opens says whether the isolator of a device opens on its side towards OUT, or towards IN.
func (l *live) opens(k int, towardsOUT bool) bool {
	stuck := l.fault.Kind == StuckShut && l.fault.At == k && l.fault.Before == towardsOUT
	return l.ring.Devices[k].Isolator && !stuck
}

// Observe says what a step tells where nothing is misread and no meter is off.
func Observe(r Ring, f Fault, s Step) Answer {
	a := Answer{Twice: None}
	switch s.Look {
	case AtPanel:
		stand(r, f, s).panel(&a)
	case AtVolts:
		a.Volts = stand(r, f, s).volts(s.At, s.ToIN)
	case AtOhms:
		a.Ohms = meter(r, f, s)
	case AtDevice:
		if !f.Kind.OfCable() && f.At == s.At || f.Kind == Contact && (f.Place == 0 && f.At-1 == s.At || f.Place == 1 && f.At == s.At) {
			a.Found = f.Kind
		}
	case AtStretch:
		if f.Kind.OfCable() && f.At == s.At && f.Kind != Contact {
			a.Found = f.Kind
		}
	}
	return a
}

// answers says whether the panel hears a device at its own number.
func (l *live) answers(k int) bool {
	silent := l.fault.At == k && (l.fault.Kind == Dead || l.fault.Kind == Polarity || l.fault.Kind == Double)
	if l.fault.Kind == Double && l.fault.Other == k && l.fed(l.fault.At) {
		return true // the other one answers there too
	}
	return l.fed(k) && !l.dead[k] && !silent
}

func (l *live) panel(a *Answer) {
	missing, whole := false, l.step.Feed == Both && l.step.OpenAt < 0
	for k := range l.ring.Devices {
		a.Answers = append(a.Answers, l.answers(k))
		missing = missing || !a.Answers[k] && l.fed(k)
	}
	a.OutMA, a.InMA = l.ends()
	if l.fault.Kind == Double && l.fed(l.fault.At) && l.fed(l.fault.Other) {
		a.Twice = l.fault.Other
	}
	_, parted := l.fault.parted()
	extra := l.extra(func(int) bool { return true })
	switch {
	case l.short:
		a.Message = SaysShort
	case l.fault.Kind == Earth && l.touches(l.fault.At):
		a.Message = SaysEarth
	case a.Twice >= 0:
		a.Message = SaysDouble
	case parted && whole:
		a.Message = SaysOpen
	case extra > 0:
		a.Message = SaysCurrent
	case l.fault.Kind == Contact && whole:
		a.Message = SaysOhms
	case missing:
		a.Message = SaysMissing
	}
}

// extra gives the milliamperes of a leakage or overload, where it has volts and lies in a part.
func (l *live) extra(in func(device int) bool) float64 {
	at := l.fault.At
	switch l.fault.Kind {
	case Leakage:
		if l.touches(at) {
			if !l.fed(at) {
				at-- // counted at the device on the fed side of the stretch
			}
			if in(at) {
				return 1000 * l.ring.Volts / l.fault.Ohms
			}
		}
	case Overload:
		if l.fed(at) && in(at) {
			return l.fault.MA
		}
	}
	return 0
}

// ends gives what each end gives. Round a whole ring it divides by the ohms.
func (l *live) ends() (out, in float64) {
	whole := len(l.fromOUT) > 0 && l.fromOUT[len(l.fromOUT)-1] && l.fromIN[0]
	total := l.reach() + 2*l.ring.SourceOhm
	for k, d := range l.ring.Devices {
		ma := d.MA + l.extra(func(i int) bool { return i == k })
		switch {
		case whole:
			share := 1 - (l.ring.SourceOhm+l.upTo(k))/total
			out, in = out+ma*share, in+ma*(1-share)
		case l.fromOUT[k]:
			out += ma
		case l.fromIN[k]:
			in += ma
		}
	}
	return out, in
}

// reach gives the ohms of the whole ring, and upTo those from OUT to a device; a bad contact counts.
func (l *live) reach() float64 { return l.upTo(len(l.ring.Devices)) }

func (l *live) upTo(k int) float64 {
	ohms := 2 * l.ring.OhmsPerM * l.ring.along(k)
	if l.fault.Kind == Contact && l.fault.At <= k {
		ohms += l.fault.Ohms
	}
	return ohms
}

// volts gives the volts at a device's terminals. An isolator stuck open parts the two sides of its device.
func (l *live) volts(k int, toIN bool) float64 {
	sign := 1.0
	if l.fault.Kind == Polarity && l.fault.At == k {
		sign = -1
	}
	stuck := l.fault.Kind == StuckOpen && l.fault.At == k
	switch {
	case stuck && !toIN && l.fault.Before: // the cable from OUT ends at its own switch
		if k > 0 && l.fromOUT[k-1] || k == 0 && (l.step.Feed == Both || l.step.Feed == FromOUT) {
			return l.ring.Volts - l.drop(max(k-1, 0), false)
		}
		return 0
	case stuck && toIN && !l.fault.Before:
		if k+1 < len(l.fromIN) && l.fromIN[k+1] || k+1 == len(l.fromIN) && (l.step.Feed == Both || l.step.Feed == FromIN) {
			return l.ring.Volts - l.drop(min(k+1, len(l.fromIN)-1), true)
		}
		return 0
	case l.dead[k] || !l.fed(k):
		return 0
	}
	return sign * (l.ring.Volts - l.drop(k, !l.fromOUT[k]))
}

// drop gives the volts lost on the way to a device.
func (l *live) drop(k int, fromIN bool) float64 {
	n := len(l.ring.Devices)
	whole := l.fromOUT[n-1] && l.fromIN[0]
	lost, total := 0.0, l.reach()+2*l.ring.SourceOhm
	at := l.ring.SourceOhm + l.upTo(k)
	for i, d := range l.ring.Devices {
		ma := d.MA + l.extra(func(j int) bool { return j == i })
		to := l.ring.SourceOhm + l.upTo(i)
		switch {
		case whole:
			lost += ma / 1000 * math.Min(at, to) * (total - math.Max(at, to)) / total
		case !fromIN && l.fromOUT[i]:
			lost += ma / 1000 * math.Min(at, to)
		case fromIN && l.fromIN[i]:
			lost += ma / 1000 * (total - math.Max(at, to))
		}
	}
	return lost
}
