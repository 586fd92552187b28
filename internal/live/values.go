package live

import (
	"math"
	"slices"
	"time"
)

// Keeper chooses which of the values that a point shows every night become readings: those that say something new. It keeps a
// handful of numbers a point, whatever the years.
type Keeper struct {
	kept   float64
	at     time.Time // of the reading kept last; zero: none was
	last   float64   // the value before, kept or not
	any    bool
	steps  []float64 // between the last values
	around time.Time // values until then are kept: something happened
}

// What is new, chosen here, no source: two values in a row that are further from the reading kept last than so many standard
// deviations, on the same side; or so many days since.
const (
	newBeyond   = 4
	newAfter    = 60 * 24 * time.Hour
	aroundEvent = 48 * time.Hour
	stepsKept   = 21
	stepLeast   = 1.0 // of the display: a value is known no better than by its last digit
)

// Happened says that something happened at the point: what it shows then is kept.
func (k *Keeper) Happened(at time.Time) { k.around = at.Add(aroundEvent) }

// Keeps reports whether a value says something new. One that stands alone is no level, and waits for the next.
func (k *Keeper) Keeps(at time.Time, v float64) bool {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return false
	}
	before, had := k.last, k.any
	sd := k.noise()
	k.last, k.any = v, true
	if had {
		k.steps = append(k.steps, math.Abs(v-before))
		k.steps = k.steps[max(0, len(k.steps)-stepsKept):]
	}
	switch {
	case !had:
		return false
	case math.Abs(v-before) > newBeyond*sd*math.Sqrt2: // one of the two is no level
		return false
	case k.at.IsZero(), at.Before(k.around) && math.Abs(v-k.kept) > sd, at.Sub(k.at) >= newAfter,
		math.Abs(v-k.kept) > newBeyond*sd && math.Abs(before-k.kept) > newBeyond*sd && (v > k.kept) == (before > k.kept):
		k.kept, k.at = v, at
		return true
	}
	return false
}

// noise is the standard deviation of the values, by the median step between two: for normal noise a step is √2 of it, and the
// median of its size 0.6745 of that.
func (k *Keeper) noise() float64 {
	least := stepLeast / math.Sqrt(12)
	if len(k.steps) < 5 {
		return max(least, stepLeast)
	}
	sorted := slices.Sorted(slices.Values(k.steps))
	return max(least, sorted[len(sorted)/2]/(0.6745*math.Sqrt2))
}
