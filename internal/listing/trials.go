package listing

import "strings"

// trial is one way in which a cell of a visit is read in a wide table of events: for what happened, or for how a test went.
type trial struct {
	visit    int
	column   int
	event    bool
	outcomes *outcomes
}

// tellsTrials: most cells say how a test went, or what was done.
func (c *content) tellsTrials() bool {
	return c.verdicts+c.events > 0 && c.mostly(min(c.filled, c.verdicts+c.events+c.marks+c.vacant))
}

// trialsOf gives the trials of a wide table of events.
func (u *Understanding) trialsOf() (all []trial) {
	for k, v := range u.visits {
		for _, i := range v.columns {
			if u.Kind != KindEvents {
				continue
			}
			done := &outcomes{u: u, what: slot{i, "", What}, known: map[string]outcome{}, marks: map[int]bool{}}
			went := &outcomes{u: u, what: slot{-1, "", What}, results: []slot{{i, "", Result}}, poles: []polarity{poleNone}, known: map[string]outcome{}, marks: map[int]bool{}}
			for _, note := range v.notes {
				if note.field == Text {
					done.texts, went.texts = append(done.texts, note), append(went.texts, note)
				}
			}
			all = append(all, trial{k, i, true, done}, trial{k, i, false, went})
		}
	}
	return all
}

// of reports whether the cell of a row is read in this way; an empty one says nothing.
func (t *trial) of(row *Row) bool {
	cell, _ := slot{t.column, "", Result}.get(row)
	if cell == "" || t.outcomes.u.lx.isVacant(cell) {
		return false
	}
	_, event := t.outcomes.u.lx.event(cell)
	return event == t.event
}

// readTrials yields what each visit says of a point, then what cannot be used of the row.
func (r *rowReader) readTrials(row *Row, yield func(Record, *RowError) bool) bool {
	r.row, r.err = row, nil
	ref := r.ref()
	if r.err != nil {
		return yield(Record{Line: row.Line, Cells: row.Cells}, r.err)
	}
	var bad []*RowError
	for k := range r.trials {
		t := &r.trials[k]
		if !t.of(row) {
			continue
		}
		v := &r.u.visits[t.visit]
		r.err, r.outcomes = nil, t.outcomes
		done := r.readTrial(ref, v, t)
		if r.err != nil {
			bad = append(bad, r.err)
			continue
		}
		if !yield(Record{Line: row.Line, Cells: row.Cells, Event: &r.event}, nil) || !r.yieldDone(ref, v.when, done, yield) {
			return false
		}
	}
	if why := r.loneNote(); why != nil {
		bad = append(bad, why)
	}
	return len(bad) == 0 || yield(Record{Line: row.Line, Cells: row.Cells}, joinRowErrors(bad))
}

// loneNote finds what is noted of a visit that says nothing else of the point.
func (r *rowReader) loneNote() *RowError {
	for k := range r.u.visits {
		v := &r.u.visits[k]
		told := false
		for i := range r.trials {
			told = told || r.trials[i].visit == k && r.trials[i].of(r.row)
		}
		r.err = nil
		if noted, done := r.note(v); !told && (noted || len(done) > 0) {
			r.fail(v.columns[0], "how the test went, beside what is noted", "nothing", "")
			return r.err
		}
	}
	return nil
}

// readTrial reads one cell, and gives what its notes say was done besides.
func (r *rowReader) readTrial(ref Ref, v *visit, t *trial) []Happening {
	cell, _ := r.get(slot{t.column, "", Result})
	if v.err != nil {
		c := &r.u.Columns[t.column]
		r.badDate(t.column, c.Heading, v.err, c.DateOrder)
	}
	r.reading = ReadingRow{By: r.u.slotOf(By).constant}
	_, done := r.note(v)
	r.event = EventRow{Ref: ref, When: v.when, Said: cell, Text: r.reading.Remark, By: r.reading.By}
	if v.within != "" {
		r.event.Text = strings.TrimPrefix(r.event.Text+"; within "+v.within, "; ")
	}
	r.happened(&r.event)
	return done
}

// apartOfDay tells which of two values of a visit a heading such as "found 12.05.2026" is of.
func (lx *lexicon) apartOfDay(heading string) Apart {
	word, _ := lx.cutVisit(heading)
	return lx.pairs[fold(word)]
}
