package listing

import (
	"fmt"
	"slices"
	"strings"
)

// findInstead finds columns that are filled only where the value is not: what was read may stand there under another name,
// as the key "val" among keys "value"; so may how a test went, in a column "Broken" beside "Passed".
func (s *study) findInstead() {
	u, field, what := s.u, Value, "value"
	if u.Kind == KindEvents {
		field, what = Result, "result"
	}
	at := u.column(field)
	if u.Kind != KindReadings && u.Kind != KindEvents || at < 0 || len(u.visits) > 0 {
		return
	}
	for i, c := range u.Columns {
		if c.Field == Unused && s.matches[i].strength < strengthProfile && c.Heading != "" && s.insteadOf(i, at) {
			u.instead = append(u.instead, i)
			u.Columns[i].Why += fmt.Sprintf("; rows that have something there and no %s are not taken", what)
		}
	}
}

func (s *study) insteadOf(column, value int) bool {
	filled := 0
	at := func(row *Row, i int) string {
		if i >= len(row.Cells) {
			return ""
		}
		return strings.TrimSpace(row.Cells[i])
	}
	for _, row := range s.sample {
		if row.Line <= s.u.HeaderLine || at(&row, column) == "" {
			continue
		}
		if at(&row, value) != "" {
			return false
		}
		if _, number := anyNumber(at(&row, column)); number || s.u.Kind == KindEvents {
			filled++
		}
	}
	return filled > 0
}

// hasInstead gives the column that is filled in a row in place of its value, -1 for none.
func (u *Understanding) hasInstead(row *Row) int {
	at := slices.IndexFunc(u.instead, func(i int) bool { return i < len(row.Cells) && strings.TrimSpace(row.Cells[i]) != "" })
	if at < 0 {
		return -1
	}
	return u.instead[at]
}
