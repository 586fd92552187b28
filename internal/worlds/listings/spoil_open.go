package listings

import (
	"fmt"
	"slices"
	"time"

	"sootline"
)

func openSpoilings() []spoiling {
	readings := ofKind(readingKind)
	english := func(m *maker) bool { return m.lang.name == "English" }
	settled := func(m *maker) bool { return m.layout.kind == readingKind || m.layout.kind == eventKind }
	return []spoiling{
		{name: "days either way", open: true, fits: both(english, dated, settled)},
		{name: "days mangled", open: true, fits: both(workbook, dated, plainly, ofKind(readingKind)), table: mangled},
		{name: "days that are none", open: true, fits: both(dated, plainly, readings, oneDay), table: noSuchDay},
		{name: "more than the scale", open: true, fits: both(readings, plainly), table: beyond},
		{name: "columns that contradict", open: true, fits: both(headed, plainly, readings, namedPoints), table: contradicting},
		{name: "rename", open: true, fits: both(plainly, ofKind(scheduleKind)), table: renamed},
		{name: "points unknown", open: true, fits: both(plainly, readings, namedPoints), table: unknownPoints},
	}
}

func oneDay(m *maker) bool { return m.layout.name != "readings, serial days" }

// namedPoints reports layouts with one value a row, and points in columns of their own or in one.
func namedPoints(m *maker) bool {
	return oneValue(m) || slices.Contains([]string{"readings under titles", "readings, several visits", "readings in percent"}, m.layout.name)
}

// mangled makes days beyond the 12th texts, and turns the others into days with day and month exchanged, as a
// spreadsheet of another country does on opening a text file.
func mangled(m *maker, t *table) bool {
	at := t.find("date")
	if at < 0 || len(t.rows) < 6 {
		return false
	}
	real, text := sootline.Date(2024, time.Month(4+m.rng.IntN(8)), 3), sootline.Date(2024, time.Month(2+m.rng.IntN(9)), 15)
	for i, r := range t.rows {
		c := r.at(at)
		if c == nil || c.kind != dateCell {
			continue
		}
		day := real
		if i%2 == 0 {
			day = text
		}
		r.move(day)
		y, month, n := day.Time().Date()
		r.cells[at] = words(fmt.Sprintf("%02d/%02d/%d", n, int(month), y))
		if n <= 12 {
			r.cells[at] = date(sootline.Date(y, time.Month(n), int(month)))
		}
	}
	return true
}

// move gives what a row says another day.
func (r *row) move(day sootline.Day) {
	for _, c := range r.cells {
		if c == nil {
			continue
		}
		for i, f := range c.says {
			if f, ok := f.(ReadingFact); ok {
				f.From = dayText(day)
				c.says[i] = f
			}
		}
	}
}

// noSuchDay gives one row a day that no calendar has.
func noSuchDay(m *maker, t *table) bool {
	at := t.find("date")
	if at < 0 {
		return false
	}
	r := t.rows[m.rng.IntN(len(t.rows))]
	c := r.at(at)
	if c == nil || c.kind != dateCell {
		return false
	}
	clearFacts(r)
	r.cells[at] = words("2024-02-31").stating(Open{Says: "there is no such day"})
	return true
}

// clearFacts makes a row state nothing.
func clearFacts(r *row) {
	for i, c := range r.cells {
		if c != nil {
			bare := *c
			bare.says = nil
			r.cells[i] = &bare
		}
	}
}

// beyond gives one value as more than a number.
func beyond(m *maker, t *table) bool {
	for _, i := range m.rng.Perm(len(t.rows)) {
		for _, c := range t.rows[i].cells {
			if c == nil || c.kind != numberCell || !onlyReadings(c) || len(c.says) != 1 {
				continue
			}
			f := c.says[0].(ReadingFact)
			f.Value, f.Beyond = m.site.fit(50), true
			c.kind, c.text, c.says = textCell, ">"+m.decimal(f.Value, m.site.decimals), []fact{f}
			return true
		}
	}
	return false
}

// contradicting adds a column of points beside loop and address, which contradicts them in one row.
func contradicting(m *maker, t *table) bool {
	if t.find("address") < 0 || len(t.rows) < 2 {
		return false
	}
	wrong, style := m.rng.IntN(len(t.rows)), m.style
	style.joined = m.drawJoined(style.panel)
	devices := make([]*device, len(t.rows))
	for i, r := range t.rows {
		devices[i] = m.deviceOf(r)
	}
	t.add(0, column{concept: "point", head: m.head("point")}, func(i int) *cell {
		d := devices[i]
		if d == nil {
			return nil
		}
		if i != wrong {
			return words(style.joinedRef(d))
		}
		other := m.site.detectors()[0]
		if other == d {
			other = m.site.detectors()[1]
		}
		clearFacts(t.rows[i])
		return words(style.joinedRef(other)).stating(Open{Says: "point and address contradict each other"})
	})
	return devices[wrong] != nil
}

// renamed gives one device that the site knows another place.
func renamed(m *maker, t *table) bool {
	at := t.find("place")
	for _, r := range t.rows {
		d := m.deviceOf(r)
		if d == nil || !d.known || r.at(at) == nil {
			continue
		}
		r.state(func(f *PointFact) { f.Place = "" })
		r.cells[at] = words("New wing 7").stating(Open{Says: "the point would be renamed"})
		return true
	}
	return false
}

// unknownPoints adds rows of points that the site does not have.
func unknownPoints(m *maker, t *table) bool {
	value := t.find("value")
	if value < 0 {
		return false
	}
	d := m.stranger()
	like := t.rows[m.rng.IntN(len(t.rows))]
	r := &row{cells: make([]*cell, len(t.cols))}
	for i, c := range t.cols {
		r.cells[i] = m.refCell(c.concept, d)
		if c.concept == "date" && like.at(i) != nil {
			same := *like.cells[i]
			r.cells[i] = &same
		}
	}
	r.cells[value] = m.valueCell(m.site.value(d)).stating(Open{Says: "the site has no such point"})
	t.rows = append(t.rows, r)
	return true
}
