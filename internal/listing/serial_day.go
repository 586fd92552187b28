package listing

import "fmt"

// Whole numbers that spreadsheets count days by, from 1990 to 2060; a choice of ours, common practice, no source.
const (
	firstSerialDay = 32874
	lastSerialDay  = 58805
)

// ownDay drops what a heading means where it is of another day than that of the row: a warranty, the next visit.
func (s *study) ownDay(i int, m match) match {
	c := &s.content[i]
	if m.strength <= strengthContained && m.field != Date && m.field != Fitted && c.mostly(c.dates) {
		if word := s.u.lx.dayWordIn(s.u.Columns[i].Heading); word != "" {
			m.field, m.strength, m.word, m.quantity = Date, strengthContained, word, ""
		}
	}
	if m.strength == strengthProfile || !s.u.lx.isOtherDay(s.u.Columns[i].Heading) || !c.half(c.dates+c.serialDays) {
		return m
	}
	s.barred[i] = fmt.Sprintf("the heading %q is of another day than that of the row", s.u.Columns[i].Heading)
	return match{strength: strengthExact}
}
