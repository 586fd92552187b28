package app

import (
	"fmt"

	"sootline/internal/design"
)

// evenCost is how much longer all the cable may be for loops that share the devices evenly: a judgement of ours, no source.
const evenCost = 0.04

// shared makes so many loops with even shares of the devices, or with the least cable where even ones would take much more of it,
// a larger cross-section, or are not shown. It is nil where the devices do not go on so many loops.
func (m *designing) shared(loops, most int) (*Design, error) {
	b := m.building()
	even, short, err := m.both(b, loops, most)
	switch {
	case err != nil:
		return nil, err
	case even == nil || short == nil:
		if even == nil {
			even = short
		}
		return even, nil
	case even.rank() < short.rank():
		short.uneven = "fewer of the loops would be shown with even ones"
	case short.rank() < even.rank():
		return even, nil
	case even.MM2 > short.MM2:
		short.uneven = fmt.Sprintf("even ones would take cable of %g mm2", even.MM2)
	case even.Metres > short.Metres*(1+evenCost):
		short.uneven = fmt.Sprintf("even ones would take %.0f m of cable more", even.Metres-short.Metres)
	default:
		return even, nil
	}
	return short, nil
}

// both lays so many loops evenly, and with the least cable; what cannot be laid is nil. Of one loop there is one way.
func (m *designing) both(b *design.Building, loops, most int) (even, short *Design, err error) {
	if laid := b.Loops(m.brief.places, loops, most, designSeed); laid != nil {
		if short, err = m.sized(laid); err != nil || len(laid) < 2 {
			return nil, short, err
		}
	}
	if laid := b.EvenLoops(m.brief.places, loops, most, designSeed); laid != nil {
		even, err = m.sized(laid)
	}
	return even, short, err
}
