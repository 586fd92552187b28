package judge

import (
	"time"

	"sootline/internal/robust"
)

// reach is how far ahead of the last visit a line is believed, in spans of the
// visits that it rests on: its own, or those of the others that it borrows from.
const reach = 2

// findLeaving says when the line leaves the band, and the chance that it is
// outside at the next visit.
func (s *study) findLeaving() {
	if !s.spoken {
		return
	}
	var soonest robust.Departure
	for _, end := range [...]struct {
		limit Limit
		side  robust.Side
	}{{HighLimit, robust.High}, {LowLimit, robust.Low}} {
		limit := s.limit(end.limit)
		if limit == nil {
			continue
		}
		departure, err := s.experience.Leaves(&s.outlook, *limit, end.side, confidence)
		if err != nil {
			continue // a limit beyond all numbers is never met
		}
		s.addChance(*limit, end.side)
		if s.Leaves == NoLimit || sooner(departure, soonest) {
			s.Leaves, soonest = end.limit, departure
		}
	}
	if s.Leaves != NoLimit {
		s.setDays(soonest)
	}
}

// sooner reports whether a leaves its limit before b leaves its own; to be
// outside already is the soonest, to have no day the last.
func sooner(a, b robust.Departure) bool {
	outA, outB := a.Status == robust.AlreadyOutside, b.Status == robust.AlreadyOutside
	switch {
	case outA != outB:
		return outA
	case !a.Earliest.Known || !b.Earliest.Known:
		return a.Earliest.Known
	}
	return a.Earliest.At < b.Earliest.At
}

// addChance adds the chance that the value, free of noise, has been beyond the
// limit by the next visit; with a season it is not always the last day that
// is the worst.
func (s *study) addChance(limit float64, side robust.Side) {
	chance, ok := s.outlook.chanceBy(s.years(s.on), s.years(s.next), limit, side)
	if !ok {
		return
	}
	if side == robust.High {
		s.rises = chance
	} else {
		s.falls = chance
	}
	s.ChanceOutside = given(min(1, s.rises+s.falls))
}

// setDays gives the days that may honestly be given: none once outside or when
// moving away, the earliest alone after few visits or when the slope might be
// none, and none further ahead than the line reaches.
func (s *study) setDays(d robust.Departure) {
	s.beyond = d.Status == robust.AlreadyOutside
	s.away = d.Status == robust.MovingAway
	if s.beyond || s.away {
		return
	}
	if s.LeavesEarliest = s.day(d.Earliest); s.LeavesEarliest == nil {
		return
	}
	dated := s.Borrowed != nil || len(s.y) >= datedVisits && s.span() >= datedYears
	if d.Status != robust.Bounded || !dated {
		return
	}
	s.LeavesLikely, s.LeavesLatest = s.day(d.Point), s.day(d.Latest)
	if s.LeavesLatest != nil && !s.LeavesLatest.After(*s.LeavesEarliest) {
		s.LeavesLikely, s.LeavesLatest = nil, nil // closer than the clock can tell
	}
}

// farthest is the time up to which the line is believed.
func (s *study) farthest() float64 { return s.span() + reach*max(s.span(), s.outlook.Span) }

// day is the instant of a time on the line, nil when it lies beyond the reach
// of the line. The last visit is behind us, so no day comes before it.
func (s *study) day(when robust.When) *time.Time {
	farthest := s.farthest()
	if !when.Known || when.At > farthest {
		s.capped = s.instant(farthest)
		return nil
	}
	at := s.instant(when.At)
	if at.Before(s.last) {
		at = s.last
	}
	if at.Before(s.ReadAt) {
		at = s.ReadAt // of which no device gives the value, so that it is no visit
	}
	return &at
}
