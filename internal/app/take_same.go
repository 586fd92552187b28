package app

import (
	"cmp"
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
func (s *scheduler) undoes(line int, p *sootline.Point, place sootline.Place) (held []string) {
	hold := func(e Effect, says string) {
		if why := s.effect(s.o, line, e, says); why != "" {
			held = append(held, why)
		}
	}
	if p.Location != "" && place.Location != p.Location {
		hold(EffectRename, fmt.Sprintf("the register calls %s %q, and the row %q", p.Ref(), p.Location, place.Location))
	}
	if says := movedSays(p.Place, place); says != "" {
		hold(EffectMove, fmt.Sprintf("the register has %s %s", p.Ref(), says))
	}
	return held
}

// movedSays tells where a place that is known stands otherwise; empty: nowhere.
func movedSays(was, is sootline.Place) string {
	var parts []string
	compare := func(what, was, is string) {
		if was != "" && was != is {
			parts = append(parts, fmt.Sprintf("%s %s, and the row %s", what, was, cmp.Or(is, "none")))
		}
	}
	compare("in zone", was.Zone, is.Zone)
	compare("in area", was.Area, is.Area)
	compare("on floor", was.Floor, is.Floor)
	if was.Metres != nil && is.Metres != nil {
		compare("with metres of cable", fmt.Sprint(*was.Metres), fmt.Sprint(*is.Metres))
	}
	if was.Spur != 0 {
		compare("on the spur from", fmt.Sprint(was.Spur), fmt.Sprint(is.Spur))
	}
	return strings.Join(parts, "; ")
}
