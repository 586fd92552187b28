package listing

import (
	"slices"
	"strings"
)

// narrowGutters finds columns that one space parts, where the headings bear them out: all rows have as many words as the line
// of headings above them, and each word stands in a column of its own.
func narrowGutters(lines []string) []gutter {
	const fewest = 3
	counts := map[int]int{}
	for _, l := range lines {
		counts[len(strings.Fields(l))]++
	}
	n := commonest(counts)
	rows := belowHeads(wordRows(lines, n))
	if n < fewest || len(rows) < fewest || 2*len(rows) <= len(lines) || strings.ContainsAny(rows[0], "0123456789") {
		return nil
	}
	gutters := blankRuns(inkOf(rows), 0, 1)
	wide := 0
	for _, g := range gutters {
		if g.to-g.from > 1 {
			wide++
		}
	}
	if len(gutters) != n-1 || wide == len(gutters) || slices.ContainsFunc(rows, func(row string) bool { return !wordInEach(row, gutters) }) {
		return nil
	}
	return gutters
}

// wordInEach: each column of a row holds one word. A place of two words beside a heading of two words, as Cable (m), has as
// many words as there are headings, and no word in each.
func wordInEach(row string, gutters []gutter) bool {
	a := alignedReader{gutters: gutters}
	if !a.cutAtGutters(row) {
		return false
	}
	return !slices.ContainsFunc(a.cells, func(cell string) bool { return len(strings.Fields(cell)) != 1 })
}

// wordRows gives the lines of so many words.
func wordRows(lines []string, n int) (rows []string) {
	for _, l := range lines {
		if len(strings.Fields(l)) == n {
			rows = append(rows, l)
		}
	}
	return rows
}

// belowHeads leaves out the lines in front of the headings, the first without a figure, and those that are like them but for
// their figures: the heads of pages.
func belowHeads(rows []string) (below []string) {
	heads := map[string]bool{}
	for _, row := range rows {
		key := titleKey([]string{row})
		if len(below) == 0 && key != row {
			heads[key] = true
		} else if !heads[key] {
			below = append(below, row)
		}
	}
	return below
}

// fullRows gives the lines that runs of two and more spaces cut into so many cells.
func fullRows(lines []string, columns int) (rows []string) {
	for _, l := range lines {
		if len(splitRuns(nil, l)) == columns {
			rows = append(rows, l)
		}
	}
	return rows
}

// isPrintedAt: a line is of a day, an hour and the name of a loop, as panels print it at the head of a page.
func isPrintedAt(s string) bool {
	words := strings.Fields(s)
	const least = 4
	if len(words) < least || !isDigit(words[0][0]) || !isWholeDate(words[0]) || !hasClock(words[1]) {
		return false
	}
	for _, word := range words[2:] {
		if _, number := wholeNumber(word); !number && refLabel(word) != 'L' && refLabel(word) != 'P' {
			return false
		}
	}
	return true
}

// isPageLine: a line ends with the number of a page, as the heads of pages of a print do.
func isPageLine(s string) bool {
	words := strings.Fields(s)
	if n := len(words); n > 1 {
		_, number := wholeNumber(words[n-1])
		return number && isPageWord(strings.ToLower(words[n-2])) && !isDigit(words[0][0])
	}
	return false
}
