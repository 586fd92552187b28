package circuit

import "fmt"

// Stretch says how much longer the cable of the ring may be, every part of it in proportion.
type Stretch struct {
	Factor float64
	Metres Metres // of the ring and its spurs, at that factor
	Reason string // what stops it
}

// Stretch finds the factor by halving, to a thousandth; below 1 the loop is too long already, and 0 means that no
// length would do.
func (l *Loop) Stretch(alarms Alarms) (Stretch, error) {
	var s Stretch
	bears := func(factor float64) (bool, error) {
		longer := l.scaled(factor)
		ok, why, err := longer.bears(alarms)
		if !ok {
			s.Reason = why
		}
		return ok, err
	}
	low, high := 0.0, 1.0
	for {
		ok, err := bears(high)
		if err != nil {
			return s, err
		}
		if !ok {
			break
		}
		low, high = high, 2*high
		if high > 1e6 {
			return Stretch{Factor: low, Metres: l.metres(low), Reason: "nothing stops it"}, nil
		}
	}
	for high-low > 1e-3*high && high > 1e-3 {
		mid := (low + high) / 2
		ok, err := bears(mid)
		if err != nil {
			return s, err
		}
		if ok {
			low = mid
		} else {
			high = mid
		}
	}
	s.Factor, s.Metres = low, l.metres(low)
	return s, nil
}

func (l *Loop) scaled(factor float64) Loop {
	longer := l.clone()
	scale := func(c *Cable) {
		c.Metres *= Metres(factor)
		c.Plus *= Ohms(factor)
		c.Minus *= Ohms(factor)
	}
	for i := range longer.Points {
		scale(&longer.Points[i].Cable)
	}
	scale(&longer.Return)
	return longer
}

func (l *Loop) metres(factor float64) Metres {
	sum := l.Return.Metres
	for i := range l.Points {
		sum += l.Points[i].Cable.Metres
	}
	return sum * Metres(factor)
}

// CrossSection is the answer to which conductor would do.
type CrossSection struct {
	MM2      float64 // 0: none of the table does
	Measured int     // cables whose resistance was measured, and which were left as they are
	Reason   string
}

// CrossSection tries the usual cross-sections from the smallest and gives the first with which every single fault is
// borne. Class, tinning and temperature stay as they are.
func (l *Loop) CrossSection(alarms Alarms) (CrossSection, error) {
	var answer CrossSection
	for _, row := range Metric() {
		other := l.clone()
		answer.Measured = 0
		change := func(c *Cable) {
			if c.Plus != 0 || c.Minus != 0 {
				answer.Measured++
				return
			}
			c.Conductor.OhmsPerKm, c.Conductor.AWG, c.Conductor.MM2 = 0, 0, row.MM2
		}
		for i := range other.Points {
			change(&other.Points[i].Cable)
		}
		change(&other.Return)
		ok, why, err := other.bears(alarms)
		if err != nil {
			return answer, err
		}
		if ok {
			answer.MM2 = row.MM2
			if answer.Reason != "" {
				answer.Reason = "with the next smaller one, " + answer.Reason + "; "
			}
			answer.Reason += fmt.Sprintf("with %g mm2, %s", row.MM2, why)
			return answer, nil
		}
		answer.Reason = why
	}
	return answer, nil
}
