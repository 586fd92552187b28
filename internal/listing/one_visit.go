package listing

import (
	"slices"
	"strings"
)

// A wide table of one visit has one day among its headings; all others are known, and name the point.

// isOneVisit: the one day in a row of the sample stands among known headings that name the point.
func (s *study) isOneVisit(at int, days []int) bool {
	if len(days) != 1 || !isFullDay(s.u.lx.visitDate(s.sample[at].Cells[days[0]])) {
		return false
	}
	points, day := false, s.u.lx.visitDate(s.sample[at].Cells[days[0]])
	for i, c := range s.sample[at].Cells {
		if c = strings.TrimSpace(c); c == "" || i == days[0] || s.u.lx.dayBeside(c) == day {
			continue
		}
		m := s.u.lx.heading(c)
		if m.strength < strengthNear || m.field.isDate() || m.field == Value {
			return false
		}
		points = points || m.field == Point || m.field == Address
	}
	return points
}

// hasOneVisit: so it is in the row of headings, and no column of days says otherwise.
func (s *study) hasOneVisit(days []string) bool {
	at := slices.IndexFunc(days, func(day string) bool { return day != "" })
	return at >= 0 && isFullDay(s.u.lx.visitDate(s.u.Columns[at].Heading)) && s.content[at].halfNumbers() && !slices.Contains(s.roles, Date) && s.found(Point, Address)
}

// isFullDay: a day of the calendar and no other words.
func isFullDay(text string) bool {
	raw, ok := splitDate(strings.TrimSpace(text))
	return ok && raw.possible()
}
