package judge

import (
	"math"
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

const (
	dayMillis  = 24 * 60 * 60 * 1000
	yearMillis = 365.25 * dayMillis
)

// look is one visit to a point: the median of all samples of a day, since samples minutes apart are no
// independent look at a drift that takes months.
type look struct {
	at       time.Time
	t        float64            // years since 1970
	y        float64            // as it was written
	now      float64            // on the scale of which the type sheet speaks
	factor   float64            // of that scale on the one of its time
	readings []sootline.Reading // those of that day, of the type's own quantity
}

// wildest is the largest magnitude of a value that is looked at here: no device
// counts so far, and the squares of what is larger leave the range of numbers.
const wildest = 1e9

// tooFarApart is how many usual standard deviations two readings of one day may lie apart and still be one look:
// beyond, something happened between, or one of them is wrong.
const tooFarApart = 6

// appendLooks collapses readings in order of time, between which nothing was reset, into looks. A look with a
// number that no device gives is left out.
func appendLooks(looks []look, readings []sootline.Reading, apart float64) []look {
	looks = slices.Grow(looks, len(readings))
	var room [16]float64
	samples := room[:0]
	for start, end := 0, 0; start < len(readings); start = end {
		samples = samples[:0]
		for end = start; end < len(readings) && day(readings[end].At) == day(readings[start].At); end++ {
			if end > start && !near(readings[end].Samples, readings[start].Samples, apart) {
				break
			}
			samples = append(samples, readings[end].Samples...)
		}
		value, ok := robust.MedianInPlace(samples)
		if !ok || math.Abs(value) > wildest {
			continue
		}
		at := readings[end-1].At
		looks = append(looks, look{at: at, t: years(at), y: value, now: value, factor: 1, readings: readings[start:end]})
	}
	return looks
}

// near reports whether two readings may be of one look.
func near(a, b []float64, apart float64) bool {
	x, ok := robust.Median(a)
	y, fine := robust.Median(b)
	return ok && fine && math.Abs(x-y) <= apart
}

// years is an instant in years since 1970.
func years(at time.Time) float64 { return float64(at.UnixMilli()) / yearMillis }

// instant is the inverse of years, in the zone of the people on site.
func (j *Judge) instant(t float64) time.Time {
	return time.UnixMilli(int64(math.Round(t * yearMillis))).In(j.on.Location())
}

// day numbers the days of the zone that the register gives its times in.
func day(at time.Time) int64 {
	_, offset := at.Zone()
	return int64(math.Floor(float64(at.UnixMilli()+1000*int64(offset)) / dayMillis))
}

// ownQuantity gives the readings of the type's own quantity.
func ownQuantity(readings []sootline.Reading) []sootline.Reading {
	for i := range readings {
		if readings[i].Quantity != "" {
			own := append([]sootline.Reading(nil), readings[:i]...)
			for _, x := range readings[i:] {
				if x.Quantity == "" {
					own = append(own, x)
				}
			}
			return own
		}
	}
	return readings
}

// inCounts reports whether a value is a whole number or a half, as medians of
// whole numbers are.
func inCounts(x float64) bool { return 2*x == math.Trunc(2*x) }

// leastNoise keeps the noise above zero whatever a type sheet claims: a
// millionth of a unit is finer than any device shows.
const leastNoise = 1e-6

// otherUnit is how many times the guess from its band the site's noise may be for a type: beyond, at a tenth of the
// band, no band would tell anything, and the site's figure is of another unit.
const otherUnit = 4

// usualNoise is the noise to expect of a look: the type's own, else the site's, else what its band makes likely.
func usualNoise(r *sootline.Register, sheet *sootline.TypeSheet) float64 {
	sd := r.Site.Rules.PooledSD
	switch {
	case sheet == nil:
	case sheet.PooledSD != nil && *sheet.PooledSD > 0:
		sd = *sheet.PooledSD
	case len(sheet.Bands) > 0:
		if guess := guessNoise(&sheet.Bands[0]); guess != nil && *guess > 0 && sd > otherUnit**guess {
			sd = *guess
		}
	}
	return min(wildest, max(sd, leastNoise))
}

// entries lists the entries of some looks.
func entries(looks []look) []sootline.ID {
	var ids []sootline.ID
	for i := range looks {
		for j := range looks[i].readings {
			if e := looks[i].readings[j].Entry; e != nil {
				ids = append(ids, e.ID)
			}
		}
	}
	return ids
}

// roundingSD is the standard deviation that rounding to whole numbers adds:
// sqrt(1/12), that of the uniform distribution one wide.
const roundingSD = 0.28867513459481287
