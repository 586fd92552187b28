package listing

import (
	"fmt"
	"slices"
	"strings"
)

// yearsOverMonths joins two rows of headings, a year over each of its months, and gives the place of the lower one; else
// that of the row that was found.
func (s *study) yearsOverMonths(at int) int {
	if at < 0 || at+1 >= len(s.sample) {
		return at
	}
	top, below := s.sample[at].Cells, s.sample[at+1].Cells
	joined := make([]string, max(len(top), len(below)))
	copy(joined, top)
	year, months := "", 0
	for i := range joined {
		above, cell := trimmedAt(top, i), trimmedAt(below, i)
		if above != "" {
			year = ""
			if _, _, ok := splitMonth("01/" + above); ok {
				year = above
			}
		}
		switch {
		case cell == "":
		case year == "" || monthNumber(cell) == 0:
			return at
		default:
			joined[i] = cell + " " + year
			months++
		}
	}
	if months < 2 {
		return at
	}
	s.sample[at+1].Cells = joined
	return at + 1
}

// addDaysAbove completes headings such as "Value" or "found" with the day that stands above them, in a row or two above the headings
// where at least two columns have one, or one stands among headings that name the point. A day holds for the columns up to the next one.
func (s *study) addDaysAbove(at int) {
	const fewAbove = 2
	for above := at - 1; above >= max(0, at-fewAbove); above-- {
		days := s.daysIn(above)
		if len(days) == 0 {
			continue
		}
		s.headFromAbove(above, at)
		width := len(s.u.Columns)
		if len(days) > 1 {
			width = days[1] - days[0]
		}
		for k, from := range days {
			to := from + width
			if k+1 < len(days) {
				to = days[k+1]
			}
			for i := from; i < min(to, len(s.u.Columns)); i++ {
				if c := &s.u.Columns[i]; s.u.lx.mayBeOfVisit(c.Heading) || s.u.lx.dayWords[fold(c.Heading)] {
					c.Heading += " " + s.u.lx.visitDate(strings.TrimSpace(s.sample[above].Cells[from]))
				}
			}
		}
		return
	}
}

// headFromAbove gives columns without a heading that of a row above the others.
func (s *study) headFromAbove(above, at int) {
	for i := range s.u.Columns {
		for r := at - 1; r >= max(0, above-1) && s.u.Columns[i].Heading == ""; r-- {
			if text := trimmedAt(s.sample[r].Cells, i); s.u.lx.heading(text).field.isRef() {
				s.u.Columns[i].Heading = text
			}
		}
	}
}

// mayBeOfVisit: a heading of a value, of one of two, or of what is noted of a visit.
func (lx *lexicon) mayBeOfVisit(heading string) bool {
	m := lx.heading(heading)
	return m.apart != "" || m.strength >= strengthNear && (m.field == Value || m.field.isOfVisit())
}

func trimmedAt(cells []string, i int) string {
	if i >= len(cells) {
		return ""
	}
	return strings.TrimSpace(cells[i])
}

// headMerged gives the columns under a day that is merged over several of them that heading, and notes that the cells
// do not say how their values differ.
func (s *study) headMerged(at int) {
	if at < 0 {
		return
	}
	row := &s.sample[at]
	for i := range s.u.Columns {
		c, first := &s.u.Columns[i], row.Across(i)
		if first == i && i > 0 && haveFigures(s.sample[at+1:], i) {
			first = i - 1 // a table of texts has no merged cells: its day stands over the first of its columns
		}
		if first == i || c.Heading != "" || s.u.lx.visitDate(s.u.Columns[first].Heading) == "" {
			continue
		}
		c.Heading = s.u.Columns[first].Heading
		s.merged = append(s.merged, i)
	}
}

// doubtMerged asks what the columns under such a day are.
func (s *study) doubtMerged() {
	u := s.u
	if len(s.merged) == 0 || u.Kind != KindReadings || !s.isWide() || s.profileHas(Value) {
		return
	}
	under, words := 0, []string{}
	order := []int{} // of each value under its day, from 0
	columns := map[int][]string{}
	for i, c := range u.Columns {
		if c.Field != Value {
			continue
		}
		if !slices.Contains(s.merged, i) {
			under = 0
		}
		columns[under] = append(columns[under], columnKey(i))
		if !slices.Contains(order, under) {
			order, words = append(order, under), append(words, s.wordUnder(i))
		}
		under++
	}
	if len(order) < 2 {
		return
	}
	s.askMerged(columns, words)
}

// askMerged asks which of the columns under each day are values; words are what stands over each, where anything does.
func (s *study) askMerged(columns map[int][]string, words []string) {
	all, differ := []string{}, "nothing says how their values differ"
	for k := range words {
		all = append(all, columns[k]...)
	}
	if told := strings.Join(nonEmpty(words), ", "); told != "" {
		differ = fmt.Sprintf("the words over them, %s, do not say how their values differ", told)
	}
	choices := []Choice{{strings.Join(all, ","), "all of them: samples of one reading"}}
	for k, word := range words {
		text := fmt.Sprintf("column %d under each day", k+1)
		if word != "" {
			text = "those under " + quoteShort(word)
		}
		choices = append(choices, Choice{strings.Join(columns[k], ","), text})
	}
	s.u.askOnce(AskValue, fmt.Sprintf("The day %q stands over several columns, and %s. Which are the values? If they were found and left, write that over them.", s.u.Columns[s.merged[0]].Heading, differ), choices...)
}

// wordUnder gives the word of a second row of headings that stands under the day of a column.
func (s *study) wordUnder(i int) string { return trimmedAt(s.under, i) }

// wordsUnderDays takes a row of words under days of visits, with nothing under the other headings, for a second row of
// headings, and gives the place of the lower one; else that of the row that was found.
func (s *study) wordsUnderDays(at int) int {
	if at < 0 || at+1 >= len(s.sample) {
		return at
	}
	days := s.daysIn(at)
	below := s.sample[at+1]
	if len(days) == 0 || filledCells(below.Cells) < 2 {
		return at
	}
	for i, cell := range below.Cells {
		cell = strings.TrimSpace(cell)
		if cell != "" && (i < days[0] || isDatum(cell) || below.kind(i) != 0 || s.u.lx.visitDate(cell) != "") {
			return at
		}
	}
	joined := make([]string, max(len(s.sample[at].Cells), len(below.Cells)))
	copy(joined, s.sample[at].Cells)
	s.under = slices.Clone(below.Cells)
	day := ""
	for i := days[0]; i < len(joined); i++ {
		if text := strings.TrimSpace(joined[i]); text != "" {
			day = s.u.lx.visitDate(text)
		} else if day != "" && trimmedAt(s.under, i) != "" {
			joined[i] = day
			s.merged = append(s.merged, i)
		}
	}
	s.sample[at+1].Cells = joined
	return at + 1
}
