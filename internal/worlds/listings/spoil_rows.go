package listings

import (
	"fmt"
	"slices"
)

func rowSpoilings() []spoiling {
	schedule := ofKind(scheduleKind)
	return []spoiling{
		{name: "spare rows", fits: schedule, table: emptyDevices("spare", true)},
		{name: "dashes", fits: schedule, table: emptyDevices("-", false)},
		{name: "not fitted rows", fits: schedule, table: emptyDevices("not fitted", true)},
		{name: "removed rows", fits: schedule, table: emptyDevices("gone", true)},
		{name: "values not there", fits: ofKind(readingKind), table: noValues},
		{name: "rows twice", fits: not(ofKind(eventKind)), table: twice},
		{name: "headings repeated", fits: both(headed, plainly), table: repeatHeads},
		{name: "totals", fits: headed, table: totals},
		{name: "empty rows", fits: headed, table: emptyRows},
		{name: "loop said once", fits: both(headed, plainly, ofKind(scheduleKind, readingKind, numberKind)), table: saidOnce},
		{name: "notes below", fits: headed, sheet: notesBelow},
		{name: "hidden rows", fits: both(workbook, plainly, ofKind(scheduleKind, readingKind)), table: hiddenRows},
		{name: "hidden sheet", fits: both(workbook, plainly, ofKind(scheduleKind, readingKind)), sheet: hiddenSheet},
	}
}

// emptyDevices adds rows of numbers at which nothing is: the word stands for the type, and now and then for the place.
func emptyDevices(concept string, isWord bool) func(m *maker, t *table) bool {
	return func(m *maker, t *table) bool {
		at := t.find("type")
		if at < 0 || len(t.rows) == 0 || m.site.separate {
			return false
		}
		text := pick(m.rng, "-", "n/a", "--")
		if isWord {
			text = m.anyWord(concept)
		}
		for range 1 + m.rng.IntN(3) {
			r := m.emptyRow(t, at, text)
			if r == nil {
				return false
			}
			t.rows = insert(t.rows, m.rng.IntN(len(t.rows)+1), r)
		}
		return true
	}
}

// emptyRow copies the reference of a row to a free number of the same loop, and fills the word in.
func (m *maker) emptyRow(t *table, at int, text string) *row {
	like := t.rows[m.rng.IntN(len(t.rows))]
	d := m.deviceOf(like)
	if d == nil {
		return nil
	}
	gone := *d
	gone.number = 99 - m.rng.IntN(3) // numbers of devices end below, those of strangers begin above
	if slices.ContainsFunc(m.site.devices, func(o *device) bool {
		return o.panel == gone.panel && o.loop == gone.loop && o.number == gone.number
	}) {
		return nil
	}
	r := &row{cells: make([]*cell, len(t.cols))}
	for i, c := range t.cols {
		if c.concept != "serial" {
			r.cells[i] = m.refCell(c.concept, &gone)
		}
	}
	r.cells[at] = words(text).stating(nothing{})
	if place := t.find("place"); place >= 0 && m.rng.IntN(2) == 0 && text != "" {
		r.cells[place] = words("-")
	}
	return r
}

// refCell writes what names a device in a column; in other columns it is nil.
func (m *maker) refCell(concept string, d *device) *cell {
	switch concept {
	case "panel":
		return words(d.panel)
	case "loop":
		return words(d.loop)
	case "address":
		return m.addressCell(d.number)
	case "point":
		if m.layout.name == "schedule, address before loop" {
			return words(fmt.Sprintf("%03d/%s", d.number, d.loop))
		}
		return words(m.style.joinedRef(d))
	case "zone":
		return words(d.zone)
	case "serial":
		return words(d.serial)
	}
	return nil
}

// deviceOf finds the device that a row is about.
func (m *maker) deviceOf(r *row) *device {
	ref := refOf(r)
	for _, d := range m.site.devices {
		if m.stated(d).Ref == ref {
			return d
		}
	}
	return nil
}

// refOf gives the reference that the facts of a row name.
func refOf(r *row) string {
	for _, c := range r.cells {
		if c == nil {
			continue
		}
		for _, f := range c.says {
			switch f := f.(type) {
			case PointFact:
				return f.Ref
			case ReadingFact:
				return f.Ref
			case EventFact:
				return f.Ref
			case NumberFact:
				return f.Ref
			}
		}
	}
	return ""
}

// noValues takes some values out, and says so in the cell.
func noValues(m *maker, t *table) bool {
	at := t.valueAt()
	if at < 0 {
		return false
	}
	for range 1 + m.rng.IntN(3) {
		r := t.rows[m.rng.IntN(len(t.rows))]
		if r.at(at) == nil || !onlyReadings(r.cells[at]) {
			continue
		}
		r.cells[at] = words(pick(m.rng, "-", "n/a", m.word("not fitted"))).stating(nothing{})
	}
	return true
}

// valueAt finds a column of values.
func (t *table) valueAt() int {
	for _, concept := range []string{"value", "period"} {
		if at := t.find(concept); at >= 0 {
			return at
		}
	}
	return -1
}

// onlyReadings reports a cell that states readings and nothing else.
func onlyReadings(c *cell) bool {
	return len(c.says) > 0 && !slices.ContainsFunc(c.says, func(f fact) bool {
		_, ok := f.(ReadingFact)
		return !ok
	})
}

// twice has some rows a second time.
func twice(m *maker, t *table) bool {
	for range 1 + m.rng.IntN(2) {
		at := m.rng.IntN(len(t.rows))
		t.rows = insert(t.rows, at+1, t.rows[at].copied())
	}
	return true
}

// copied is a row that says the same.
func (r *row) copied() *row {
	same := &row{head: r.head, hidden: r.hidden, loose: r.loose}
	for _, c := range r.cells {
		if c == nil {
			same.cells = append(same.cells, nil)
			continue
		}
		again := *c
		again.says = slices.Clone(c.says)
		same.cells = append(same.cells, &again)
	}
	return same
}

// repeatHeads has the headings again every so many rows, as at the top of each printed page.
func repeatHeads(m *maker, t *table) bool {
	every := 8 + m.rng.IntN(8)
	var rows []*row
	for i, r := range t.rows {
		if i > 0 && i%every == 0 {
			rows = append(rows, t.head())
		}
		rows = append(rows, r)
	}
	repeated := len(rows) > len(t.rows)
	t.rows = rows
	return repeated
}

// totals adds a row that counts the others.
func totals(m *maker, t *table) bool {
	if len(t.cols) < 2 {
		return false
	}
	r := &row{cells: make([]*cell, len(t.cols))}
	r.cells[0] = words(m.word("total")).stating(nothing{})
	r.cells[1+m.rng.IntN(len(t.cols)-1)] = count(len(t.rows))
	t.rows = append(t.rows, r)
	return true
}

// emptyRows puts empty rows between.
func emptyRows(m *maker, t *table) bool {
	for range 1 + m.rng.IntN(3) {
		t.rows = insert(t.rows, m.rng.IntN(len(t.rows)), &row{})
	}
	return true
}

// notesBelow adds lines of words at the end.
func notesBelow(m *maker, d *document) bool {
	s := d.sheets[len(d.sheets)-1]
	s.rows = append(s.rows, &row{}, line("* "+m.word("note")))
	return true
}

// hiddenRows hides rows of a device that nobody has, or of values that were a draft.
func hiddenRows(m *maker, t *table) bool {
	for range 1 + m.rng.IntN(2) {
		r := m.hiddenLike(t, t.rows[m.rng.IntN(len(t.rows))])
		t.rows = insert(t.rows, m.rng.IntN(len(t.rows)+1), r)
	}
	return true
}

func (m *maker) hiddenLike(t *table, like *row) *row {
	r, d := &row{hidden: true, cells: make([]*cell, len(t.cols))}, m.stranger()
	for i, c := range t.cols {
		if like.at(i) == nil {
			continue
		}
		draft := *like.cells[i]
		draft.says = nil
		if draft.kind == numberCell && onlyReadings(like.cells[i]) {
			draft.value = m.site.fit(draft.value/m.site.scale + 7)
		}
		r.cells[i] = &draft
		if named := m.refCell(c.concept, d); named != nil && m.layout.kind == scheduleKind {
			r.cells[i] = named
		}
	}
	if r.cells[0] == nil {
		r.cells[0] = &cell{}
	}
	r.cells[0].stating(nothing{})
	return r
}

// hiddenSheet adds a hidden sheet with a draft of the values.
func hiddenSheet(m *maker, d *document) bool {
	like := d.sheets[len(d.sheets)-1]
	draft := &sheet{name: like.name + " " + m.word("draft"), hidden: true}
	if len([]rune(draft.name)) > 31 { // the longest name that spreadsheets take
		draft.name = m.word("draft")
	}
	for _, r := range like.rows {
		copied := &row{loose: r.loose, head: r.head}
		for _, c := range r.cells {
			copied.cells = append(copied.cells, m.draftOf(c))
		}
		draft.rows = append(draft.rows, copied)
	}
	d.sheets = append(d.sheets, draft)
	return true
}

// draftOf is a cell as it stands in a draft: values differ.
func (m *maker) draftOf(c *cell) *cell {
	if c == nil {
		return nil
	}
	copied := *c
	copied.says = nil
	if len(c.says) > 0 {
		copied.says = []fact{nothing{}}
	}
	if c.kind == numberCell && onlyReadings(c) {
		copied.value = m.site.fit(c.value/m.site.scale + 9)
	}
	return &copied
}

// saidOnce names the loop in the first of its rows alone; a workbook merges the cells, mostly.
func saidOnce(m *maker, t *table) bool {
	at, changed, merges := t.find("loop"), false, m.rng.IntN(3) > 0
	if at < 0 || t.find("panel") >= 0 {
		return false
	}
	var first *cell // of the rows of one loop
	for _, r := range t.rows {
		c := r.at(at)
		switch {
		case c == nil || r.head || r.hidden || c.text == "":
			first = nil
		case first == nil || c.text != first.text || len(c.says) > 0:
			first = c
			first.tall = 1
		default:
			r.cells[at], changed = nil, true
			if merges {
				first.tall++
			}
		}
	}
	return changed
}
