package listing

import (
	"slices"
	"strings"
)

// isTitle: two cells that are no row: they begin with a word, and together say a day, a loop or a page.
func (x *sections) isTitle(row *Row, first int) bool {
	if x.isDayLine(row, first) {
		return true
	}
	if !mayBeWord(row.Cells[first]) || row.kind(first) != 0 || filledCells(row.Cells) != 2 || x.lx.heading(row.Cells[first]).strength >= strengthNear {
		return false
	}
	if ref, err := ParseRef(row.Cells[first]); err == nil && ref.Loop != "" {
		return false
	}
	text := strings.Join(row.Cells, " ")
	return len(x.lx.contextOf(text)) > 0 || x.lx.isPage(text)
}

// isDayLine: the word for a date with a day beside it, alone.
func (x *sections) isDayLine(row *Row, first int) bool {
	if filledCells(row.Cells) != 2 || x.lx.headings[strings.TrimSuffix(fold(row.Cells[first]), ":")] != Date {
		return false
	}
	day := strings.TrimSpace(strings.Join(row.Cells[first+1:], ""))
	return day != "" && isWholeDate(day)
}

// isPage: a page number is in it.
func (lx *lexicon) isPage(text string) bool {
	words := strings.Fields(fold(text))
	for i, word := range words[:max(0, len(words)-1)] {
		if _, ok := wholeNumber(words[i+1]); ok && slices.Contains(pageWords, word) {
			return true
		}
	}
	return false
}

var pageWords = []string{"page", "seite", "pagina", "blatt", "sheet", "p"}

// gatherTitles notes the rows above the headings, or above the first row as wide as most, so that they are known where
// they come again at the top of each page.
func (s *study) gatherTitles() {
	s.u.titles = map[string]bool{}
	counts := map[int]int{}
	for _, r := range s.sample {
		counts[filledCells(r.Cells)]++
	}
	usual := commonest(counts)
	for _, r := range s.sample {
		n := filledCells(r.Cells)
		if s.u.HeaderLine > 0 && r.Line >= s.u.HeaderLine || s.u.HeaderLine == 0 && n >= usual {
			return
		}
		if n == 2 && usual > 2 {
			s.u.titles[titleKey(r.Cells)] = true
		}
	}
}

// isTitleAgain: a title above the headings stands there again, at the top of another page.
func (u *Understanding) isTitleAgain(cells []string) bool {
	return len(u.titles) > 0 && filledCells(cells) == 2 && u.titles[titleKey(cells)]
}

// titleKey is a title without its numbers.
func titleKey(cells []string) string {
	return strings.Map(func(c rune) rune {
		if c >= '0' && c <= '9' {
			return -1
		}
		return c
	}, strings.Join(cells, " "))
}

// barValueWords leaves out a column that has the word for a value in every row, as prints of panels do.
func (s *study) barValueWords() {
	for i := range s.matches {
		c := &s.content[i]
		if s.matches[i].field != "" || len(c.distinct) != 1 || c.filled < 2 {
			continue
		}
		for word := range c.distinct {
			if s.u.lx.headings[fold(word)] == Value {
				s.barred[i] = "its cells are all the word for a value"
				s.matches[i] = match{strength: strengthExact}
			}
		}
	}
}

// areMonths: the cells are names of months.
func (c *content) areMonths() bool {
	for cell := range c.distinct {
		if monthNumber(cell) == 0 {
			return false
		}
	}
	return len(c.distinct) > 0
}

// isWholeDate: the cell is a day and nothing else.
func isWholeDate(cell string) bool {
	raw, ok := splitDate(cell)
	return ok && raw.possible() && (strings.ContainsAny(cell, "-/.") || isDigit(cell[0]) && strings.Contains(cell, " "))
}

// spill gives the digits behind a whole number that stand in the cell next to it, in a row with more cells than there
// are headings: a decimal comma without quotes.
func (u *Understanding) spill(row *Row, column int) string {
	if u.Separator != "," || u.HeaderLine == 0 || len(row.Cells) <= len(u.header) || column+1 >= len(row.Cells) {
		return ""
	}
	rest := strings.TrimSpace(row.Cells[column+1])
	digits := len(rest) - len(strings.TrimLeft(rest, "0123456789"))
	if digits == 0 || digits < len(rest) && rest[digits] != ' ' { // a word may stand behind the value
		return ""
	}
	return rest
}

// doubtZones asks about numbers beside zones that contradict the register, or name the same number in several zones:
// they may count within the zone.
func (s *study) doubtZones() {
	u := s.u
	zone := slices.IndexFunc(s.matches, func(m match) bool { return m.field == Zone && m.strength >= strengthNear })
	at := max(u.column(Point), u.column(Address))
	if zone < 0 || at < 0 || u.profile.RefOrder != "" || s.matches[at].strength == strengthProfile {
		return
	}
	if u.has(Loop) || u.said[Loop] != "" {
		s.doubtNumbersOfLoops(zone, at)
		return
	}
	zones, twice, contrary, agree := map[int]string{}, false, 0, 0
	for _, r := range s.sample {
		if r.Line <= u.HeaderLine || at >= len(r.Cells) || zone >= len(r.Cells) {
			continue
		}
		ref, err := ParseRef(r.Cells[at])
		z := normalName(strings.TrimSpace(r.Cells[zone]))
		if err != nil || ref.Loop != "" || z == "" {
			continue
		}
		if before, ok := zones[ref.Address]; ok && before != z {
			twice = true
		}
		zones[ref.Address] = z
		switch has, known := s.known.zoneAt(ref); {
		case !known || has == "":
		case has == z:
			agree++
		default:
			contrary++
		}
	}
	if twice || contrary > agree {
		s.askForZones(zone, at)
	}
}

// zoneAt gives the zone that the register has for a number, where it has one loop.
func (k *Known) zoneAt(ref Ref) (string, bool) {
	if k == nil || len(k.loops) != 1 {
		return "", false
	}
	for loop := range k.loops {
		ref.Loop, ref.Panel = loop.Loop, loop.Panel
	}
	ref.Range = ""
	zone, ok := k.zoneOf[ref]
	return zone, ok
}
