package app

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"sootline"
	"sootline/internal/listing"
)

// repeats reports whether an earlier row says all that this one says of the same number: it is a copy, not a second
// device.
func (s *scheduler) repeats(line int, ref sootline.Ref, row *listing.ScheduleRow) bool {
	if ref.Number == 0 {
		return false
	}
	same := *row
	key := fmt.Sprintf("%s %s %+v", ref, row.Ref.Range, same)
	if first, ok := s.said[key]; ok {
		s.o.remark(line, fmt.Sprintf("it says what row %d says", first))
		return true
	}
	s.said[key] = line
	return false
}

// spelled gives the name that the sheet of a type has, where another spelling has its letters and digits.
func (s *scheduler) spelled(name string) string {
	if name == "" || s.r.Sheet(name) != nil {
		return name
	}
	var found []string
	for _, sheet := range s.r.Sheets() {
		if lettersOf(sheet.Name) == lettersOf(name) {
			found = append(found, sheet.Name)
		}
	}
	if len(found) != 1 {
		return name
	}
	if s.spelt[found[0]] == nil {
		s.spelt[found[0]] = map[string]int{}
	}
	s.spelt[found[0]][name]++
	return found[0]
}

func lettersOf(name string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return unicode.ToLower(c)
		}
		return -1
	}, name)
}

// remarkSpellings says which spellings were taken for a type.
func (s *scheduler) remarkSpellings() {
	for _, name := range slices.Sorted(maps.Keys(s.spelt)) {
		for _, other := range slices.Sorted(maps.Keys(s.spelt[name])) {
			s.o.remark(0, fmt.Sprintf("type %q is taken for %s, in %d rows", other, name, s.spelt[name][other]))
		}
	}
}

// inRange gives the points of a number that are not matched yet; on a loop with two ranges, those of the row's range.
func (s *scheduler) inRange(ref sootline.Ref, row *listing.ScheduleRow) []*sootline.Point {
	of := row.Ref.Range
	if sheet := s.r.Sheet(row.Type); of == "" && sheet != nil {
		of = sootline.RangeOf(sheet)
	}
	return s.r.OfRange(slices.Clone(s.known[ref]), of)
}

// undoes says why a row is held that gives a known point another location, zone or area.
func (s *scheduler) undoes(line int, p *sootline.Point, place sootline.Place) string {
	if p.Location != "" && place.Location != p.Location {
		says := fmt.Sprintf("the register calls %s %q, and the row %q", p.Ref(), p.Location, place.Location)
		if held := s.effect(s.o, line, EffectRename, says); held != "" {
			return held
		}
	}
	if p.Zone != "" && place.Zone != p.Zone || p.Area != "" && place.Area != p.Area {
		says := fmt.Sprintf("the register has %s in zone %q, area %q, and the row in zone %q, area %q", p.Ref(), p.Zone, p.Area, place.Zone, place.Area)
		return s.effect(s.o, line, EffectMove, says)
	}
	return ""
}
