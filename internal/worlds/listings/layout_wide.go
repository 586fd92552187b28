package listings

import (
	"fmt"
	"strconv"

	"sootline"
)

// period is a column of a wide table: its heading, and the days that its values may be of.
type period struct {
	head     *cell
	from, to sootline.Day
}

// wide has a row a device and a column a period.
func wide(heads func(m *maker) []period) func(*maker) []*table {
	return func(m *maker) []*table {
		periods := heads(m)
		var cols []column
		for _, p := range periods {
			cols = append(cols, column{concept: "period", head: p.head})
		}
		return []*table{m.longTable(m.word("values"), m.site.detectors(), cols, func(d *device) []*cell {
			var cells []*cell
			for _, p := range periods {
				cells = append(cells, m.readWithin(d, p))
			}
			return cells
		})}
	}
}

// readWithin states a reading of a period; now and then there is none.
func (m *maker) readWithin(d *device, p period) *cell {
	if m.rng.IntN(12) == 0 {
		return nil
	}
	v := m.site.value(d)
	f := m.reading(d, p.from, v)
	if p.to != p.from {
		f.To = dayText(p.to)
	}
	return m.valueCell(v).stating(f)
}

func visitHeads(m *maker) []period {
	var all []period
	for _, day := range m.newDays(2 + m.rng.IntN(2)) {
		all = append(all, period{date(day), day, day})
	}
	return all
}

func yearHeads(m *maker) []period {
	var all []period
	for year := 2023; year <= 2025; year++ {
		all = append(all, m.span(count(year), year, 1, 12))
	}
	return all
}

func quarterHeads(m *maker) []period {
	var all []period
	for i := range 4 {
		head := words(fmt.Sprintf("%s%d %d", m.word("quarter"), i+1, 2024))
		all = append(all, m.span(head, 2024, 3*i+1, 3))
	}
	return all
}

func monthHeads(m *maker) []period {
	var all []period
	style := m.rng.IntN(3)
	for _, month := range []int{1, 4, 7, 11} {
		text := fmt.Sprintf("%s-%02d", m.lang.short[month-1], 24)
		switch style {
		case 1:
			text = m.lang.months[month-1] + " 2024"
		case 2:
			text = fmt.Sprintf("2024-%02d", month)
		}
		all = append(all, m.span(words(text), 2024, month, 1))
	}
	return all
}

// span is a period of whole months.
func (m *maker) span(head *cell, year, month, months int) period {
	from := sootline.Date(year, 1, 1).AddMonths(month - 1)
	return period{head, from, from.AddMonths(months) - 1}
}

// mergedVisits has the day of a visit above its columns of values and remarks, in a merged cell.
func mergedVisits(m *maker) []*table {
	days := m.newDays(2)
	t := &table{name: m.word("values"), cols: m.refColumns()}
	t.over = make([]*cell, len(t.cols))
	for _, day := range days {
		over := date(day)
		over.wide = 2
		t.cols = append(t.cols, column{concept: "period", head: m.valueHead("value")}, column{concept: "remark", head: m.head("remark")})
		t.over = append(t.over, over, nil)
	}
	for _, d := range m.site.detectors() {
		cells := m.refCells(d)
		for _, day := range days {
			cells = append(cells, m.read(d, day), nil)
		}
		t.rows = append(t.rows, rowOf(cells...))
	}
	return []*table{t}
}

// pairs has two values of a day that are no samples of one look.
func pairs(first, second string) func(*maker) []*table {
	return func(m *maker) []*table {
		day := m.newDays(1)[0]
		cleaning := first == "before"
		cols := []column{
			{concept: "date", head: m.head("date")},
			{concept: "first", head: m.valueHead(first)},
			{concept: "second", head: m.valueHead(second)},
		}
		if cleaning {
			cols = append(cols, column{concept: "cleaned", head: m.head("cleaned")})
		}
		return []*table{m.longTable(m.word("values"), m.site.detectors(), cols, func(d *device) []*cell {
			cells := m.pair(d, day, apartAs(first), apartAs(second))
			if cleaning {
				cells = m.cleaning(d, day, cells)
			}
			return append([]*cell{date(day)}, cells...)
		})}
	}
}

// apartAs is how facts name the value under a heading.
func apartAs(concept string) string {
	switch concept {
	case "before":
		return "found"
	case "after":
		return "left"
	case "day mode":
		return "day"
	}
	return concept
}

// pair gives two cells of values that stand apart.
func (m *maker) pair(d *device, day sootline.Day, first, second string) []*cell {
	a, b := m.site.value(d), m.site.value(d)
	for b == a {
		b = m.site.value(d)
	}
	one, two := m.reading(d, day, a), m.reading(d, day, b)
	one.Apart, two.Apart = first, second
	return []*cell{m.valueCell(a).stating(one), m.valueCell(b).stating(two)}
}

// cleaning says of some devices that they were cleaned; the others have one value.
func (m *maker) cleaning(d *device, day sootline.Day, cells []*cell) []*cell {
	if m.rng.IntN(2) == 0 {
		one := cells[0].says[0].(ReadingFact)
		one.Apart = ""
		cells[0].says = []fact{one}
		return []*cell{cells[0], nil, words(m.word("no"))}
	}
	said := words(m.word("yes")).stating(EventFact{Stated: m.stated(d), Kind: sootline.CleanedKind, Day: dayText(day)})
	return append(cells, said)
}

// numbersBySerial lists at which number each unit was found.
func numbersBySerial(m *maker) []*table {
	t := &table{name: m.word("schedule"), cols: []column{
		{concept: "serial", head: m.head("serial")}, {concept: "number", head: m.head("number")},
	}}
	for i, d := range m.site.devices {
		found := m.foundNumber(d, i)
		t.rows = append(t.rows, rowOf(words(d.serial), count(found).stating(NumberFact{m.stated(d), found})))
	}
	return []*table{t}
}

// numbersByPoint lists it by the point.
func numbersByPoint(m *maker) []*table {
	m.apart()
	t := &table{name: m.word("schedule"), cols: append(m.refColumns(), column{concept: "number", head: m.head("number")})}
	for i, d := range m.site.devices {
		found := m.foundNumber(d, i)
		cells := append(m.refCells(d), words(strconv.Itoa(found)).stating(NumberFact{m.stated(d), found}))
		t.rows = append(t.rows, rowOf(cells...))
	}
	return []*table{t}
}

// foundNumber is mostly the number that a device should have.
func (m *maker) foundNumber(d *device, i int) int {
	if i%8 == 4 {
		return 127
	}
	return d.number
}
