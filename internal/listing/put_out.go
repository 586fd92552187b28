package listing

import "strings"

// putOutMarks stand before a row that somebody put out of a list without deleting it.
var putOutMarks = []string{"#", "//", "--"}

// isPutOut: a cell begins with such a mark.
func isPutOut(cell string) bool {
	cell = strings.TrimLeft(cell, " ")
	if cell == "" || cell[0] != '#' && cell[0] != '/' && cell[0] != '-' {
		return false
	}
	for _, mark := range putOutMarks {
		if rest, found := strings.CutPrefix(cell, mark); found && strings.ContainsAny(rest, "0123456789") {
			return true
		}
	}
	return false
}

// findPutOut finds whether the rows begin with such a mark as a rule: "#1.001" is then how the list writes its points.
func (s *study) findPutOut() {
	with, without := 0, 0
	for _, r := range s.sample {
		first, filled := firstFilled(r.Cells)
		if r.Line <= s.u.HeaderLine || filled < 2 {
			continue
		}
		if isPutOut(r.Cells[first]) {
			with++
		} else {
			without++
		}
	}
	s.u.marked = with > without
}

// holdPutOut refuses a row that begins with a mark which most others do not have.
func (r *rowReader) holdPutOut() {
	first, _ := firstFilled(r.row.Cells)
	if r.u.marked || first < 0 || !isPutOut(r.row.Cells[first]) {
		return
	}
	r.fail(first, "a row that holds", quoteShort(r.row.Cells[first])+", with a mark that may put the row out of the list", "take the mark away if the row holds")
}
