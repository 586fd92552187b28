package listing

import (
	"fmt"
	"slices"
	"strings"
)

// NotesMeant says of which visit the notes of a wide table are that stand once in a row; empty: not said.
type NotesMeant string

// Whose such notes are.
const (
	NotesOfLast NotesMeant = "last"
	NotesOfEach NotesMeant = "each"
	NotesLeft   NotesMeant = "left"
)

// isOfVisit: what the field holds is of one visit and not of the point.
func (f Field) isOfVisit() bool {
	return f == Remark || f == By || f == Cleansed || f == Exchanged || f == Text
}

// settleNotes gives the columns of remarks, names and cleanings of a wide table to the visits beside which they stand, and
// asks whose those are that stand once for several.
func (s *study) settleNotes() {
	u := s.u
	if !s.isWide() || u.Kind != KindReadings && u.Kind != KindEvents {
		return
	}
	var loose []int
	byField := map[Field][]int{}
	for i, m := range s.matches {
		f := u.Kind.adapt(m.field)
		if u.Columns[i].Field != Unused && !u.Columns[i].Field.isOfVisit() || !f.isOfVisit() || s.barred[i] != "" || s.content[i].filled == 0 && u.Columns[i].Heading == "" {
			continue
		}
		u.Columns[i].Field = Unused
		byField[f] = append(byField[f], i)
	}
	for _, f := range []Field{By, Remark, Text, Cleansed, Exchanged} {
		at := byField[f]
		if owners := s.ownersOf(at); owners != nil {
			for k, i := range at {
				s.giveNote(&u.visits[owners[k]], f, i)
			}
			continue
		}
		for _, i := range at {
			if s.content[i].filled > 0 {
				loose = append(loose, i)
			}
		}
	}
	s.settleLoose(loose)
}

func (s *study) giveNote(v *visit, f Field, i int) {
	c := &s.u.Columns[i]
	c.Field, c.Why = f, fmt.Sprintf("the heading %q means %s, at the visit of column %s", c.Heading, f.text(), s.u.columnName(v.columns[0]))
	v.notes = append(v.notes, slot{column: i, field: f})
}

// ownersOf gives the visits beside which the columns of one field stand, in the same order; nil where several visits share one,
// or where a heading names another day.
func (s *study) ownersOf(at []int) (owners []int) {
	if owners, named := s.ownersByDay(at); named || len(at) == 0 || len(at) != len(s.u.visits) {
		return owners
	}
	ofColumn := map[int]int{}
	for k, v := range s.u.visits {
		for _, i := range v.columns {
			ofColumn[i] = k
		}
	}
	for _, step := range []int{-1, 1} { // behind its value, or before it
		owners = owners[:0]
		for _, i := range at {
			k, found := s.visitBeside(i, step, ofColumn)
			if !found || slices.Contains(owners, k) {
				break
			}
			owners = append(owners, k)
		}
		if len(owners) == len(at) {
			return owners
		}
	}
	return nil
}

// ownersByDay gives the visits whose days the headings of notes name themselves; named: one does.
func (s *study) ownersByDay(at []int) (owners []int, named bool) {
	for _, i := range at {
		day := s.u.lx.dayBeside(s.u.Columns[i].Heading)
		named = named || day != ""
		ofDay := func(v visit) bool { return day != "" && s.days[v.columns[0]] == day }
		if k := slices.IndexFunc(s.u.visits, ofDay); k >= 0 && !slices.Contains(owners, k) {
			owners = append(owners, k)
		}
	}
	if len(owners) != len(at) {
		return nil, named
	}
	return owners, named
}

// dayBeside finds the day of a visit at the end or the beginning of a heading, beside any words; empty: there is none.
func (lx *lexicon) dayBeside(heading string) string {
	for i := range len(heading) {
		if day := strings.TrimSpace(heading[i:]); heading[i] == ' ' && isVisitDate(day) {
			return day
		}
	}
	for i := len(heading) - 1; i > 0; i-- {
		if day := strings.TrimSpace(heading[:i]); heading[i] == ' ' && isVisitDate(day) {
			return day
		}
	}
	return ""
}

// visitBeside looks for the nearest column of a visit on one side, beyond other notes alone.
func (s *study) visitBeside(i, step int, ofColumn map[int]int) (visit int, found bool) {
	for j := i + step; j >= 0 && j < len(s.matches); j += step {
		if k, ok := ofColumn[j]; ok {
			return k, true
		}
		if !s.u.Kind.adapt(s.matches[j].field).isOfVisit() {
			return 0, false
		}
	}
	return 0, false
}

// settleLoose gives notes that stand once for several visits to those that somebody named, or asks.
func (s *study) settleLoose(loose []int) {
	u := s.u
	if len(loose) == 0 || len(u.visits) == 0 {
		return
	}
	last := 0
	for k, v := range u.visits {
		if v.err == nil && (u.visits[last].err != nil || v.when.text() > u.visits[last].when.text()) {
			last = k
		}
	}
	var names []string
	for _, i := range loose {
		names = append(names, fmt.Sprintf("%q", u.columnName(i)))
		for k := range u.visits {
			if u.profile.VisitNotes == NotesOfEach || u.profile.VisitNotes == NotesOfLast && k == last {
				s.giveNote(&u.visits[k], u.Kind.adapt(s.matches[i].field), i)
			}
		}
	}
	if u.profile.VisitNotes != "" {
		return
	}
	u.askOnce(AskNotes, fmt.Sprintf("There are %d visits, and column %s stands once for all of them. Of which visit is it?", len(u.visits), strings.Join(names, " and ")),
		Choice{string(NotesOfLast), fmt.Sprintf("of the last one, %s", u.visits[last].when.text())},
		Choice{string(NotesOfEach), "of each of them"},
		Choice{string(NotesLeft), "leave it out"})
}

// note adds what is noted of a visit to its reading, and gives what was done then.
func (r *rowReader) note(v *visit) (noted bool, done []Happening) {
	for _, note := range v.notes {
		cell, _ := r.get(note)
		if cell == "" || r.u.lx.isVacant(cell) {
			continue
		}
		switch note.field {
		case By:
			r.reading.By = cell
		case Remark, Text:
			r.reading.Remark, noted = join(r.reading.Remark, cell), true
		default:
			if yes, _ := r.yesNo(note, cell); yes {
				done = append(done, note.field.happening())
			}
		}
	}
	return noted, done
}

// slotOf gives the slot of a field of the whole row; what is noted of one visit is none.
func (u *Understanding) slotOf(f Field) slot {
	s := u.slot(f)
	if len(u.visits) > 0 && f.isOfVisit() {
		s.column = -1
	}
	return s
}
