package listing

import (
	"fmt"
	"strings"
)

// unknownHeads finds headings of which no word is known: a first row of words alone, each another one, above columns of which
// most hold figures in nearly every row. -1: there is none.
func (s *study) unknownHeads() int {
	at := -1
	for i, r := range s.sample {
		if filledCells(r.Cells) > 1 {
			at = i
			break
		}
	}
	if at < 0 || !areHeads(s.sample[at]) {
		return -1
	}
	const depth = 50
	below := s.sample[at+1 : min(len(s.sample), at+1+depth)]
	figured, width := 0, filledCells(s.sample[at].Cells)
	for i, head := range s.sample[at].Cells {
		if strings.TrimSpace(head) != "" && haveFigures(below, i) {
			figured++
		}
	}
	if len(below) < 2 || 2*figured <= width {
		return -1
	}
	return at
}

// areHeads: all filled cells of a row are words, and no two are the same.
func areHeads(r Row) bool {
	seen := map[string]bool{}
	for i, cell := range r.Cells {
		said := fold(cell)
		switch {
		case strings.TrimSpace(cell) == "":
		case said == "" || seen[said] || strings.ContainsAny(cell, "0123456789") || r.kind(i) != 0 || !isLetter(strings.TrimSpace(cell)[0]):
			return false
		}
		seen[said] = true
	}
	return true
}

// haveFigures: nearly all filled cells of a column have figures in them.
func haveFigures(rows []Row, column int) bool {
	filled, with := 0, 0
	for _, r := range rows {
		if column >= len(r.Cells) || strings.TrimSpace(r.Cells[column]) == "" {
			continue
		}
		filled++
		if strings.ContainsAny(r.Cells[column], "0123456789") {
			with++
		}
	}
	return filled > 1 && float64(with) >= most*float64(filled)
}

// doubtStrangePoint keeps a column that is written like points for a question where no heading of the table is known.
func (s *study) doubtStrangePoint() bool {
	i := max(s.firstFree(Point), s.weakRef())
	if !s.strangers || i < 0 {
		return false
	}
	s.doubts[i] = doubt{Point, fmt.Sprintf("its heading %q is not known, and its cells are written like points", s.u.Columns[i].Heading)}
	return true
}
