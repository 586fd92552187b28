package listing

import (
	"slices"
	"strings"
)

// A ditto mark says that a cell is as the one above it. It is filled where that is a row which can be read and seen; what
// only points elsewhere, "see above", is refused with its row.

// dittoMarks stand for the cell above; by their length, so that the cells of long lists are looked at quickly.
// Common practice, no source.
var dittoMarks = byLength(`"`, `''`, "〃", "“", "”", "„", "«", "»", `-"-`, `- " -`, "ditto", "dito", "do.", "dto.", "dto", "idem", "as above", "same as above", "wie oben", "wie vor",
	"wie vorher", "desgl.", "comme ci-dessus", "comme au-dessus", "como arriba", "igual que arriba", "come sopra", "als boven", "zoals hierboven")

// elsewhere point to another row, and do not say to which of its cells.
var elsewhere = byLength("see above", "see below", "as below", "see remark", "see remarks", "see note", "see notes", "siehe oben", "s. o.", "s.o.", "siehe unten", "s. u.", "s.u.", "siehe bemerkung",
	"voir ci-dessus", "voir plus haut", "voir ci-dessous", "voir remarque", "ver arriba", "ver abajo", "véase arriba", "ver nota", "vedi sopra", "vedi sotto", "vedi nota", "zie boven", "zie hierboven", "zie onder", "zie opmerking")

func byLength(marks ...string) [][]string {
	var all [][]string
	for _, mark := range marks {
		for len(all) <= len(mark) {
			all = append(all, nil)
		}
		all[len(mark)] = append(all[len(mark)], mark)
	}
	return all
}

// isOf: the cell is one of some texts, whatever its capitals.
func isOf(cell string, marks [][]string) bool {
	return len(cell) < len(marks) && slices.ContainsFunc(marks[len(cell)], func(mark string) bool { return strings.EqualFold(cell, mark) })
}

// fillDittos puts the cells of the row above into those of a row that have a ditto mark for it.
func (r *rowReader) fillDittos(row *Row) {
	own := false
	for k, i := range r.dittoed {
		if i >= len(row.Cells) || !isOf(strings.TrimSpace(row.Cells[i]), dittoMarks) || r.rowAbove[k] == "" {
			continue
		}
		if !own {
			row.Cells, own = slices.Clone(row.Cells), true
		}
		row.Cells[i] = r.rowAbove[k]
	}
}

// keepForDittos remembers a row for the marks of the next one; a row that cannot be read or is passed over leaves none.
func (r *rowReader) keepForDittos(row *Row, skipped string, readable bool) {
	if skipped == blankRows || skipped == headingsAgain {
		return
	}
	known := readable && (skipped == "" || skipped == NothingFitted || skipped == NothingToldOf)
	for k, i := range r.dittoed {
		r.rowAbove[k] = ""
		if hidden := i < len(row.hid) && row.hid[i]; known && !hidden && i < len(row.Cells) {
			if cell := strings.TrimSpace(row.Cells[i]); !isOf(cell, dittoMarks) && !isOf(cell, elsewhere) {
				r.rowAbove[k] = row.Cells[i]
			}
		}
	}
}

// canBeDittoed gives the columns of which a cell may be as the one above.
func (u *Understanding) canBeDittoed() (at []int) {
	for i, c := range u.Columns {
		if c.Field.mayCarry() {
			at = append(at, i)
		}
	}
	return at
}

// holdDittos refuses a row with a mark that has nothing above it, or that points elsewhere.
func (r *rowReader) holdDittos() {
	for _, i := range r.dittoed {
		if i >= len(r.row.Cells) {
			continue
		}
		switch cell := strings.TrimSpace(r.row.Cells[i]); {
		case isOf(cell, dittoMarks):
			r.fail(i, "what stands above", quoteShort(cell)+", and no row above that can be read has it", "write it out")
		case isOf(cell, elsewhere):
			r.fail(i, r.u.Columns[i].Field.text(), quoteShort(cell)+", which only points to another row", "write it out")
		}
	}
}
