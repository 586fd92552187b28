package listing

import (
	"slices"
	"strings"
)

// Why rows are passed over between which a list goes on.
const (
	blankRows     = "blank rows"
	headingsAgain = "repeated headings"
)

// skip tells why a row is passed over; "" for a row to take.
func (u *Understanding) skip(row *Row) string {
	if row.Line <= u.HeaderLine {
		return u.skipAbove(row)
	}
	first, filled := firstFilled(row.Cells)
	switch {
	case first < 0:
		return blankRows
	case len(u.header) > 0 && u.repeatsHeader(row.Cells):
		return headingsAgain
	case filled == 2 && u.isTitleAgain(row.Cells):
		return titlesAndFooters
	case filled == 1 && isNote(row.Cells[first]) && u.isSection(row, first):
		return titlesAndFooters
	case !mayBeWord(row.Cells[first]):
		if isRuling(row.Cells[first:]) {
			return "ruling lines"
		}
		if u.isVacantRow(row) && !u.isFitted(u.refOf(row)) {
			return NothingFitted
		}
		return u.skipUntold(row)
	case u.isTotal(row.Cells[first]) && (u.isRefColumn(first) || u.Columns[min(first, len(u.Columns)-1)].Field == Unused || !u.hasRef(row)):
		return "totals"
	case filled == 1 && u.isSection(row, first):
		return titlesAndFooters
	case u.isVacantRow(row) && !u.isFitted(u.refOf(row)):
		return NothingFitted
	}
	return u.skipUntold(row)
}

// NothingToldOf is why rows of readings and of round sheets are passed over.
const NothingToldOf = "rows that nobody filled in"

// skipUntold passes over rows that name a point and say nothing of it: those of a
// round sheet that nobody filled in. Where the cell of the point is no reference, the
// whole row may lie in one cell: it is put aside with the reason.
func (u *Understanding) skipUntold(row *Row) string {
	if ticks := u.ticksOf(); len(ticks) > 0 {
		return u.skipUnticked(row, ticks)
	}
	key := Value
	if u.Kind == KindEvents {
		key = What
	}
	if u.Kind != KindEvents && u.Kind != KindReadings || u.column(key) < 0 && u.column(Result) < 0 || u.profile.Constants[key] != "" || len(u.visits) > 0 {
		return ""
	}
	for i := range min(len(row.Cells), len(u.Columns)) {
		field := u.Columns[i].Field
		if (field.tells() || u.isNameless(i)) && !u.saysNothing(field, strings.TrimSpace(row.Cells[i])) {
			return ""
		}
	}
	if u.hasInstead(row) >= 0 || len(row.Cells) > len(u.Columns) || len(u.total) > 0 && !u.namesPoint(row) {
		return ""
	}
	return NothingToldOf
}

// saysNothing: the cell is empty, or a word for nothing read or done.
func (u *Understanding) saysNothing(f Field, cell string) bool {
	switch f {
	case Value:
		return cell == "" || u.lx.isVacant(cell)
	case Cleansed, Exchanged:
		yes, known := u.lx.yes[fold(cell)]
		return cell == "" || u.lx.isVacant(cell) || known && !yes
	}
	return cell == ""
}

// skipUnticked passes over rows that name a point and have nothing in the columns to tick.
func (u *Understanding) skipUnticked(row *Row, ticks []tick) string {
	for _, t := range ticks {
		if t.column < len(row.Cells) && strings.TrimSpace(row.Cells[t.column]) != "" {
			return ""
		}
	}
	if !u.namesPoint(row) {
		return ""
	}
	return NothingToldOf
}

// isNameless: what stands beyond the headings may be what somebody wrote of the row.
func (u *Understanding) isNameless(i int) bool {
	return u.HeaderLine > 0 && u.Columns[i].Field == Unused && u.Columns[i].Heading == ""
}

// betweenCells are separators of lists that a reference seldom holds.
const betweenCells = ";|\t"

// namesPoint: a cell of the point holds a reference, and nothing that separates cells.
func (u *Understanding) namesPoint(row *Row) bool {
	for _, i := range u.total {
		if i < len(row.Cells) && !strings.ContainsAny(row.Cells[i], betweenCells) {
			if _, err := ParseRef(row.Cells[i]); err == nil {
				return true
			}
		}
	}
	return false
}

// tells reports whether a field says what happened, rather than where or when.
func (f Field) tells() bool {
	switch f {
	case Value, What, Result, Cleansed, Exchanged, Cause, Text, By, Remark, Quantity, Unit:
		return true
	}
	return false
}

func (u *Understanding) skipAbove(row *Row) string {
	if first, _ := firstFilled(row.Cells); first < 0 {
		return blankRows
	}
	return "rows above the headings"
}

// firstFilled gives the first cell with text, -1 for none, and how many there are, counting up to two.
func firstFilled(cells []string) (first, filled int) {
	first = -1
	for i, c := range cells {
		if c != "" && strings.TrimSpace(c) != "" {
			if first < 0 {
				first = i
			}
			if filled++; filled == 2 {
				break
			}
		}
	}
	return first, filled
}

func (u *Understanding) repeatsHeader(cells []string) bool {
	same := 0
	for i, h := range u.header {
		if h == "" {
			continue
		}
		if i >= len(cells) || strings.TrimSpace(cells[i]) != strings.TrimSpace(h) {
			return false
		}
		same++
	}
	return same > 0
}

// mayBeWord: totals and titles begin with a letter, and references seldom do without a number.
func mayBeWord(cell string) bool {
	cell = strings.TrimLeft(cell, " ")
	return cell != "" && isLetter(cell[0]) && (len(cell) < 2 || !isDigit(cell[1]))
}

// isNote: a line of words behind a star, a dot or a dash, or of at least so many.
func isNote(cell string) bool {
	const words = 4
	cell = strings.TrimLeft(cell, " *•·-–—#>(\u00a0")
	return mayBeWord(cell) && len(strings.Fields(cell)) >= words
}

// isRuling: "-----", "=====", "+---+".
func isRuling(cells []string) bool {
	if len(cells) == 0 || cells[0] == "" || strings.IndexByte("-=_+|", cells[0][0]) < 0 {
		return false
	}
	for _, c := range cells {
		if len(c) == 1 || strings.Trim(c, "-=_+| :\t") != "" {
			return false
		}
	}
	return true
}

func (u *Understanding) isTotal(cell string) bool {
	const longest = 40
	if len(cell) > longest {
		return false
	}
	s := fold(cell)
	if u.lx.totals[s] || u.Kind == KindTypes {
		return u.lx.totals[s]
	}
	word, _, _ := strings.Cut(s, " ")
	return u.lx.totals[word]
}

func (u *Understanding) isRefColumn(i int) bool {
	return i < len(u.Columns) && u.Columns[i].Field.isRef()
}

func (u *Understanding) hasRef(row *Row) bool {
	for _, i := range u.total {
		if i < len(row.Cells) {
			if _, err := ParseRef(row.Cells[i]); err == nil {
				return true
			}
		}
	}
	return false
}

// isSection: a single cell of words in a wide table is a title, a footer or a note.
func (u *Understanding) isSection(row *Row, first int) bool {
	cell := strings.TrimSpace(row.Cells[first])
	if len(u.Columns) < 3 || u.Kind == KindTypes && !isNote(cell) || u.hasRef(row) {
		return false
	}
	if u.isSquashed(cell) {
		return false
	}
	return strings.Contains(cell, " ") || !strings.ContainsAny(cell, "0123456789")
}

// isSquashed: a single cell holds a whole row of its own, with its separators, or with
// a reference and what happened there. No title does.
func (u *Understanding) isSquashed(cell string) bool {
	if u.Kind != KindEvents && u.Kind != KindReadings {
		return false
	}
	for _, mark := range betweenCells {
		if strings.Count(cell, string(mark)) >= 2 {
			return true
		}
	}
	if says := u.lx.verdict(cell); !says.anythingKnown() && !says.doubt {
		return false
	}
	return slices.ContainsFunc(strings.Fields(cell), func(word string) bool {
		ref, err := ParseRef(word)
		return err == nil && ref.Loop != ""
	})
}
