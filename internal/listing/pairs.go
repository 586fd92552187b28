package listing

import (
	"fmt"
	"slices"
	"strings"
)

// partner gives the other of two values that stand apart.
func (a Apart) partner() Apart {
	switch a {
	case AsFound:
		return AsLeft
	case AsLeft:
		return AsFound
	case ByDay:
		return ByNight
	}
	return ByDay
}

// nightWords head the values of the night; those of the day are headed as a day.
var nightWords = []string{"night", "nacht", "nuit", "noche", "notte"}

// pairNights takes "day" beside "night" for the value by day, where both columns hold numbers.
func (s *study) pairNights() {
	at := map[Apart]int{}
	for i := range s.matches {
		word, c := fold(s.u.Columns[i].Heading), &s.content[i]
		switch {
		case s.matches[i].strength == strengthProfile || c.filled == 0 || !c.half(c.numbers+c.lists+c.vacant):
		case s.u.lx.isDayWord(word):
			at[ByDay] = i
		case slices.Contains(nightWords, word):
			at[ByNight] = i
		}
	}
	if len(at) < 2 {
		return
	}
	for apart, i := range at {
		s.matches[i] = match{strength: strengthExact, word: fold(s.u.Columns[i].Heading), apart: apart}
	}
}

// pairValues takes two columns of numbers for the two values of a visit, where their headings say so. One without
// the other says nothing.
func (s *study) pairValues() {
	s.pairDayWord()
	for i := range s.matches {
		m, c := &s.matches[i], &s.content[i]
		if m.apart == "" || m.strength == strengthProfile {
			continue
		}
		paired := slices.ContainsFunc(s.matches, func(other match) bool { return other.apart == m.apart.partner() })
		if !paired || c.filled > 0 && !c.half(c.numbers+c.lists+c.vacant) {
			*m = s.u.lx.headingAlone(s.u.Columns[i].Heading)
			continue
		}
		m.field, m.base = Value, string(m.apart)
		s.u.Columns[i].apart = m.apart
	}
}

// pairDayWord takes the bare word for a day over numbers for the value by day, where another column has that by night.
func (s *study) pairDayWord() {
	night := slices.ContainsFunc(s.matches, func(m match) bool { return m.apart == ByNight })
	for i := range s.matches {
		m, c := &s.matches[i], &s.content[i]
		if night && m.strength != strengthProfile && s.u.lx.dayWords[fold(s.u.Columns[i].Heading)] && c.half(c.numbers+c.lists+c.vacant) {
			*m = match{strength: strengthExact, word: m.word, unit: m.unit, apart: ByDay}
		}
	}
}

// pairDaysOfVisits takes the bare word for a day beside that of a visit for the value by day, where another visit has one by
// night.
func (s *study) pairDaysOfVisits() {
	u := s.u
	if !slices.ContainsFunc(u.Columns, func(c Column) bool { return c.apart == ByNight }) {
		return
	}
	for i := range u.Columns {
		c := &u.Columns[i]
		word, _ := u.lx.cutVisit(c.Heading)
		if s.days[i] != "" && c.apart == "" && u.lx.dayWords[fold(word)] {
			c.apart = ByDay
		}
	}
}

// headingAlone reads a heading without regard to a partner.
func (lx *lexicon) headingAlone(heading string) match {
	rest, unit := splitUnit(heading)
	m := lx.exactHeading(fold(rest), unit)
	m.apart = ""
	return m
}

// joinDays takes columns of day, month and year for one day; any of them alone is none.
func (s *study) joinDays() {
	at := map[Field]int{}
	for i, m := range s.matches {
		word := fold(s.u.Columns[i].Heading)
		switch f := m.field; {
		case m.strength == strengthProfile:
		case f == Year && s.content[i].half(s.content[i].numbers), f == Month && (s.content[i].half(s.content[i].numbers) || s.content[i].areMonths()):
			at[f] = i
		case s.u.lx.isDayWord(word) && s.content[i].half(s.content[i].numbers):
			at[Day] = i
		}
	}
	for f, i := range at {
		if len(at) == 3 {
			s.matches[i] = match{field: f, strength: strengthExact, word: string(f)}
			continue
		}
		if f != Day {
			s.matches[i] = match{strength: strengthExact}
			s.barred[i] = fmt.Sprintf("the heading %q is a part of a day, and the others are not there", s.u.Columns[i].Heading)
		}
	}
}

// joinedDay gives the day of three columns, year first; empty where none is filled.
func (r *rowReader) joinedDay() string {
	var n [3]int
	for k, part := range r.parts {
		cell, _ := r.get(part)
		if cell == "" {
			return ""
		}
		v, ok := wholeNumber(cell)
		if m := monthNumber(cell); k == 1 && m > 0 {
			v, ok = m, true
		}
		if !ok {
			return cell
		}
		n[k] = v
	}
	return fmt.Sprintf("%04d-%02d-%02d", fullYear(n[0], len(fmt.Sprint(n[0]))), n[1], n[2])
}

// barRunning leaves columns out that only count the rows, where others name the points. Of a loop that somebody named the
// devices are numbered.
func (s *study) barRunning() {
	const fewest = 4
	if s.u.profile.Constants[Loop] != "" {
		return
	}
	for i := range s.matches {
		m, c := &s.matches[i], &s.content[i]
		if s.countsBesidePlaces(i) {
			s.barred[i] = "its cells count the rows: the register has the places beside them at other numbers"
			*m = match{strength: strengthExact}
			continue
		}
		counted := c.running
		if c.again < c.running { // a loop of which all rows are says 1 more often than it counts
			counted += c.again
		}
		whole := counted == c.numbers && c.filled <= counted+1 // but for the word of a total
		counts := whole && (c.running >= fewest || c.running > 1 && m.field == number)
		if !counts || m.strength == strengthProfile || !s.namedElsewhere(i) {
			continue
		}
		if m.field == number || m.field == "" || m.field == Loop || m.field == Panel {
			s.barred[i] = "its cells count the rows"
			*m = match{strength: strengthExact}
		}
	}
}

// barUnlike leaves out a column headed as mere numbers whose numbers are mostly not those of the points beside it.
func (s *study) barUnlike() {
	for i := range s.matches {
		if s.matches[i].field != number || s.matches[i].strength == strengthProfile {
			continue
		}
		for j, m := range s.matches {
			if j == i || !(m.field == Point && m.strength >= strengthNear || s.roles[j] == Point) {
				continue
			}
			if like, unlike := s.numbersAgree(i, j); unlike > like {
				s.barred[i] = fmt.Sprintf("its numbers are not those of the points in column %q", s.u.columnName(j))
				s.matches[i] = match{strength: strengthExact}
				break
			}
		}
	}
}

// numbersAgree counts the rows of the sample in which a number is that of the point beside it, and in which it is not.
func (s *study) numbersAgree(numbers, points int) (like, unlike int) {
	for _, row := range s.sample {
		if row.Line <= s.u.HeaderLine || len(row.Cells) <= max(numbers, points) {
			continue
		}
		n, err := parseAddress(strings.TrimSpace(row.Cells[numbers]))
		ref, bad := ParseRef(strings.TrimSpace(row.Cells[points]))
		switch {
		case err != nil || bad != nil || ref.Loop == "":
		case n == ref.Address:
			like++
		default:
			unlike++
		}
	}
	return like, unlike
}

// namedElsewhere: another column is headed as one that names the points, or holds references.
func (s *study) namedElsewhere(i int) bool {
	for j, m := range s.matches {
		if j != i && (m.strength >= strengthNear && (m.field == Point || m.field == Address || m.field == Serial || m.field == Name) || s.roles[j] == Point) {
			return true
		}
	}
	return false
}

// isProse: no row has two cells.
func (s *study) isProse() bool {
	for _, r := range s.sample {
		if filledCells(r.Cells) > 1 {
			return false
		}
	}
	return len(s.sample) > 0 && s.u.column(Point) < 0 && !s.oneColumn()
}

// oneColumn: a table of one column may list numbers or references.
func (s *study) oneColumn() bool {
	for i := range s.content {
		if c := &s.content[i]; c.mostly(c.refs + c.weak + c.numbers) {
			return true
		}
	}
	return false
}

// settleCarried takes a loop or panel that is said once, in the first of its rows, for those of all rows below it.
func (s *study) settleCarried() {
	for i := range s.u.Columns {
		c := &s.u.Columns[i]
		if c.Field != Loop && c.Field != Panel {
			continue
		}
		filled, empty, first := 0, 0, false
		for _, r := range s.sample {
			if _, cells := firstFilled(r.Cells); r.Line <= s.u.HeaderLine || cells < 2 {
				continue
			}
			full := i < len(r.Cells) && strings.TrimSpace(r.Cells[i]) != ""
			if filled+empty == 0 {
				first = full
			}
			if full {
				filled++
			} else {
				empty++
			}
		}
		if first && empty > filled {
			c.carries = true
			c.Why += ", said once for the rows below it"
		}
	}
}
