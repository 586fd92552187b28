package listings

import (
	"slices"
	"strings"
	"time"
)

func upper(s string) string { return strings.ToUpper(s) }

func cellSpoilings() []spoiling {
	readings := ofKind(readingKind)
	return []spoiling{
		{name: "notes in cells", fits: readings, table: notesInCells},
		{name: "decimals", fits: readings}, // values of one decimal, with the mark of the language
		{name: "far off", fits: both(readings, not(percents)), table: farOff},
		{name: "type spellings", fits: ofKind(scheduleKind, mixedKind)},
		{name: "separators in cells", fits: both(ofKind(scheduleKind), not(inFormat("text")))}, // places hold commas, semicolons and quotes,
		{name: "numbers as text", fits: workbook, table: eachCell(func(_ *maker, c *cell) bool {
			c.asText = c.kind == numberCell
			return c.asText
		})},
		{name: "formulas", fits: both(workbook, readings), table: eachCell(asFormula(false))},
		{name: "formulas without results", fits: both(workbook, readings), table: eachCell(asFormula(true))},
		{name: "days in several ways", fits: both(headed, dated, not(workbook)), table: severalWays},
		{name: "spaces", fits: not(inFormat("text")), table: eachCell(spaced)},
	}
}

func percents(m *maker) bool { return m.layout.plan.percent }

// eachCell changes every cell under the headings.
func eachCell(change func(m *maker, c *cell) bool) func(m *maker, t *table) bool {
	return func(m *maker, t *table) bool {
		changed := false
		for _, r := range t.rows {
			for _, c := range r.cells {
				if c != nil && !r.head && change(m, c) {
					changed = true
				}
			}
		}
		return changed
	}
}

// asFormula gives readings as sums, as a spreadsheet may hold them.
func asFormula(noResult bool) func(m *maker, c *cell) bool {
	return func(m *maker, c *cell) bool {
		if c.kind != numberCell || !onlyReadings(c) {
			return false
		}
		c.computed, c.noResult = true, noResult
		return true
	}
}

// spaced puts spaces around text, some of them such as do not break.
func spaced(m *maker, c *cell) bool {
	if c.kind != textCell || m.rng.IntN(4) > 0 {
		return false
	}
	c.text = pick(m.rng, " ", "\u00a0", "  ") + c.text + pick(m.rng, " ", "", "\u00a0")
	return true
}

// notesInCells puts a word behind some values.
func notesInCells(m *maker, t *table) bool {
	changed := false
	for _, r := range t.rows {
		for _, c := range r.cells {
			if c != nil && c.kind == numberCell && onlyReadings(c) && m.rng.IntN(6) == 0 {
				c.kind, c.text = textCell, m.decimal(c.value, c.decimals)+" "+m.word("dirty")
				changed = true
			}
		}
	}
	return changed
}

// farOff makes one value one that is far from its band, as a detector in alarm has it.
func farOff(m *maker, t *table) bool {
	for _, i := range m.rng.Perm(len(t.rows)) {
		for _, c := range t.rows[i].cells {
			if c == nil || c.kind != numberCell || !onlyReadings(c) || len(c.says) != 1 {
				continue
			}
			f := c.says[0].(ReadingFact)
			c.value = m.site.fit(float64(93 + m.rng.IntN(30)))
			f.Value = c.value
			c.says = []fact{f}
			return true
		}
	}
	return false
}

// state changes what a row says of its point; the cells it shares with no other row.
func (r *row) state(change func(f *PointFact)) bool {
	changed := false
	for _, c := range r.cells {
		if c == nil {
			continue
		}
		for i, f := range c.says {
			if p, ok := f.(PointFact); ok {
				change(&p)
				c.says[i] = p
				changed = true
			}
		}
	}
	return changed
}

// severalWays writes some days as year, month and day, among others.
func severalWays(m *maker, t *table) bool {
	at, changed := t.find("date"), false
	if at < 0 || m.dates == time.DateOnly {
		return false
	}
	for i, r := range t.rows {
		if c := r.at(at); c != nil && c.kind == dateCell && i%5 == 4 {
			c.layout, changed = time.DateOnly, true
		}
	}
	return changed
}

func columnSpoilings() []spoiling {
	list := ofKind(scheduleKind, readingKind, numberKind)
	return []spoiling{
		{name: "decoy days", fits: both(headed, plainly, list), table: decoyDays},
		{name: "settings", fits: both(headed, plainly, ofKind(scheduleKind)), table: settings},
		{name: "rows numbered", fits: both(headed, plainly, not(ofKind(mixedKind))), table: rowsNumbered},
		{name: "empty columns", fits: both(headed, plainly), table: emptyColumns},
		{name: "columns in another order", fits: both(headed, plainly), table: shuffled},
		{name: "hidden columns", fits: both(workbook, plainly, ofKind(readingKind)), table: hiddenColumn},
	}
}

// decoyDays adds a column of days that are not those of the listing.
func decoyDays(m *maker, t *table) bool {
	concept := pick(m.rng, "last alarm", "warranty", "next")
	from := map[string]int{"last alarm": 2021, "warranty": 2028, "next": 2025}[concept]
	at := m.rng.IntN(len(t.cols) + 1)
	t.add(at, column{concept: concept, head: words(m.word(concept))}, func(i int) *cell {
		if concept == "last alarm" && m.rng.IntN(2) == 0 {
			return nil
		}
		return date(parseDay(timeIn(from, m.rng.IntN(300)))).stating(nothing{})
	})
	return true
}

// timeIn writes a day of a year.
func timeIn(year, after int) string {
	return time.Date(year, 1, 2+after, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}

// settings adds a column of a setting of each device.
func settings(m *maker, t *table) bool {
	concept := pick(m.rng, "mode", "led", "sensitivity")
	name := m.word(concept)
	choices := map[string][]string{"mode": {"A", "B"}, "led": {m.word("yes"), m.word("no")}, "sensitivity": {"1", "2", "3"}}[concept]
	t.add(len(t.cols), column{concept: concept, head: words(name)}, func(i int) *cell {
		choice := pick(m.rng, choices...)
		if !t.rows[i].state(func(f *PointFact) { f.Settings = map[string]string{name: choice} }) {
			return nil
		}
		return words(choice)
	})
	return true
}

// rowsNumbered counts the rows in a first column.
func rowsNumbered(m *maker, t *table) bool {
	n := 0
	t.add(0, column{concept: "row", head: m.head("row")}, func(int) *cell {
		n++
		return count(n)
	})
	return true
}

// emptyColumns puts a column without anything between.
func emptyColumns(m *maker, t *table) bool {
	t.add(1+m.rng.IntN(len(t.cols)), column{concept: "empty"}, func(int) *cell { return nil })
	return true
}

// shuffled puts the columns in another order.
func shuffled(m *maker, t *table) bool {
	if t.over != nil || t.find("sample") >= 0 || t.find("period") >= 0 || t.find("day") >= 0 {
		return false
	}
	order := m.rng.Perm(len(t.cols))
	cols := make([]column, len(order))
	for i, from := range order {
		cols[i] = t.cols[from]
	}
	t.cols = cols
	for _, r := range t.rows {
		cells := make([]*cell, len(order))
		for i, from := range order {
			cells[i] = r.at(from)
		}
		r.cells = cells
	}
	return !slices.IsSorted(order)
}

// hiddenColumn adds a hidden column of a draft of the values.
func hiddenColumn(m *maker, t *table) bool {
	at := t.find("value")
	if at < 0 {
		return false
	}
	head := words(m.word("value") + " " + m.word("draft"))
	t.add(at, column{concept: "draft", head: head, hidden: true}, func(i int) *cell { return m.draftOf(t.rows[i].at(at)) })
	return true
}
