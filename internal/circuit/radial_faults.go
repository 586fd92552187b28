package circuit

// breaks looks at a break of every cable: it is seen where what is left draws less than the band's lower end, whatever the
// volts, the warmth and the resistor. Devices that draw at rest, and a spur cut off beside the resistor, can hide it.
func (w *radial) breaks() error {
	if w.End == nil || w.BandLow == nil {
		return nil
	}
	seen := 0
	for i := range w.Points {
		left, err := w.solve(corner{volts: w.rhigh, celsius: w.Coldest, end: w.resistor(w.endLow), cut: &i})
		if err != nil {
			return err
		}
		p := &w.Points[i]
		switch {
		case !left.Exists || left.Out < *w.BandLow:
			seen++
		case p.Spur != "" && w.Source == nil: // less of it may be left than without resistance in the panel
		default:
			w.fails("a break of the cable to %s is not seen: at rest %s are left, not less than the %s below which the panel tells of one%s", p.Name, left.Out, *w.BandLow, behind(p))
		}
	}
	w.say("breaks that are seen: %d of %d cables", seen, len(w.Points))
	return nil
}

// behind says why a break of a spur is not seen.
func behind(p *Point) string {
	if p.Spur == "" {
		return ""
	}
	return "; it is on a spur, and the resistor is not behind it"
}

// shorts looks at a short at every point: it is seen where it draws more than the band's upper end, with the least volts and
// the warmest cable.
func (w *radial) shorts() error {
	if w.BandHigh == nil {
		return nil
	}
	seen := 0
	ohms, err := w.ohmsTo()
	if err != nil {
		return err
	}
	for i, r := range ohms {
		draws := Amps(float64(w.rlow) / float64(r+2*w.source))
		if w.Limit != nil {
			draws = min(draws, *w.Limit)
		}
		if draws > *w.BandHigh {
			seen++
			continue
		}
		w.fails("a short at %s is not seen: it draws %s, not more than the %s above which the panel tells of one", w.Points[i].Name, draws, *w.BandHigh)
	}
	w.say("shorts that are seen: %d of %d places", seen, len(w.Points))
	return nil
}

// ohmsTo gives both cores from the panel's terminals to each point, with the warmest cable.
func (w *radial) ohmsTo() ([]Ohms, error) {
	ohms := make([]Ohms, len(w.Points))
	at := map[string]Ohms{}
	trunk, spurs := Ohms(0), map[string]Ohms{}
	for i, p := range w.Points {
		p.Cable.Celsius = w.Warmth
		plus, minus, err := p.Cable.Cores()
		if err != nil {
			return nil, err
		}
		if p.Spur == "" {
			trunk += plus + minus
			at[p.Name], ohms[i] = trunk, trunk
			continue
		}
		if _, begun := spurs[p.Spur]; !begun {
			spurs[p.Spur] = at[p.Spur]
		}
		spurs[p.Spur] += plus + minus
		ohms[i] = spurs[p.Spur]
	}
	return ohms, nil
}

// Sentence says how the circuit stands.
func (v *RadialVerdict) Sentence() string {
	switch v.Says {
	case Failing:
		return "fails: " + v.Why
	case NotShown:
		if len(v.Missing) == 0 {
			return "not shown: with the resistor at its most in every state the bound leaves open whether " + and(v.Bounds) + " keeps the least volts"
		}
		return "not shown: " + and(v.Missing) + isAre(len(v.Missing)) + " not known"
	}
	return "shown: in alarm from the low battery every device keeps its least volts, the circuit gives the current, at rest the resistor's current is in its band, and every break and short of a cable is seen"
}

func isAre(n int) string {
	if n == 1 {
		return " is"
	}
	return " are"
}
