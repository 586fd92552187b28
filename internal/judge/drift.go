package judge

import "sootline/internal/robust"

// What a line needs before anything is said of it: judgements backed by the
// simulations in docs/methods/judging.md, not standards.
const (
	leastVisits  = 4 // below them no test can show a drift at 5 %
	leastYears   = 182 / 365.25
	datedVisits  = 6 // below them the latest day is too often wrong or absent
	datedYears   = 365 / 365.25
	confidence   = 0.90 // of an interval; one of its ends holds at 95 %
	significance = 0.05 // one-sided, of each of the two tests of a drift
)

// fitLine draws the line through the visits by method K and says how it drifts.
func (s *study) fitLine() {
	s.DriftReal = TooFew
	if len(s.y) < leastVisits {
		return
	}
	drift, err := s.scratch.FitDrift(s.t, s.y, robust.Noise{SD: s.noise, DF: robust.PriorDF})
	if err != nil {
		return // values too large to be squared: nothing can be said
	}
	s.drift, s.fitted = drift, true
	if s.span() < leastYears {
		return
	}
	s.spoken = true
	s.DriftPerYear = given(drift.Line.Slope)
	s.DriftReal = s.isReal()
	// The quantile of Student's t comes with any departure of this line, here
	// from its own mean.
	if own, err := s.scratch.Departure(drift, drift.Line.MeanY, robust.High, confidence); err == nil {
		half := own.TQuant * drift.SlopeSE()
		low, high := drift.Line.Slope-half, drift.Line.Slope+half
		if low < high {
			s.DriftLow, s.DriftHigh = given(low), given(high)
		}
	}
}

// span is the time from the first visit to the last, in years.
func (s *study) span() float64 { return s.t[len(s.t)-1] }

// isReal is Yes when the slope of the line by its standard error and the order
// of the values alone (Mann-Kendall) both show a drift the same way.
func (s *study) isReal() Real {
	side, sign := robust.High, int64(1)
	if s.drift.Line.Slope < 0 {
		side, sign = robust.Low, -1
	}
	chance, ok := s.drift.ChanceTowards(side)
	if !ok || chance < 1-significance {
		return No
	}
	order, err := s.scratch.MannKendall(s.t, s.y)
	if err != nil || sign*order.S <= 0 || order.P/2 > significance {
		return No
	}
	return Yes
}
