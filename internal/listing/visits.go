package listing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// A wide table has one row for each point and one column for each visit, with the day of the visit as
// its heading. Its filled cells are one reading each.

// visit is the column of one day, or the columns where several have the same heading: samples of one
// reading.
type visit struct {
	when    Civil
	within  string // the period that the heading names, where it names no day
	err     error  // the day cannot be told
	columns []int
	notes   []slot // columns of remarks, names and cleanings of this visit
}

// visitDate finds the date that a heading is, alone or beside a word for a value: "12.01.2024",
// "Jan 2024 (%)", "Reading 12/01/2024", "2024-01-12 found"; "" when it is none.
func (lx *lexicon) visitDate(heading string) string {
	_, day := lx.cutVisit(heading)
	return day
}

// cutVisit takes a heading apart into the day of a visit and the word beside it, which may stand on either side.
func (lx *lexicon) cutVisit(heading string) (word, day string) {
	rest, _ := splitUnit(heading)
	rest = strings.TrimSpace(rest)
	if isVisitDate(rest) {
		return "", rest
	}
	if _, _, open := openHead(rest); open && lx.openHeads {
		return "", rest
	}
	for i := range len(rest) {
		if rest[i] != ' ' {
			continue
		}
		before, behind := strings.TrimSpace(rest[:i]), strings.TrimSpace(rest[i:])
		if isVisitDate(behind) && lx.isBeforeDay(fold(before)) {
			return before, behind
		}
		if isVisitDate(before) && lx.isBeforeDay(fold(behind)) {
			return behind, before
		}
	}
	return "", ""
}

// visitWords may stand before the day of a visit, with a number or without.
const visitWords = `
visit: v, visit, round, survey, check, inspection, besuch, rundgang, wartung, begehung, prufung, visite, passage, tournee, releve, visita, ronda, revision, giro, sopralluogo, bezoek, ronde, controle
`

// isBeforeDay: beside the day stands a word for a value or a visit, which may be numbered, V1 or visit 2.
func (lx *lexicon) isBeforeDay(words string) bool {
	return lx.headings[words] == Value || lx.pairs[words] != "" || lx.dayWords[words] || lx.visits[strings.TrimRight(words, " 0123456789")]
}

func isVisitDate(s string) bool {
	if _, ok := splitPeriod(s); ok {
		return true
	}
	raw, ok := splitDate(s)
	var clock Civil
	return ok && raw.possible() && (!raw.hasTime || clock.setClock(raw.clock) == nil)
}

// splitMonth reads a month without a day: "Jan 2024", "2024-01", "01/2024", "Jan '24".
func splitMonth(s string) (year, month int, ok bool) {
	if len(s) < 5 || len(s) > 20 {
		return 0, 0, false
	}
	parts := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" -/.,'’", r) })
	if len(parts) != 2 {
		return 0, 0, false
	}
	m, y := parts[0], parts[1]
	if len(m) == 4 && isDigit(m[0]) {
		m, y = y, m
	}
	if month = monthNumber(m); month == 0 && len(m) <= 2 && len(y) == 4 {
		month, _ = wholeNumber(m)
	}
	n, isNumber := wholeNumber(y)
	year = fullYear(n, len(y))
	return year, month, isNumber && year >= 1900 && year < 2100 && isDay(year, month, 1)
}

// visitDay reads the heading of a visit; day is that of headings which name only a month. A day beyond
// the end of its month is the month's last.
func (u *Understanding) visitDay(text string, order DateOrder) (Civil, error) {
	p, ok := u.periodOfVisit(text)
	if !ok {
		return ParseDate(text, order)
	}
	if d, err := strconv.Atoi(u.profile.DayOfMonth); err == nil && p.months == 1 && p.year != 0 {
		return newCivil(p.year, p.month, min(d, daysIn(p.year, p.month)))
	}
	return p.middle()
}

// visitHeadings counts the days of visits in a row of the sample; 0 unless it can be the headings of a
// wide table, with mostly numbers below.
func (s *study) visitHeadings(at int) int {
	days := s.daysIn(at)
	if len(days) == 0 || !s.trustsVisits() && !s.tellsBelow(at, days) {
		return 0
	}
	return len(days)
}

// daysIn gives the columns of the days in a row of headings: at least two, and no other datum; else nil.
func (s *study) daysIn(at int) []int {
	var days []int
	for i, c := range s.sample[at].Cells {
		switch c = strings.TrimSpace(c); {
		case c == "": // the corner, or a merged day's further columns
		case s.u.lx.visitDate(c) != "":
			days = append(days, i)
		case isDatum(c) || s.sample[at].kind(i)&cellDate != 0:
			return nil
		}
	}
	if len(days) < 2 && !s.isOneVisit(at, days) {
		return nil
	}
	return days
}

// trustsVisits: the cells need not bear out what headings say where that is known beforehand, or where
// only the bad rows of a list are left.
func (s *study) trustsVisits() bool { return s.u.profile.Kind == KindReadings || s.u.left }

// tellsBelow reports whether most cells below are values, or words for how a test went.
func (s *study) tellsBelow(at int, columns []int) bool {
	const depth = 200
	below := content{distinct: map[string]bool{}}
	for _, r := range s.sample[at+1 : min(at+1+depth, len(s.sample))] {
		for _, i := range columns {
			if i < len(r.Cells) && strings.TrimSpace(r.Cells[i]) != "" {
				below.look(r.Cells[i], r.kind(i), s.u.lx, nil)
			}
		}
	}
	return below.half(below.numbers+below.lists) || below.tellsTrials()
}

// findVisits decides whether the table is wide. A profile that names columns as values has the last
// word: they are visits if all of their headings are days.
func (s *study) findVisits() {
	u := s.u
	if u.profile.Kind != KindUnknown && u.profile.Kind != KindReadings && u.profile.Kind != KindEvents || s.profileHas(Date) {
		return
	}
	named, all := s.profileHas(Value), content{}
	days, count := make([]string, len(u.Columns)), 0
	for i, c := range u.Columns {
		profiled := s.matches[i].strength == strengthProfile
		if profiled != named || profiled && s.matches[i].field != Value {
			continue
		}
		if days[i] = u.lx.visitDate(c.Heading); days[i] != "" {
			count++
			all.filled += s.content[i].filled
			all.numbers += s.content[i].numbers + s.content[i].lists
			all.vacant += s.content[i].vacant
			all.verdicts += s.content[i].verdicts
			all.events += s.content[i].events
			all.marks += s.content[i].marks
		} else if named {
			return
		}
	}
	if count == 0 || !named && (count < 2 && !s.hasOneVisit(days) || !s.trustsVisits() && !all.halfNumbers() && !all.tellsTrials()) {
		return
	}
	s.days, s.trials = days, !named && all.tellsTrials() && u.profile.Kind != KindReadings
	field := Value
	if s.trials {
		field = Result
	}
	for i, m := range s.matches {
		if days[i] != "" && !named {
			s.matches[i] = match{field: field, strength: strengthExact, unit: m.unit}
			s.u.Columns[i].apart = s.u.lx.apartOfDay(u.Columns[i].Heading)
		}
	}
	s.pairDaysOfVisits()
}

func (s *study) isWide() bool { return s.days != nil }

// keeps tells whether column i can hold the field. What stands once in a row of a wide table can say
// where the point is, but nothing of one of the visits.
func (s *study) keeps(f Field, i int) bool {
	if s.isWide() && ((f == Value || f == Result) && s.days[i] == "" || f == Date || f == Time || f == By || f == Remark || f == What || f == Text) {
		return false
	}
	return slices.Contains(s.u.Kind.Fields(), f)
}

// settleVisits turns the headings into days, in the order that all of them allow.
func (s *study) settleVisits() {
	u, f := s.u, facts{}
	if !s.isWide() || u.Kind != KindReadings && u.Kind != KindEvents {
		return
	}
	for _, text := range s.days {
		if _, period := u.periodOfVisit(text); !period {
			f.date(text, 0)
		}
	}
	s.settleOpenHeads()
	order, why := u.settleOrder(&f, "in the headings")
	for i, text := range s.days {
		if text != "" && (u.Columns[i].Field == Value || u.Columns[i].Field == Result) {
			u.Columns[i].DateOrder = order
			u.addVisit(i, text, why)
		}
	}
}

func (u *Understanding) addVisit(i int, text, why string) {
	c := &u.Columns[i]
	when, err := u.visitDay(text, c.DateOrder)
	within := ""
	said := fmt.Sprintf("the heading %q is the day of a visit", c.Heading)
	if p, ok := u.periodOfVisit(text); ok && (u.profile.DayOfMonth == "" || p.months != 1) {
		within = text
		said = fmt.Sprintf("the heading %q is the time of a visit, whose day is not given: %s stands for it", c.Heading, when.text())
	}
	if c.Why == profileSays {
		said = profileSays + "; " + said
	}
	c.Why = said
	if raw, ok := splitDate(text); ok && !raw.fixed {
		c.Why += why
	}
	if err == nil {
		c.Date = &when
		for k := range u.visits {
			if v := &u.visits[k]; v.err == nil && v.when == when && u.Columns[v.columns[0]].Unit == c.Unit && u.Columns[v.columns[0]].apart == c.apart {
				v.columns = append(v.columns, i)
				c.Why += ", one of several samples"
				return
			}
		}
	}
	u.visits = append(u.visits, visit{when: when, within: within, err: err, columns: []int{i}})
}

// readVisits yields a record for each visit at which the point was read, then one error for all cells
// of the row that cannot be used: the row is to be mended once. It reports false once yield does.
func (r *rowReader) readVisits(row *Row, yield func(Record, *RowError) bool) bool {
	r.row, r.err = row, nil
	ref := r.ref()
	if r.err != nil {
		return yield(Record{Line: row.Line, Cells: row.Cells}, r.err)
	}
	var bad []*RowError
	untold := false // one day that cannot be told is enough to say
	for i := range r.u.visits {
		v := &r.u.visits[i]
		r.err = nil
		filled, done := r.readVisit(ref, v)
		switch {
		case r.err != nil && v.err != nil && untold:
		case r.err != nil:
			bad, untold = append(bad, r.err), untold || v.err != nil
		case filled && !yield(Record{Line: row.Line, Cells: row.Cells, Reading: &r.reading}, nil):
			return false
		}
		if r.err == nil && !r.yieldDone(ref, v.when, done, yield) {
			return false
		}
	}
	return len(bad) == 0 || yield(Record{Line: row.Line, Cells: row.Cells}, joinRowErrors(bad))
}

// readVisit reads the cells of one visit; an empty one, or a dash, says that the point was not read.
func (r *rowReader) readVisit(ref Ref, v *visit) (filled bool, done []Happening) {
	r.reading = ReadingRow{Ref: ref, When: v.when, Samples: r.reading.Samples[:0]}
	for _, column := range v.columns {
		cell, kind := r.get(slot{column: column, field: Value})
		switch {
		case cell == "" || r.u.lx.isVacant(cell):
			continue
		case v.err != nil:
			c := &r.u.Columns[column]
			r.badDate(column, c.Heading, v.err, c.DateOrder)
		default:
			r.sampleCell(column, cell, kind)
		}
		filled = true
	}
	r.reading.Apart = r.u.Columns[v.columns[0]].apart
	r.describe(v.columns)
	noted, done := r.note(v)
	switch {
	case v.err != nil && noted && !filled:
		r.badDate(v.columns[0], r.u.Columns[v.columns[0]].Heading, v.err, r.u.Columns[v.columns[0]].DateOrder)
	case noted && !filled && len(done) == 0:
		r.fail(v.columns[0], "a value beside what is noted", "no value", "")
	}
	if v.within != "" {
		r.reading.Remark = join(r.reading.Remark, "read within "+v.within)
	}
	if filled {
		r.standApart(done)
	}
	return filled, done
}

// joinRowErrors makes one error of those of several cells in a row.
func joinRowErrors(bad []*RowError) *RowError {
	const most = 4
	e := *bad[0]
	for _, other := range bad[1:min(most, len(bad))] {
		e.Found += fmt.Sprintf(", and %s under %q", other.Found, other.Column)
	}
	if more := len(bad) - most; more > 0 {
		e.Found += fmt.Sprintf(", and %d more", more)
	}
	return &e
}
