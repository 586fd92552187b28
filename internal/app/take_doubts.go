package app

import (
	"fmt"

	"sootline"
	"sootline/internal/listing"
)

// doubtNew tells of what is odd about a point that a row makes: a number that another device has, or that the loop has
// not, and a serial number that stands elsewhere. The point is made; check tells of it later too.
func (s *scheduler) doubtNew(line int, ref sootline.Ref, row *listing.ScheduleRow, numbers sootline.Addressed) {
	loop := s.r.Loop(sootline.LoopID{Panel: ref.Panel, Name: ref.Loop})
	switch {
	case ref.Number == 0 && numbers.Wanted == 0:
		s.o.remark(line, "it has no number from 1 on: its device is noted without one")
	case ref.Number == 0:
	case ref.Number < loop.First || ref.Number > loop.Last:
		s.o.remark(line, fmt.Sprintf("number %d is none of loop %s, whose numbers are %d to %d: taken as it is; look at it", ref.Number, loop.LoopID, loop.First, loop.Last))
	case (s.rows[ref] > 1 || len(s.known[ref]) > 0) && !loop.Separate:
		s.o.remark(line, fmt.Sprintf("another device has the number %s too: both are noted", ref))
	}
	s.doubtSerial(line, ref, row.Serial)
}

// doubtSerial tells of a serial number that two devices would have.
func (s *scheduler) doubtSerial(line int, ref sootline.Ref, serial string) {
	if serial == "" {
		return
	}
	if s.serials == nil {
		s.serials = map[string]int{}
		for _, p := range s.r.Points() {
			if p.Unit.Serial != "" {
				s.serials[p.Unit.Serial] = 0
				s.at[p.Unit.Serial] = p.Ref()
			}
		}
	}
	first, twice := s.serials[serial]
	switch {
	case twice && first == 0:
		s.o.remark(line, fmt.Sprintf("the register has the serial number %s at %s, and the row at %s: one of the two is wrong", serial, s.at[serial], ref))
	case twice:
		s.o.remark(line, fmt.Sprintf("row %d has the serial number %s too: one of the two is wrong", first, serial))
	default:
		s.serials[serial] = line
	}
}

// otherDay says why a row is left that has a device fitted on another day than the register. What the register does not
// know of the day is told, and is for an amendment of the entry.
func (s *scheduler) otherDay(line int, p *sootline.Point, row *listing.ScheduleRow, fitted sootline.Moment) string {
	if row.Fitted.Year == 0 || p.Removed != nil {
		return ""
	}
	for _, reset := range p.Resets { // also of the device before: the list may be older
		if s.day(reset.At) == s.day(fitted.At) {
			return ""
		}
	}
	if !p.UnitSince.After(sootline.LongAgo) {
		s.o.remark(line, fmt.Sprintf("the register does not say when the device at %s was fitted, and a list does not add it: amend the entry of its fitting to say %s", p.Ref(), s.day(fitted.At)))
		return ""
	}
	return fmt.Sprintf("the register has %s at %s fitted on %s, and the row on %s; amend that entry where it is wrong, or write the serial number of the new device where it was replaced", unitOf(p), p.Ref(), s.day(p.UnitSince), s.day(fitted.At))
}
