package listing

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// gutter is a run of two or more character columns that are blank in every line of a table.
type gutter struct{ from, to int }

// alignedReader cuts lines at the gutters, or at runs of two and more spaces where the table has none.
type alignedReader struct {
	*lineReader
	gutters []gutter
	cells   []string
	cols    int
}

// rowCrossed: text stands in a gutter, so that the cells cannot be told apart.
const rowCrossed = rowsEnd + 1

func (a *alignedReader) row() (Row, rowState) {
	line := a.line + 1
	end, ok := a.find(0)
	switch {
	case !ok:
		a.skipLine()
		return Row{Line: line}, rowTooLong
	case end == 0:
		return Row{Line: line}, rowsEnd
	}
	s := cleanText(trimNewline(a.buf[a.start : a.start+end]))
	a.start += end
	a.line++
	state := a.cut(strings.TrimPrefix(s, "\f"))
	return Row{Line: line, Cells: a.cells}, state
}

func (a *alignedReader) cut(s string) rowState {
	if len(a.gutters) == 0 {
		a.cells = splitRuns(a.cells[:0], s)
	} else if isPageLine(s) || isPrintedAt(s) {
		a.cells = append(a.cells[:0], strings.Join(strings.Fields(s), " "))
	} else if !a.cutAtGutters(s) && !a.cutByColumns(s) {
		// A title or a total has few columns; anything else that fits the count is taken by its gaps.
		a.cells = splitRuns(a.cells[:0], s)
		n, columns := len(a.cells), len(a.gutters)+1
		begins := n > 1 && a.cells[0] != "" && isDigit(a.cells[0][0]) // as a row does, and no title
		if n != columns && (3*n > 2*columns || begins) {
			return rowCrossed
		}
	}
	if len(a.cells) > a.cols {
		return rowTooWide
	}
	return rowOK
}

func (a *alignedReader) cutAtGutters(s string) bool {
	a.cells = a.cells[:0]
	column, start := 0, 0
	rest := a.gutters
	for i, r := range s {
		if len(rest) > 0 && column >= rest[0].to {
			a.cells = append(a.cells, strings.TrimSpace(s[start:i]))
			start, rest = i, rest[1:]
		}
		if r != ' ' && len(rest) > 0 && column >= rest[0].from && column < rest[0].to {
			return false
		}
		column++
	}
	a.cells = append(a.cells, strings.TrimSpace(s[start:]))
	for len(a.cells) <= len(a.gutters) {
		a.cells = append(a.cells, "")
	}
	return true
}

// cutByColumns cuts a line with text in a gutter where each run of text stands over one column alone, as a number does that
// is wider than all others of its column.
func (a *alignedReader) cutByColumns(s string) bool {
	a.cells = a.cells[:0]
	for range len(a.gutters) + 1 {
		a.cells = append(a.cells, "")
	}
	line, next := []rune(s), 0
	for start := 0; start < len(line); {
		if line[start] == ' ' {
			start++
			continue
		}
		end := runEnd(line, start)
		first := a.columnAt(start)
		last := first
		for last < len(a.gutters) && end > a.gutters[last].to {
			last++
		}
		if first < len(a.gutters) && start >= a.gutters[first].from { // it begins in the gutter
			first++
		}
		if first != last || first < next {
			return false
		}
		a.cells[first], next = strings.TrimSpace(string(line[start:end])), first+1
		start = end
	}
	return true
}

// columnAt gives the column in which, or in the gutter behind which, a place of the line is.
func (a *alignedReader) columnAt(place int) int {
	for i, g := range a.gutters {
		if place < g.to {
			return i
		}
	}
	return len(a.gutters)
}

// runEnd gives where text ends that begins at a place: at two spaces, or at the end of the line.
func runEnd(line []rune, from int) int {
	for i := from; i < len(line); i++ {
		if line[i] == ' ' && (i+1 == len(line) || line[i+1] == ' ') {
			return i
		}
	}
	return len(line)
}

// splitRuns cuts at two or more spaces.
func splitRuns(cells []string, s string) []string {
	s = strings.TrimSpace(s)
	for {
		i := strings.Index(s, "  ")
		if i < 0 {
			return append(cells, s)
		}
		cells = append(cells, s[:i])
		s = strings.TrimLeft(s[i:], " ")
	}
}

func textLines(sample []byte, newline byte) []string {
	const enough = 400
	var lines []string
	for len(sample) > 0 && len(lines) < enough {
		line := firstLine(sample, newline)
		sample = sample[len(line):]
		if text := cleanText(bytes.TrimRight(line, "\r\n ")); strings.TrimSpace(text) != "" {
			lines = append(lines, strings.TrimPrefix(text, "\f"))
		}
	}
	return lines
}

// alignedScore is the share of lines that two or more spaces cut into columns; 0 where tabs separate.
func alignedScore(lines []string) float64 {
	cut := 0
	for _, l := range lines {
		if len(splitRuns(nil, l)) > 1 {
			cut++
		}
	}
	if cut == 0 {
		return 0
	}
	return float64(cut) / float64(len(lines)) * 0.93
}

// findGutters finds the gaps that all lines of the table share. None are needed, and none given, where
// plain cutting at the spaces gives every line the same number of cells.
func findGutters(lines []string) []gutter {
	if narrow := narrowGutters(lines); narrow != nil {
		return narrow
	}
	var table []string
	counts := map[int]int{}
	for _, l := range lines {
		counts[len(splitRuns(nil, l))]++
	}
	columns := commonest(counts)
	steady := true
	for _, l := range lines {
		n := len(splitRuns(nil, l))
		steady = steady && (n == columns || n == 1)
		// Titles and totals have fewer columns and may run across the gaps.
		if 3*n > 2*columns {
			table = append(table, l)
		}
	}
	if steady { // else a row with an empty cell would be cut as if that were not there
		return nil
	}
	gutters := blankRuns(inkOf(table), len(table)/50, 2)
	if len(gutters)+1 < columns { // heads of pages stand among the rows
		if full := fullRows(lines, columns); 2*len(full) > len(lines) {
			return blankRuns(inkOf(full), len(full)/50, 2)
		}
	}
	return gutters
}

// inkOf counts the letters that stand in each place of some lines.
func inkOf(lines []string) []int {
	width := 0
	for _, l := range lines {
		width = max(width, utf8.RuneCountInString(l))
	}
	ink := make([]int, width)
	for _, l := range lines {
		column := 0
		for _, r := range l {
			if r != ' ' {
				ink[column]++
			}
			column++
		}
	}
	return ink
}

// commonest gives the number of columns that most lines have, of those with more than one.
func commonest(counts map[int]int) int {
	columns, most := 1, 0
	for n, count := range counts {
		if n > 1 && (count > most || count == most && n > columns) {
			columns, most = n, count
		}
	}
	return columns
}

// blankRuns allows for a few lines, titles and totals, that run across.
func blankRuns(ink []int, few, least int) []gutter {
	var out []gutter
	start := -1
	seen := false // the blank before the first column is no gutter
	for i, n := range ink {
		switch {
		case n > few:
			if seen && start >= 0 && i-start >= least {
				out = append(out, gutter{start, i})
			}
			start, seen = -1, true
		case start < 0:
			start = i
		}
	}
	return out
}
