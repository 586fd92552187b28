package app

import (
	"fmt"
	"slices"

	"sootline"
	"sootline/internal/listing"
)

// What a row says of numbers: how its device stands, and which number it shall have.

// takeWanted takes a row that says which number a device shall have. It is about the
// point of that device: by its serial, its location, or how it stands.
func (s *scheduler) takeWanted(record listing.Record, ref sootline.Ref, place sootline.Place, fitted sootline.Moment) error {
	row := record.Schedule
	listed := ref.Number
	if ref.Number == 0 {
		ref.Number = row.Wanted
	}
	p, why := s.ofDevice(ref, listed, row)
	if why != "" {
		return s.refuse(s.o, record, why)
	}
	if p == nil {
		return s.create(ref, place, row, fitted, record.Line, sootline.Addressed{Listed: listed, Wanted: row.Wanted})
	}
	s.matched[p.ID] = true
	s.rows[ref]++
	return s.update(record, p, place, fitted, listed)
}

// ofDevice finds the point of the device that a row is about, by the surest that the
// row gives; nil where the register has none. Why tells what contradicts itself.
func (s *scheduler) ofDevice(ref sootline.Ref, listed int, row *listing.ScheduleRow) (p *sootline.Point, why string) {
	all := slices.DeleteFunc(slices.Clone(s.onLoop[sootline.LoopID{Panel: ref.Panel, Name: ref.Loop}]), func(p *sootline.Point) bool { return s.matched[p.ID] })
	if row.Serial != "" {
		same := only(all, func(p *sootline.Point) bool { return p.Unit.Serial == row.Serial })
		if len(same) > 1 {
			return nil, fmt.Sprintf("%s and %s have the serial %s both", same[0].Ref(), same[1].Ref(), row.Serial)
		}
		if len(same) == 1 {
			return same[0], ""
		}
	}
	all = only(all, func(p *sootline.Point) bool { return row.Serial == "" || p.Unit.Serial == "" })
	unlike := func(p *sootline.Point) bool {
		return row.Location != "" && p.Location != "" && row.Location != p.Location
	}
	made := s.identity(ref, row, s.rows[ref]+1)
	for _, is := range []func(p *sootline.Point) bool{
		func(p *sootline.Point) bool {
			return row.Location != "" && row.Location == p.Location && (listed == 0 || p.Stands.Number == 0 || p.Stands.Number == listed)
		},
		func(p *sootline.Point) bool { return p.ID == made && !unlike(p) },
		func(p *sootline.Point) bool { return listed != 0 && p.Stands.Number == listed && !unlike(p) },
		func(p *sootline.Point) bool { return p.Wanted == row.Wanted && !unlike(p) },
	} {
		if same := only(all, is); len(same) == 1 {
			return same[0], ""
		}
	}
	return nil, ""
}

func only(points []*sootline.Point, is func(*sootline.Point) bool) []*sootline.Point {
	return slices.DeleteFunc(slices.Clone(points), func(p *sootline.Point) bool { return !is(p) })
}

// numbers gives what a row says of a point's numbers that the log does not say
// already. What a list said once and somebody changed since stays as it was changed,
// and no list speaks over what was found or set: those rows are told of.
func (s *scheduler) numbers(line int, p *sootline.Point, listed, wanted int) sootline.Addressed {
	var said sootline.Addressed
	before := s.saidOf(p.ID)
	if wanted != 0 && wanted != p.Wanted {
		if before[sootline.Addressed{Wanted: wanted}] {
			s.older = append(s.older, line)
		} else {
			said.Wanted = wanted
		}
	}
	switch stands := p.Stands; {
	case listed == 0 || listed == stands.Number || before[sootline.Addressed{Listed: listed}]:
	case stands.Number != 0 && (stands.As != sootline.AsListed || wanted == 0):
		s.otherwise = append(s.otherwise, line)
	default:
		said.Listed = listed
	}
	return said
}

// saidOf lists what the log says of a point's numbers, one by one.
func (s *scheduler) saidOf(point sootline.ID) map[sootline.Addressed]bool {
	if s.numbered == nil {
		s.numbered = map[sootline.ID]map[sootline.Addressed]bool{}
		for _, e := range s.log.Entries() {
			said, ok := e.Body.(sootline.Addressed)
			if !ok {
				continue
			}
			if s.numbered[e.Point] == nil {
				s.numbered[e.Point] = map[sootline.Addressed]bool{}
			}
			s.numbered[e.Point][sootline.Addressed{Wanted: said.Wanted}] = true
			s.numbered[e.Point][sootline.Addressed{Listed: said.Listed}] = true
		}
	}
	return s.numbered[point]
}

// remarkNumbers tells of the rows whose numbers were left as the book has them.
func (s *scheduler) remarkNumbers() {
	if len(s.otherwise) > 0 {
		s.o.remark(0, rowsSaid(s.otherwise)+" a number at which the device does not stand by what the book has: whether it was set since, the list does not say; left as it is")
	}
	if len(s.older) > 0 {
		s.o.remark(0, rowsSaid(s.older)+" a number that was wanted before, and another is wanted since; left as it is")
	}
}

// rowsSaid begins a sentence about rows.
func rowsSaid(lines []int) string {
	if len(lines) == 1 {
		return fmt.Sprintf("row %d gives", lines[0])
	}
	return "rows " + someRows(lines) + " give"
}
