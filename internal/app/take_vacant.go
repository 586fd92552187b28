package app

import (
	"fmt"

	"sootline"
	"sootline/internal/listing"
)

// takeVacant takes a row that says that nothing is fitted at a number. Where the register has a device there, the point
// is removed, if that was allowed. A schedule does not say when a device was taken out: it is noted as of today.
func (s *scheduler) takeVacant(record listing.Record, ref sootline.Ref) error {
	points := s.known[ref]
	switch len(points) {
	case 0:
		s.o.Same++
		return nil
	case 1:
	default:
		return s.refuse(s.o, record, fmt.Sprintf("%d points carry the number %s; remove the one that was taken out, with its day", len(points), ref))
	}
	p := points[0]
	says := fmt.Sprintf("the register has %s at %s, and the row says %q", unitOf(p), p.Ref(), record.Schedule.Vacant)
	if held := s.effect(s.o, record.Line, EffectRemove, says); held != "" {
		return s.refuse(s.o, record, held+", which notes it as of today, or note that it was taken out with its day")
	}
	return s.sayAll(p.ID, saidAt{sootline.Moment{At: s.now}, sootline.Removed{Text: fmt.Sprintf("a schedule says %q of it", record.Schedule.Vacant)}})
}
