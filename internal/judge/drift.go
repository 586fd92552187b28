package judge

import "math"

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

// fitLine draws the line through the visits, with the help of others where that
// is worth it, and says how it drifts.
func (s *study) fitLine() {
	s.DriftReal = TooFew
	s.constant = !differ(s.y)
	var drawn bool
	s.outlook, drawn = s.experience.Outlook(s.history)
	if !drawn {
		return
	}
	own := s.outlook.Borrowed == 0
	enough := len(s.y) >= leastVisits
	s.fitted = enough
	s.spoken = !own || enough && s.span() >= leastYears
	if !s.spoken {
		return
	}
	drift := &s.outlook.Drift
	s.DriftPerYear = given(drift.Line.Slope)
	if enough && s.span() >= leastYears {
		s.DriftReal = s.isReal()
	}
	if !own {
		s.Borrowed = given(s.outlook.Borrowed)
	}
	s.Curved = s.outlook.Curved
	half := s.scratch.StudentT(0.5+confidence/2, drift.DF) * drift.SlopeSE()
	if low, high := drift.Line.Slope-half, drift.Line.Slope+half; low < high {
		s.DriftLow, s.DriftHigh = given(low), given(high)
	}
}

// span is the time from the first visit to the last, in years.
func (s *study) span() float64 { return s.t[len(s.t)-1] }

// isReal is Yes when the slope of the point's own line by its standard error and
// the order of the values alone (Mann-Kendall) both show a drift the same way.
func (s *study) isReal() Real {
	o := &s.outlook
	sign := int64(1)
	if o.Own.Slope < 0 {
		sign = -1
	}
	se := o.Drift.SD / math.Sqrt(o.Own.Sxx)
	if math.Abs(o.Own.Slope) < s.scratch.StudentT(1-significance, o.Drift.DF)*se {
		return No
	}
	order, err := s.scratch.MannKendall(s.t, s.experience.flat(s.history))
	if err != nil || sign*order.S <= 0 || order.P/2 > significance {
		return No
	}
	return Yes
}
