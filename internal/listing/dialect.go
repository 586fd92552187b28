package listing

import (
	"bytes"
	"strings"
)

// tally is what a sample of a text says for one way of writing tables.
type tally struct {
	dialect
	rows   int
	widths map[int]*widthTally
	left   bool // its first row ends with the heading of a file of left rows
	quoted int  // cells between quotes
	broken int  // cells with a stray quote
	behind int  // cells behind a separator
	padded int  // those of them that begin with a space
}

// widthTally counts the rows of one width, and their cells.
type widthTally struct{ rows, cells, whole int }

// tallyOf reads a sample in one way.
func (ts *textSource) tallyOf(sample []byte, newline byte, d dialect) *tally {
	c := csvReader{lineReader: newLineReader(bytes.NewReader(sample), newline, ts.t.limits.MaxLine), dialect: d, cols: ts.t.limits.MaxCols}
	t := &tally{dialect: d, widths: map[int]*widthTally{}}
	for {
		switch _, state := c.next(); state {
		case rowsEnd:
			t.broken = c.broken
			return t
		case rowOK:
			t.row(&c)
		}
	}
}

func (t *tally) row(c *csvReader) {
	if first, _ := firstFilled(c.cells); first < 0 {
		return
	}
	n := len(c.cells)
	if t.rows++; t.rows == 1 && n > 1 && c.cells[n-1] == troubleHeading {
		t.left = true
	}
	w := t.widths[n]
	if w == nil {
		w = &widthTally{}
		t.widths[n] = w
	}
	w.rows++
	w.cells += n
	for i, cell := range c.cells {
		if quoted := i < len(c.quoted) && c.quoted[i]; quoted {
			t.quoted++
			w.whole++
			continue
		}
		if isWhole(cell, t.sep) && !(t.sep == ',' && splitsDecimal(c.cells, i)) {
			w.whole++
		}
		if i > 0 && strings.TrimSpace(cell) != "" {
			t.behind++
			if cell[0] == ' ' {
				t.padded++
			}
		}
	}
}

// commonest gives the width that most rows have, of those with more than one cell.
func (t *tally) commonest() int {
	counts := map[int]int{}
	for width, w := range t.widths {
		counts[width] = w.rows
	}
	return commonest(counts)
}

// steadiness is the share of rows with the commonest number of cells (0 if that is one), times the
// share of their cells that are whole, with a little more for more columns. Title and totals rows have
// fewer cells and cost little.
func (t *tally) steadiness() float64 {
	width := t.commonest()
	if width == 1 {
		return 0
	}
	w := t.widths[width]
	return float64(w.rows) / float64(t.rows) * float64(w.whole) / float64(w.cells) * (1 - 0.1/float64(width))
}

// splitsDecimal tells whether a comma beside a cell looks as if it stood in a number of an aligned column: in the cell there
// are gaps, and a digit touches the comma, as in K40019  0,21  17.11.2024.
func splitsDecimal(cells []string, i int) bool {
	cell := cells[i]
	if !strings.Contains(strings.TrimSpace(cell), "  ") {
		return false
	}
	behind := i > 0 && isDigit(cell[0]) && cells[i-1] != "" && isDigit(cells[i-1][len(cells[i-1])-1])
	before := i+1 < len(cells) && isDigit(cell[len(cell)-1]) && cells[i+1] != "" && isDigit(cells[i+1][0])
	return behind || before
}

// isWhole tells whether a cell that did not stand between quotes does not look as if another separator
// still ran through it.
func isWhole(cell string, sep byte) bool {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return true
	}
	if len(splitRuns(nil, cell)) > 2 { // aligned columns with decimal commas, as in 1  4  2024-03-20  0,12
		return false
	}
	if sep != ',' && strings.Contains(cell, " ") && len(splitSamples(cell)) > 1 { // 52,4 51,6 49,5
		return true
	}
	if hasQuotedPart(cell) || strings.ContainsAny(cell, "\t|") {
		return false
	}
	if sep == ',' && strings.Contains(cell, ";") {
		return len(splitSamples(cell)) > 1
	}
	// ";" splitting "25;26;25" leaves "L1-001,2025-01-01,25" behind.
	return strings.Count(cell, ",") < 2 || strings.Contains(cell, ", ")
}

// hasQuotedPart tells whether a quote stands beside a separator in a cell: `1,2,"Bay 1` was cut in two.
func hasQuotedPart(cell string) bool {
	for i := strings.IndexByte(cell, '"'); i >= 0; {
		if i > 0 && isSeparator(cell[i-1]) || i+1 < len(cell) && isSeparator(cell[i+1]) {
			return true
		}
		next := strings.IndexByte(cell[i+1:], '"')
		if next < 0 {
			return false
		}
		i += 1 + next
	}
	return false
}

func isSeparator(c byte) bool { return c == ',' || c == ';' || c == '\t' || c == '|' }

// bestDialect tries each separator on the sample and keeps the one that gives the steadiest table with
// the most cells that read as something whole; its separator is 0 for aligned columns. Quotes and what
// escapes them follow from how cells begin and end.
func (ts *textSource) bestDialect(sample []byte, newline byte, separators []byte) dialect {
	var best *tally
	bestScore := 0.0
	for _, sep := range separators {
		t := ts.quotesOf(sample, newline, sep)
		if t.left {
			best = t
			break
		}
		if score := t.steadiness(); score > bestScore {
			best, bestScore = t, score
		}
	}
	switch {
	case len(separators) == 1:
		best = ts.quotesOf(sample, newline, separators[0])
	case best == nil || !best.left:
		if aligned := alignedScore(textLines(sample, newline)); aligned > bestScore {
			return dialect{}
		}
	}
	if best == nil {
		return dialect{sep: ',', quote: '"'}
	}
	d := best.dialect
	d.width = best.commonest()
	d.padded = best.behind > 0 && best.padded*20 >= best.behind*19 // all but a few
	return d
}

// quotesOf finds how cells are quoted for one separator: by the common quote unless single ones alone
// begin and end cells, and with an escape where that leaves no quote astray.
func (ts *textSource) quotesOf(sample []byte, newline byte, sep byte) *tally {
	best := ts.tallyOf(sample, newline, dialect{sep: sep, quote: '"'})
	if best.quoted == 0 && !best.left && bytes.IndexByte(sample, '\'') >= 0 {
		if t := ts.tallyOf(sample, newline, dialect{sep: sep, quote: '\'', strict: true}); t.quoted > 1 && t.broken == 0 {
			best = t
		}
	}
	if best.broken == 0 || best.quoted == 0 {
		return best
	}
	for _, escape := range []byte{'\\', 0} {
		d := best.dialect
		d.escape, d.hasEscape = escape, true
		if bytes.Contains(sample, []byte{escape, d.quote}) {
			if t := ts.tallyOf(sample, newline, d); t.broken == 0 {
				return t
			}
		}
	}
	return best
}
