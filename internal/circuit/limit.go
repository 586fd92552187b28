package circuit

// Margin is how far a state is from the limit beyond which there is no operating point.
type Margin struct {
	// Factor is what all loads together may be multiplied by; below 1 the state itself is beyond the limit.
	Factor  float64
	Bounded bool // false: no factor reaches the limit, as with nothing but resistances
}

// Margin finds the factor by halving an interval, to one part in 1e9; each trial is one solution.
func (c *Circuit) Margin(state State) (Margin, error) {
	left, err := c.cut(state.Faults)
	if err != nil {
		return Margin{}, err
	}
	loads, err := c.loads(state)
	if err != nil {
		return Margin{}, err
	}
	var least Margin
	w := c.newLadder(&left)
	for _, a := range left.arcs(len(c.ring)) {
		if m := w.margin(a, loads); m.Bounded && (!least.Bounded || m.Factor < least.Factor) {
			least = m
		}
	}
	return least, nil
}

// margin doubles until a trial fails, then halves.
func (w *ladder) margin(a arc, loads []Load) Margin {
	scaled := make([]Load, len(loads))
	holds := func(factor float64) bool {
		for i, load := range loads {
			if load.Kind == Resistance {
				load.Value /= factor
			} else {
				load.Value *= factor
			}
			scaled[i] = load
		}
		_, ok := w.settle(a, scaled)
		return ok
	}
	low, high := 0.0, 1.0
	for holds(high) {
		low, high = high, 2*high
		if high > 1e9 {
			return Margin{}
		}
	}
	for high-low > 1e-9*high {
		if mid := (low + high) / 2; holds(mid) {
			low = mid
		} else {
			high = mid
		}
		if high < 1e-9 {
			break
		}
	}
	return Margin{Factor: low, Bounded: true}
}
