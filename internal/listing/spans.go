package listing

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// spanHeads head the first and the last of a range of numbers, beside a word for a number or alone. Common practice, no source.
const spanHeads = `
first: from, first, start, starting, begin, lowest, von, ab, erste, erster, anfang, beginn, de, du, debut, premier, premiere, desde, primero, primera, inicio, da, dal, primo, prima, inizio, van, vanaf, eerste
last: to, until, till, last, end, ending, thru, through, highest, bis, letzte, letzter, ende, a, au, fin, dernier, derniere, hasta, al, ultimo, ultima, fino, fine, tot, laatste, einde, eind
`

var spanEnds = func() map[string]string {
	ends := map[string]string{}
	eachWord(spanHeads, func(end, word string) { ends[word] = end })
	return ends
}()

// spanWords stand between the two numbers of a range in one cell.
var spanWords = []string{" to ", " thru ", " through ", " bis ", " à ", " a ", " au ", " hasta ", " al ", " tot ", " t/m ", "...", "…", "..", "–", "—", "-"}

// spanCell is a range of numbers in one cell, 1.021-1.025; loop is what stands before its first number.
type spanCell struct {
	loop     string
	from, to int
	certain  bool // it can be no reference to one point
}

// spanOf reads such a cell. With a hyphen between plain numbers it may be a loop and an address too.
func spanOf(cell string) (spanCell, bool) {
	cell = strings.TrimSpace(cell)
	low := strings.ToLower(cell)
	for _, word := range spanWords {
		at := strings.LastIndex(low, word)
		if at <= 0 || len(low) != len(cell) {
			continue
		}
		left, right := strings.TrimSpace(cell[:at]), strings.TrimSpace(cell[at+len(word):])
		first, okFirst := numberOfPoint(left)
		last, okLast := numberOfPoint(right)
		if !okFirst || !okLast || last.Address <= first.Address || last.Loop != "" && last.Loop != first.Loop {
			return spanCell{}, false
		}
		plain := word == "-" && last.Loop == ""
		return spanCell{first.Loop, first.Address, last.Address, !plain}, !plain || !strings.Contains(left, "-")
	}
	return spanCell{}, false
}

// numberOfPoint reads a number, or a reference to a point.
func numberOfPoint(cell string) (Ref, bool) {
	if n, err := parseAddress(cell); err == nil {
		return Ref{Address: n}, true
	}
	ref, err := ParseRef(cell)
	return ref, err == nil && ref.Panel == ""
}

// mayBeSpan: something of the cell is in one of spanWords. Nearly all cells of a long list have nothing of them, and are
// told by one look at their bytes.
func mayBeSpan(cell string) bool {
	for i := range len(cell) {
		switch c := cell[i]; {
		case c == ' ', c == '-', c >= utf8.RuneSelf, c == '.' && i > 0 && cell[i-1] == '.':
			return true
		}
	}
	return false
}

// isSpan: a cell of the column of points is a range, for its first number is no loop of the register, or behind a loop.
func (u *Understanding) isSpan(cell string) (spanCell, bool) {
	if u.profile.RefOrder != "" || !mayBeSpan(cell) {
		return spanCell{}, false
	}
	s, ok := spanOf(cell)
	switch {
	case !ok, s.certain:
		return s, ok
	case s.loop != "":
		return s, u.known.hasLoop(Ref{Loop: s.loop})
	}
	return s, u.known != nil && len(u.known.loops) > 0 && !u.known.hasLoop(Ref{Loop: normalName(fmt.Sprint(s.from))})
}

// holdSpan refuses a row of a range of numbers: a device has one, and a row that is fitted at the first leaves out the others.
func (r *rowReader) holdSpan() {
	for _, slot := range []slot{r.point, r.address} {
		cell, _ := r.get(slot)
		s, ok := r.u.isSpan(cell)
		if !ok {
			continue
		}
		found := fmt.Sprintf("%s, which may be a range of numbers, %d to %d", quoteShort(cell), s.from, s.to)
		if !s.certain && s.loop == "" {
			found += fmt.Sprintf("; the register has no loop %d", s.from)
		}
		r.fail(slot.column, "the number of one device", found, "write a row for each number")
		return
	}
}

// headedSpan gives the columns that are headed as the first and the last of a range of numbers, and hold such; -1: none.
func (s *study) headedSpan() (from, to int) {
	from, to = -1, -1
	for i, c := range s.u.Columns {
		switch end := s.spanEnd(c.Heading); {
		case s.content[i].filled == 0:
		case end == "first" && from < 0:
			from = i
		case end == "last" && to < 0:
			to = i
		}
	}
	if from < 0 || to < 0 {
		return -1, -1
	}
	ranges, not := 0, 0
	for _, row := range s.sample {
		if row.Line <= s.u.HeaderLine || max(from, to) >= len(row.Cells) {
			continue
		}
		first, okFirst := numberOfPoint(row.Cells[from])
		last, okLast := numberOfPoint(row.Cells[to])
		switch {
		case okFirst && okLast && first.Address < last.Address:
			ranges++
		case !okFirst || !okLast || first.Address > last.Address:
			not++
		}
	}
	if ranges <= not {
		return -1, -1
	}
	return from, to
}

// spanEnd tells whether a heading is of the first or of the last of a range; empty: of neither. "Adresse de fin" is of the last,
// though "de" alone is a "from".
func (s *study) spanEnd(heading string) (end string) {
	lx := s.u.lx
	for word := range strings.FieldsSeq(fold(heading)) {
		switch says, small := spanEnds[word], lx.fillers["any"][word]; {
		case says != "" && (end == "" || !small):
			end = says
		case says == "" && !small && !lx.fillers["number"][word] && !lx.fillers["device"][word] && !lx.fillers["ref"][word]:
			return ""
		}
	}
	return end
}

// refuseSpans refuses a table whose rows are of ranges of numbers, whatever was answered about its columns.
func (s *study) refuseSpans() {
	u := s.u
	if u.Kind != KindUnknown && s.refuseSpanCells() {
		return
	}
	from, to := s.headedSpan()
	if from < 0 || u.Kind == KindTypes || u.Kind == KindUnknown && (!s.found(Loop) || u.Refused) {
		return
	}
	for i, c := range u.Columns {
		if i != from && i != to && (c.Field == Point || c.Field == Address || c.Field == Wanted) {
			return
		}
	}
	u.refuse(fmt.Sprintf("its columns %s and %s are the first and the last of a range of numbers in each row, and a device has one number; write a row for each",
		u.columnName(from), u.columnName(to)))
}

// refuseSpanCells refuses a table of which most cells of the points are ranges.
func (s *study) refuseSpanCells() bool {
	u := s.u
	i, spans, filled, example := max(u.column(Point), u.column(Address)), 0, 0, ""
	if i < 0 {
		return false
	}
	for _, row := range s.sample {
		if row.Line <= u.HeaderLine || i >= len(row.Cells) || strings.TrimSpace(row.Cells[i]) == "" {
			continue
		}
		filled++
		if _, ok := u.isSpan(row.Cells[i]); ok {
			if spans++; example == "" {
				example = strings.TrimSpace(row.Cells[i])
			}
		}
	}
	if 2*spans <= filled {
		return false
	}
	u.refuse(fmt.Sprintf("cells of column %q, such as %s, may be ranges of numbers, and a device has one number; write a row for each", u.columnName(i), example))
	return true
}

// refuse leaves a table out whole.
func (u *Understanding) refuse(why string) {
	u.Kind, u.KindWhy, u.Refused, u.Questions = KindUnknown, why, true, nil
	for i := range u.Columns {
		u.Columns[i].Field = Unused
	}
}
