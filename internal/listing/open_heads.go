package listing

import (
	"fmt"
	"slices"
	"strings"
)

// MonthHeads says what headings such as "05/26" are; empty: not said.
type MonthHeads string

// MonthAndYear says that "05/26" is May of 2026.
const MonthAndYear MonthHeads = "month year"

// openHead reads a heading that names a part of a year without its year, "May", "Q2", or two numbers that may be a month and its year;
// in such a case short is true.
func openHead(s string) (p period, short, ok bool) {
	s = strings.TrimSpace(s)
	if m := monthNumber(strings.TrimSuffix(s, ".")); m > 0 {
		return period{month: m, months: 1}, false, true
	}
	if p, ok := partOfYear(s); ok && p.year == 0 {
		return p, false, true
	}
	if len(s) == len("05/26") && strings.ContainsAny(s[2:3], "/-.'") {
		m, okMonth := wholeNumber(s[:2])
		y, okYear := wholeNumber(s[3:])
		if okMonth && okYear && m >= 1 && m <= 12 {
			return period{year: fullYear(y, 2), month: m, months: 1}, true, true
		}
	}
	return period{}, false, false
}

// findOpenHeads looks for a row of headings of which two at least are such parts of a year, over cells that tell of visits.
func (s *study) findOpenHeads() {
	const depth = 50
	for at, r := range s.sample[:min(depth, len(s.sample))] {
		var columns []int
		seen, headed := map[period]bool{}, false
		for i, c := range r.Cells {
			if p, _, ok := openHead(c); ok {
				columns = append(columns, i)
				seen[p] = true
			} else {
				headed = headed || s.u.lx.heading(c).strength >= strengthNear
			}
		}
		if len(seen) > 1 && len(seen) == len(columns) && headed && (s.trustsVisits() || s.tellsBelow(at, columns)) {
			s.u.lx.openHeads = true
			return
		}
	}
}

// settleOpenHeads asks for the year of headings that leave it out, and whether two numbers are a month and its year.
func (s *study) settleOpenHeads() {
	u := s.u
	if !u.lx.openHeads || !s.isWide() {
		return
	}
	for _, text := range s.days {
		p, short, ok := openHead(text)
		switch {
		case text == "" || !ok:
		case short && u.profile.MonthHeads == "":
			u.askOnce(AskMonthHeads, fmt.Sprintf("Are headings such as %q a month and its year? If not, write the days out.", text),
				Choice{string(MonthAndYear), fmt.Sprintf("yes: %q is month %d of %d", text, p.month, p.year)})
		case !short && u.profile.Year == "":
			u.askOnce(AskYear, fmt.Sprintf("Of which year are headings such as %q?", text), s.yearsInTitles()...)
		}
	}
}

// yearsInTitles offers the years that stand in titles and names.
func (s *study) yearsInTitles() (choices []Choice) {
	texts := []string{withoutExtension(s.t.File), s.t.Name, s.t.Title}
	for _, r := range s.sample {
		if r.Line < s.u.HeaderLine {
			texts = append(texts, r.Cells...)
		}
	}
	var years []string
	for _, text := range texts {
		for word := range strings.FieldsSeq(fold(text)) {
			if _, ok := yearAlone(word); ok && !slices.Contains(years, word) {
				years = append(years, word)
			}
		}
	}
	for _, year := range years {
		choices = append(choices, Choice{year, "of " + year + ", as a title says"})
	}
	return choices
}

// periodOfVisit reads the heading of a visit that is no day, with what was answered about such headings.
func (u *Understanding) periodOfVisit(text string) (p period, ok bool) {
	if p, ok = splitPeriod(text); ok || !u.lx.openHeads {
		return p, ok
	}
	p, short, ok := openHead(text)
	switch year, _ := yearAlone(u.profile.Year); {
	case short && u.profile.MonthHeads != MonthAndYear:
		p.year = 0
	case !short:
		p.year = year
	}
	return p, ok
}
