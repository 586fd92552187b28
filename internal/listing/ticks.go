package listing

import (
	"fmt"
	"strings"
)

// tick is a column that is ticked where something happened, by the word that is its heading.
type tick struct {
	column int
	word   string
}

// findTicks takes columns for ticks that are headed by what may have happened and hold one mark or nothing, where there
// are two of them at least and no column says what happened or how it went. Of two marks one may mean the opposite.
func (s *study) findTicks() {
	var at []int
	if s.visitColumns() > 1 { // beside days, such words are of one visit each
		return
	}
	marks := map[string]bool{}
	for i, m := range s.matches {
		word := fold(s.u.Columns[i].Heading)
		switch {
		case m.strength == strengthProfile && m.field == Ticked:
			at = append(at, i)
			continue
		case m.strength == strengthProfile && (m.field == What || m.field == Result || m.field == Value):
			return
		case m.strength == strengthProfile || s.u.lx.events[word] == "" || s.content[i].filled == 0:
			if m.strength > strengthContained && (m.field == What || m.field == Result || m.field == Value) {
				return
			}
			continue
		}
		if !s.holdsTicks(i, marks) {
			return
		}
		at = append(at, i)
	}
	if len(at) == 1 && s.matches[at[0]].strength != strengthProfile && len(marks) > 0 {
		i := at[0]
		s.doubts[i] = doubt{Ticked, fmt.Sprintf("column %q has marks, and no other column says what happened", s.u.Columns[i].Heading)}
	}
	if len(at) < 2 || len(marks) > 1 {
		return
	}
	for _, i := range at {
		if s.matches[i].strength != strengthProfile {
			s.matches[i] = match{field: Ticked, strength: strengthExact, word: fold(s.u.Columns[i].Heading)}
		}
	}
}

// visitColumns counts the headings that are the day of a visit.
func (s *study) visitColumns() (n int) {
	for _, c := range s.u.Columns {
		if s.u.lx.visitDate(c.Heading) != "" {
			n++
		}
	}
	return n
}

// holdsTicks reports whether the cells of a column are all a yes, a no or nothing, and gathers how yes is written.
func (s *study) holdsTicks(i int, marks map[string]bool) bool {
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		cell := strings.TrimSpace(r.Cells[i])
		yes, known := s.u.lx.yes[fold(cell)]
		switch {
		case cell == "" || s.u.lx.isVacant(cell):
		case !known:
			return false
		case yes:
			marks[fold(cell)] = true
		}
	}
	return true
}

// ticksOf gives the columns of a table that are ticked.
func (u *Understanding) ticksOf() (all []tick) {
	if u.Kind != KindEvents {
		return nil
	}
	for i, c := range u.Columns {
		if c.Field == Ticked {
			all = append(all, tick{i, c.Heading})
		}
	}
	return all
}

// outcomesOf gives what the rows of a table say, for each of its ticks, or for what a column says.
func outcomesOf(u *Understanding) (all []*outcomes) {
	for _, t := range u.ticksOf() {
		o := newOutcomes(u)
		o.what = slot{-1, t.word, What}
		all = append(all, o)
	}
	if all == nil {
		all = []*outcomes{newOutcomes(u)}
	}
	return all
}

// ticked reports whether a row has a tick in a column.
func (u *Understanding) ticked(row *Row, t tick) bool {
	cell, _ := slot{t.column, "", Ticked}.get(row)
	return u.lx.yes[fold(cell)]
}

// readTicks yields what is ticked in a row, then what cannot be used of it.
func (r *rowReader) readTicks(row *Row, yield func(Record, *RowError) bool) bool {
	var bad []*RowError
	for k, t := range r.ticks {
		r.row, r.err, r.outcomes = row, nil, r.ticksSay[k]
		if cell, _ := r.get(slot{t.column, "", Ticked}); !r.u.ticked(row, t) {
			_, known := r.u.lx.yes[fold(cell)]
			if cell == "" || known || r.u.lx.isVacant(cell) {
				continue
			}
			r.fail(t.column, "a tick or nothing", quoteShort(cell), "")
		}
		said := r.readEvent()
		if r.err != nil {
			bad = append(bad, r.err)
			continue
		}
		if !yield(Record{Line: row.Line, Cells: row.Cells, Event: said}, nil) {
			return false
		}
	}
	return len(bad) == 0 || yield(Record{Line: row.Line, Cells: row.Cells}, joinRowErrors(bad))
}
