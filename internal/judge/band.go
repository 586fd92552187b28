package judge

import (
	"math"

	"sootline/internal/robust"
)

// place puts the latest value against the band, on the scale of which that speaks. Both ends belong to the band.
func (s *study) place() {
	s.Verdict = NoReading
	latest := s.latest()
	if latest == nil {
		return
	}
	s.ReadAt = latest.At
	value, ok := robust.Median(latest.Samples)
	if !ok {
		s.broken = true
		return
	}
	s.Value = value
	if _, sd, ok := robust.Moments(latest.Samples); ok {
		s.Spread = given(sd)
	}
	value, _ = s.onSheet()
	s.Verdict = s.verdict(value)
	if s.Band.Complete() {
		width := *s.Band.High - *s.Band.Low
		s.Margin = given(min(value-*s.Band.Low, *s.Band.High-value) / width)
	}
}

func (s *study) verdict(value float64) Verdict {
	switch {
	case s.limit(HighLimit) == nil && s.limit(LowLimit) == nil:
		return NoBand
	case s.limit(HighLimit) != nil && value > *s.limit(HighLimit):
		return Above
	case s.limit(LowLimit) != nil && value < *s.limit(LowLimit):
		return Below
	}
	return Inside
}

// limit gives an end of the band, nil when it is not known.
func (s *study) limit(which Limit) *float64 {
	switch {
	case s.Band == nil:
		return nil
	case which == HighLimit:
		return s.Band.High
	}
	return s.Band.Low
}

// given points to a number, unless it left the range of numbers on the way.
func given(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
