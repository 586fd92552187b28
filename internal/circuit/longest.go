package circuit

// Longest finds by halving how many times as long every cable may be with the verdict still shown, to half a per cent, up to
// most; 0: the loop is shown at no length.
func (l *Loop) Longest(d Demand, facts []Fact, most float64) (float64, error) {
	d.quick = true
	shown := func(factor float64) (bool, error) {
		longer := l.scaled(factor)
		v, err := Judge(&longer, d, facts)
		return err == nil && v.Says == Shown, err
	}
	low, high := 0.0, most
	if ok, err := shown(most); ok || err != nil {
		return most, err
	}
	if ok, err := shown(1); err != nil {
		return 0, err
	} else if ok {
		low = 1
	} else if high = 1; true {
		if ok, err = shown(1e-3); !ok || err != nil {
			return 0, err
		}
	}
	for high-low > 5e-3*high {
		mid := (low + high) / 2
		ok, err := shown(mid)
		if err != nil {
			return 0, err
		}
		if ok {
			low = mid
		} else {
			high = mid
		}
	}
	return low, nil
}
