package hunts

import (
	"fmt"
	"slices"
	"strings"
)

// Tally is how hunts of a kind went.
type Tally struct {
	Kind    Kind
	Hunts   int
	Right   int
	Minutes []float64 // of each
}

// Median gives the median of the minutes.
func (t Tally) Median() float64 {
	m := slices.Sorted(slices.Values(t.Minutes))
	if len(m) == 0 {
		return 0
	}
	return (m[(len(m)-1)/2] + m[len(m)/2]) / 2
}

// Report is how hunts went, by kind and in all.
type Report []Tally

// All gives the tally of all kinds together.
func (r Report) All() Tally {
	var out Tally
	for _, t := range r {
		out.Hunts, out.Right, out.Minutes = out.Hunts+t.Hunts, out.Right+t.Right, append(out.Minutes, t.Minutes...)
	}
	return out
}

// Play hunts as many faults as are asked, the kinds in turn, from a seed on. A step that cannot be done ends it.
func Play(seed uint64, hunts int, with func(*World) Finder) (Report, error) {
	kinds := Kinds()
	out := make(Report, len(kinds))
	for i := range hunts {
		k := i % len(kinds)
		w := Plant(seed+uint64(i), kinds[k])
		verdict, err := w.Hunt(with(w))
		if err != nil {
			return nil, fmt.Errorf("%s, seed %d: %w", kinds[k], seed+uint64(i), err)
		}
		out[k].Kind = kinds[k]
		out[k].Hunts++
		out[k].Minutes = append(out[k].Minutes, w.Minutes)
		if w.Right(verdict) {
			out[k].Right++
		}
	}
	return out, nil
}

// String gives a table: kind, hunts, share found right, median minutes.
func (r Report) String() string {
	var b strings.Builder
	for _, t := range append(r, r.All()) {
		fmt.Fprintf(&b, "%-30s %5d %6.1f %% %6.1f min\n", t.Kind, t.Hunts, 100*float64(t.Right)/float64(max(1, t.Hunts)), t.Median())
	}
	return b.String()
}
