package listing

import (
	"fmt"
	"strings"
)

// doubtTwice asks which column is meant where two are headed by the same word and their cells differ: they may be of
// two visits, or of two tables side by side.
func (s *study) doubtTwice() {
	u := s.u
	if u.Kind != KindReadings && u.Kind != KindEvents && u.Kind != KindSchedule {
		return
	}
	for i, c := range u.Columns {
		f := u.Kind.adapt(s.matches[i].field)
		if c.Field != Unused || s.barred[i] != "" || s.matches[i].strength < strengthNear || f != Date && f != Point && f != Address {
			continue
		}
		first := u.column(f)
		if first < 0 || s.matches[first].strength == strengthProfile || !s.sameHeading(first, i) || !s.differ(first, i) {
			continue
		}
		id := AskPoint
		if f == Date {
			id = AskDate
		}
		u.askOnce(id, fmt.Sprintf("Two columns are headed %q, and their cells differ: which of them goes with the other columns?", c.Heading),
			s.columnChoice(first), s.columnChoice(i))
	}
}

func (s *study) columnChoice(i int) Choice {
	return Choice{columnKey(i), fmt.Sprintf("column %s, such as %s", s.u.Columns[i].Letter(), strings.Join(s.u.Columns[i].Samples, ", "))}
}

// sameHeading: two headings are the same but for a running number.
func (s *study) sameHeading(a, b int) bool {
	base := func(i int) string { return strings.TrimRight(fold(s.u.Columns[i].Heading), " 0123456789") }
	return base(a) == base(b)
}

// differ: two columns are both filled in some row, and not alike.
func (s *study) differ(a, b int) bool {
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || len(r.Cells) <= max(a, b) {
			continue
		}
		x, y := strings.TrimSpace(r.Cells[a]), strings.TrimSpace(r.Cells[b])
		if y != "" && x != y {
			return true
		}
	}
	return false
}
