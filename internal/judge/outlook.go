package judge

import (
	"math"
	"time"
)

const (
	leastVisits  = 4            // below them no test can show a drift at 5 %
	leastYears   = 182 / 365.25 // and no shorter span tells a drift from a season
	significance = 0.05         // one-sided
	confidence   = 0.90         // of an interval; one of its ends holds at 95 %
	normal95     = 1.6448536269514722
	slopeOver    = 0.25 // years over which the drift of now is measured
)

// lookAhead says where the level stands, how it drifts, and when it leaves its band.
func (s *study) lookAhead() {
	s.ahead = s.past.ahead()
	now := years(s.on)
	s.weighEvents()
	s.soonest = chances{s.chanceAt(now), s.chanceAt(years(s.next)), s.chanceAt(years(s.overnext))}
	for i := range 2 { // what was outside at some time on the way has been outside
		s.soonest.next[i] = max(s.soonest.now[i], s.soonest.next[i])
		s.soonest.over[i] = max(s.soonest.next[i], s.soonest.over[i])
	}
	s.findDrift(now)
	if s.kin.scale.upper || s.kin.scale.lower {
		s.ChanceNow = given(min(1, s.soonest.now[worse]+s.soonest.now[better]))
		s.ChanceOutside = given(min(1, s.soonest.next[worse]+s.soonest.next[better]))
		s.ChanceBy = &s.next
		s.findDays(now)
	}
}

// chanceAt is the chance to be beyond each limit at a time. A value that is stuck stays where it is.
func (s *study) chanceAt(t float64) [2]float64 {
	up, down := s.ahead.beyond(t)
	if s.stuckFor > 0 {
		z := s.z[len(s.z)-1]
		up = (1-s.stuckFor)*up + s.stuckFor*isTrue(s.kin.scale.upper && z > 0)
		down = (1-s.stuckFor)*down + s.stuckFor*isTrue(s.kin.scale.lower && z < -1)
	}
	return [2]float64{up, down}
}

func isTrue(so bool) float64 {
	if so {
		return 1
	}
	return 0
}

// limitOf names the limit on a side of the scale.
func (s *study) limitOf(side int) Limit {
	up := worseLimit(s.Sheet)
	if side == worse {
		return up
	}
	if up == HighLimit {
		return LowLimit
	}
	return HighLimit
}

// findDrift says how the level drifts now, and whether the point's own looks show it.
func (s *study) findDrift(now float64) {
	n := len(s.z) - s.since()
	s.DriftReal = TooFew
	if n == 0 || s.latest() == nil {
		return
	}
	mean, v := s.ahead.slope(now)
	drift := mean * s.kin.scale.width
	half := normal95 * math.Sqrt(v) * math.Abs(s.kin.scale.width)
	s.DriftPerYear = given(drift)
	if half > 0 {
		s.DriftLow, s.DriftHigh = given(drift-half), given(drift+half)
	}
	if others, _ := s.past.others(); others > 0 {
		s.Borrowed = given(min(1, s.ahead.borrowed(v)))
	}
	s.onLevel = max(s.since(), s.happenedAt()) // over a change at once the order shows nothing but that
	from := s.onLevel
	looks := s.looks[from:]
	if n = len(looks); n < leastVisits || looks[n-1].t-looks[0].t < leastYears {
		return
	}
	s.DriftReal = No
	t, y := make([]float64, n), make([]float64, n)
	for i := range looks {
		t[i], y[i] = looks[i].t, s.kin.scale.width*s.z[from+i]
	}
	order, err := s.scratch.MannKendall(t, y)
	if err == nil && float64(order.S)*drift > 0 && order.P/2 <= significance {
		s.DriftReal = Yes
		s.Curved = s.ahead.curved() > 0.8 // of a drift that its own visits do not show nobody says how it runs
	}
}

// findDays says when the level leaves its band, if it is inside now. Days lie on days: no model knows hours.
func (s *study) findDays(now float64) {
	s.beyond = s.soonest.now[worse]+s.soonest.now[better] >= 0.5
	s.Leaves = s.leavesBy(now)
	if others, _ := s.past.others(); s.beyond || s.latest() == nil && others == 0 {
		return // of what nobody read, of a type that nobody read, nothing is known
	}
	days := s.ahead.days(now)
	s.Leaves = s.leavesBy(ofDays(days, now))
	for i, into := range []**time.Time{&s.LeavesEarliest, &s.LeavesLikely, &s.LeavesLatest} {
		if !math.IsNaN(days[i]) {
			at := s.instant(days[i])
			*into = &at
		}
	}
	if s.LeavesEarliest == nil {
		at := s.instant(now + horizon[len(horizon)-1])
		s.LeavesEarliest, s.LeavesLikely, s.LeavesLatest = &at, nil, nil
	}
}

// ofDays is the day on which days are about: the likely one, else the earliest, else the end of what is looked at.
func ofDays(days [3]float64, now float64) float64 {
	for _, t := range [2]float64{days[1], days[0]} {
		if !math.IsNaN(t) {
			return t
		}
	}
	return now + horizon[len(horizon)-1]
}

// leavesBy is the limit that the level is likelier beyond on a day: that which a word about leaving by then speaks of.
func (s *study) leavesBy(t float64) Limit {
	side := worse
	if up, down := s.ahead.beyond(t); down > up {
		side = better
	}
	if limit := s.limitOf(side); s.limit(limit) != nil {
		return limit
	}
	return s.limitOf(1 - side)
}

// weighEvents weighs what may be wrong with the last look, and with the device.
func (s *study) weighEvents() {
	last := len(s.looks) - 1
	for kind, p := range s.ahead.events() {
		switch {
		case kind.isSlip() && kind.look == last && last >= s.since():
			if s.odd += p; p > s.odd/2 {
				s.oddKind = kind.kind
			}
		case kind.look == last && last > s.since() && (kind.kind == AskOtherDevice || kind.kind == AskWorks) && s.area.worksIn(s.looks[last-1].t, s.looks[last].t) == 0:
			s.sudden += p
		case kind.kind == AskUnsteady && kind.look >= s.since():
			s.wild += p
		}
	}
	if s.Quantity == "" { // of another quantity a clean device may go on giving the same
		s.stuckFor = s.past.stuckChance()
	}
}
