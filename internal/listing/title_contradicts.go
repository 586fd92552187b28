package listing

import (
	"fmt"
	"slices"
	"strings"
)

// doubtTitleLoop asks where a title or the name of a sheet says one loop, and all rows another.
func (s *study) doubtTitleLoop() {
	u := s.u
	said := u.said[Loop]
	if said == "" || u.profile.Contrary == ContraryByPoint {
		return
	}
	i, others := s.loopsOfRows()
	if len(others) == 0 || slices.Contains(others, said) {
		return
	}
	u.titleLoop = said
	if u.profile.Contrary == "" {
		u.askContrary(fmt.Sprintf("The title says loop %s, and column %q says %s.", said, u.columnName(i), others[0]))
	}
}

// loopsOfRows gives the loops that the rows name, in a column of loops or in references, and the column.
func (s *study) loopsOfRows() (column int, loops []string) {
	u := s.u
	column = u.column(Loop)
	if column >= 0 {
		for cell := range s.content[column].distinct {
			loops = append(loops, parseName(cell, 'L'))
		}
		slices.Sort(loops)
		return column, slices.DeleteFunc(loops, func(loop string) bool { return loop == "" })
	}
	if column = u.column(Point); column < 0 || u.profile.RefOrder != "" {
		return column, nil
	}
	refs, _ := s.refsOf(column)
	for _, ref := range refs {
		if ref.Loop != "" {
			loops = append(loops, ref.Loop)
		}
	}
	return column, loops
}

// doubtTitleZone asks where a title or the name of a sheet says a zone, and the register has most of the points in others.
func (s *study) doubtTitleZone() {
	u, zone := s.u, s.u.said[Zone]
	if zone == "" || u.has(Zone) || u.Kind != KindReadings && u.Kind != KindEvents || !s.known.hasPoints() || u.profile.Contrary == ContraryByPoint {
		return
	}
	contrary, same, example := 0, 0, ""
	for _, row := range s.sample {
		if row.Line <= u.HeaderLine {
			continue
		}
		ref := u.refOf(&row)
		switch has, agrees := s.known.contrary(ref, Zone, zone); {
		case has != "":
			if contrary++; example == "" {
				example = fmt.Sprintf("row %d names number %d, %s", row.Line, ref.Address, has)
			}
		case agrees:
			same++
		}
	}
	if contrary == 0 {
		return
	}
	u.titleZone = zone
	if contrary > same && u.profile.Contrary == "" {
		u.askContrary(fmt.Sprintf("The title says zone %s, and the register otherwise in %d of %d rows: %s.", zone, contrary, contrary+same, example))
	}
}

// refusesRows says which rows are refused for a column that the register has too.
func refusesRows(f Field) string {
	if f == Location {
		return "; a row with the place of another point is not taken"
	}
	return "; a row that contradicts the register there is not taken"
}

// strangePlaces counts the rows whose place is none of the register's, and shares no word with the one that it has there:
// most of them being so, the listing may be of another building.
func (s *study) strangePlaces(c claim) (strange int, example string) {
	for _, row := range s.sample {
		if row.Line <= s.u.HeaderLine || c.column >= len(row.Cells) {
			continue
		}
		cell, ref := strings.TrimSpace(row.Cells[c.column]), s.u.refOf(&row)
		place := s.known.otherPlace(ref, cell)
		if place == "" {
			continue
		}
		if strange++; example == "" {
			example = fmt.Sprintf("row %d says %q of number %d, where the register has %q", row.Line, cell, ref.Address, place)
		}
	}
	return strange, example
}

// otherPlace gives the place that the register has at a point, where a cell says one that the register has nowhere and that
// shares no word with it; empty: it does not.
func (k *Known) otherPlace(ref Ref, cell string) string {
	of, ok := k.whole(ref)
	place := k.told[of].place
	if !ok || cell == "" || place == "" || k.placeAt[fold(cell)].Loop != "" || shareWord(place, fold(cell)) {
		return ""
	}
	return place
}

// placeLeft gives the place of the register where such rows were answered to be put aside.
func (u *Understanding) placeLeft(c claim, ref Ref, cell string) string {
	if c.field != Location || u.profile.Contrary != ContraryLeft {
		return ""
	}
	return u.known.otherPlace(ref, cell)
}

// shareWord: two folded texts have a word in common, or one that begins alike, as in short forms.
func shareWord(a, b string) bool {
	const shortest = 3
	words := strings.Fields(b)
	for one := range strings.FieldsSeq(a) {
		for _, other := range words {
			n := min(len(one), len(other))
			if n >= shortest && isLetter(one[0]) && one[:shortest] == other[:shortest] && (one[:n] == other[:n] || n >= shortestSlip && isSlip(one, other)) {
				return true
			}
		}
	}
	return false
}
