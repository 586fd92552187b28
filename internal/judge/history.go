package judge

import (
	"math"
	"time"

	"sootline"
	"sootline/internal/robust"
)

const (
	dayMillis  = 24 * 60 * 60 * 1000
	yearMillis = 365.25 * dayMillis
)

// roundingSD is the standard deviation that rounding to whole numbers adds:
// sqrt(1/12), that of the uniform distribution one wide.
const roundingSD = 0.28867513459481287

// gather collapses the readings since the last reset into one value a visit,
// the median of all samples of a UTC day: samples minutes apart are no
// independent look at a drift that takes months. The times of the visits go to
// s.t, in years since the first, their values to s.y.
func (s *study) gather() {
	s.readings = s.Judgement.Point.SinceReset()
	s.ReadingsSinceReset = len(s.readings)
	s.t, s.y = s.t[:0], s.y[:0]
	whole := true
	for start, end := 0, 0; start < len(s.readings); start = end {
		s.samples = s.samples[:0]
		for end = start; end < len(s.readings) && day(s.readings[end].At) == day(s.readings[start].At); end++ {
			s.samples = append(s.samples, s.readings[end].Samples...)
		}
		for _, x := range s.samples {
			whole = whole && x == math.Trunc(x)
		}
		s.visit(s.readings[end-1].At)
	}
	s.noise = s.pooled(whole)
	s.constant = !differ(s.y)
}

// visit adds the median of s.samples; a visit with a number that no device
// gives is left out.
func (s *study) visit(at time.Time) {
	value, ok := robust.MedianInPlace(s.samples)
	if !ok {
		return
	}
	if len(s.y) == 0 {
		s.first = at
	}
	s.last = at
	s.t, s.y = append(s.t, s.years(at)), append(s.y, value)
}

// years is the time of an instant on the scale of s.t.
func (s *study) years(at time.Time) float64 {
	return float64(at.UnixMilli()-s.first.UnixMilli()) / yearMillis
}

// instant is the inverse of years.
func (s *study) instant(years float64) time.Time {
	return time.UnixMilli(s.first.UnixMilli() + int64(math.Round(years*yearMillis))).UTC()
}

// day numbers the UTC days.
func day(at time.Time) int64 { return int64(math.Floor(float64(at.UnixMilli()) / dayMillis)) }

// pooled is the usual noise of a visit's value: the type's own, else the
// site's. Whole numbers are no finer than their rounding, whatever is claimed.
func (s *study) pooled(whole bool) float64 {
	sd := s.register.Site.Rules.PooledSD
	if s.Sheet != nil && s.Sheet.PooledSD != nil && *s.Sheet.PooledSD > 0 {
		sd = *s.Sheet.PooledSD
	}
	if whole {
		return max(sd, roundingSD)
	}
	return sd
}

func differ(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// latest is the latest reading since the reset, or nil.
func (s *study) latest() *sootline.Reading {
	if len(s.readings) == 0 {
		return nil
	}
	return &s.readings[len(s.readings)-1]
}
