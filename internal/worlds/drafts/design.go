package drafts

import (
	"fmt"
	"math"
	"slices"
)

// Design is loops of devices in the order of their cable, by the indices of [Building.Places].
type Design struct {
	Loops     [][]int
	Isolators []int   // devices with an isolator on both sides
	MM2       float64 // cross-section of the cable
}

// Check says what is wrong with a design: a device that is on no loop or twice, a loop with too many.
func Check(b Building, d Design) error {
	n := len(b.Places())
	seen := make([]bool, n)
	for i, l := range d.Loops {
		if len(l) > b.Most {
			return fmt.Errorf("loop %d has %d devices, the panel takes %d", i+1, len(l), b.Most)
		}
		for _, k := range l {
			if k < 0 || k >= n || seen[k] {
				return fmt.Errorf("device %d is on loop %d, and it is not there or on a loop already", k, i+1)
			}
			seen[k] = true
		}
	}
	if k := slices.Index(seen, false); k >= 0 {
		return fmt.Errorf("device %d is on no loop", k)
	}
	for _, k := range d.Isolators {
		if k < 0 || k >= n {
			return fmt.Errorf("an isolator at device %d, which is not there", k)
		}
	}
	return nil
}

// Metres gives the cable of a design.
func Metres(b Building, d Design) float64 {
	places := b.Places()
	sum := 0.0
	for _, l := range d.Loops {
		for _, m := range Stretches(b, places, l) {
			sum += m
		}
	}
	return sum
}

// Stretches gives the metres of each stretch of a loop, the way back last. Each but that carries the slack of its device.
func Stretches(b Building, places []Place, loop []int) []float64 {
	var out []float64
	at := b.Panel
	for _, k := range loop {
		out = append(out, b.Metres(at, places[k])+Slack)
		at = places[k]
	}
	return append(out, b.Metres(at, b.Panel))
}

// Mark is what a design is worth.
type Mark struct {
	Metres float64
	Longer float64 // than the reference, as a share; below 0: shorter
	Why    string  // what is wrong with it; empty: nothing was found
}

// Within is the share by which cable may be longer than the reference's.
const Within = 0.05

// Score holds a design against the reference's metres, the rules and the volts of its loops.
func Score(b Building, d Design, reference float64, e Equipment) Mark {
	if err := Check(b, d); err != nil {
		return Mark{Metres: math.NaN(), Longer: math.NaN(), Why: err.Error()}
	}
	m := Mark{Metres: Metres(b, d)}
	if m.Longer = m.Metres/reference - 1; m.Longer > Within {
		m.Why = fmt.Sprintf("%.0f m of cable, %.1f %% longer than %.0f m", m.Metres, 100*m.Longer, reference)
	}
	for i := range d.Loops {
		if why := fails(Lay(b, d, i, e)); why != "" && m.Why == "" {
			m.Why = fmt.Sprintf("loop %d: %s", i+1, why)
		}
	}
	return m
}
