package listing

import (
	"fmt"
	"strings"
)

// UnitRead says of which device a value is that stands beside its replacement; empty: not said.
type UnitRead string

// The devices.
const (
	UnitOld UnitRead = "old"
	UnitNew UnitRead = "new"
)

// happening gives what a yes in such a column says.
func (f Field) happening() Happening {
	if f == Exchanged {
		return Replaced
	}
	return Cleaned
}

// done gives what a row says was done at its point besides being read.
func (r *rowReader) done() (done []Happening) {
	for _, f := range []Field{Cleansed, Exchanged} {
		s := r.u.slot(f)
		cell, _ := r.get(s)
		if s.column < 0 || cell == "" || r.u.lx.isVacant(cell) {
			continue
		}
		if yes, _ := r.yesNo(s, cell); yes {
			done = append(done, f.happening())
		}
	}
	return done
}

// standApart settles whether a single value beside a replacement is of the device that was taken out or of the new one: from that its
// drift begins. One that is found or left says so itself.
func (r *rowReader) standApart(done []Happening) {
	replaced := false
	for _, what := range done {
		replaced = replaced || what == Replaced
	}
	if !replaced || r.reading.Apart != "" {
		return
	}
	const hourReplaced = 18 // replacements that are dated by the day are kept at that hour
	switch when := &r.reading.When; {
	case r.u.profile.ReplacedValue == UnitNew:
		r.reading.Apart = AsLeft
		*when = Civil{Year: when.Year, Month: when.Month, Day: when.Day} // behind the replacement, whose hour nobody gave
	case r.u.profile.ReplacedValue == "":
		r.fail(r.u.column(Exchanged), "the old device or the new one, of which the value is", "a value and a replacement", `answer the question about it, or say in a map file {"replaced_value":"old"} or "new"`)
	case when.HasTime && when.Hour >= hourReplaced:
		r.fail(r.u.column(Exchanged), "the hour of the replacement", "a value that was read late in the day", "write them in two rows, each with its time")
	}
}

// yieldDone yields what was done at a point on the day of a row.
func (r *rowReader) yieldDone(ref Ref, when Civil, done []Happening, yield func(Record, *RowError) bool) bool {
	for _, what := range done {
		r.event = EventRow{Ref: ref, When: Civil{Year: when.Year, Month: when.Month, Day: when.Day}, What: what, By: r.reading.By}
		if !yield(Record{Line: r.row.Line, Cells: r.row.Cells, Event: &r.event}, nil) {
			return false
		}
	}
	return true
}

// doubtReplaced asks of which device the values are that stand beside a replacement, where a row has both.
func (s *study) doubtReplaced() {
	u := s.u
	if u.Kind != KindReadings || u.profile.ReplacedValue != "" {
		return
	}
	for i, c := range u.Columns {
		if c.Field != Exchanged {
			continue
		}
		for _, r := range s.sample {
			if r.Line > u.HeaderLine && i < len(r.Cells) && u.lx.yes[fold(strings.TrimSpace(r.Cells[i]))] && s.hasLoneValue(&r, i) {
				u.askOnce(AskReplaced, fmt.Sprintf("Row %d has a value, and says that the device was replaced. Of which device are such values?", r.Line),
					Choice{string(UnitOld), "of the one that was taken out"}, Choice{string(UnitNew), "of the new one"})
				u.Questions[len(u.Questions)-1].Aside = true
				return
			}
		}
	}
}

// hasLoneValue: a row has a value of the visit of a column of replacements that is neither found nor left.
func (s *study) hasLoneValue(r *Row, replaced int) bool {
	columns := s.valuesOf(replaced)
	for _, i := range columns {
		if i < len(r.Cells) && s.u.Columns[i].apart == "" && strings.TrimSpace(r.Cells[i]) != "" && !s.u.lx.isVacant(strings.TrimSpace(r.Cells[i])) {
			return true
		}
	}
	return false
}

// valuesOf gives the columns of values to which a column of things done belongs.
func (s *study) valuesOf(column int) (values []int) {
	for _, v := range s.u.visits {
		for _, note := range v.notes {
			if note.column == column {
				values = append(values, v.columns...)
			}
		}
	}
	if values != nil {
		return values
	}
	for i, c := range s.u.Columns {
		if c.Field == Value {
			values = append(values, i)
		}
	}
	return values
}
