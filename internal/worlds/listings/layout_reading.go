package listings

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"sootline"
)

// longTable is a table with a row a device: its reference, and what more is given.
func (m *maker) longTable(name string, all []*device, more []column, cells func(d *device) []*cell) *table {
	t := &table{name: name, cols: append(m.refColumns(), more...)}
	for _, d := range all {
		t.rows = append(t.rows, rowOf(append(m.refCells(d), cells(d)...)...))
	}
	return t
}

// longReadings has a row a device, with its day and so many samples.
func longReadings(samples int) func(*maker) []*table {
	return func(m *maker) []*table {
		day := m.newDays(1)[0]
		return []*table{m.longTable(m.word("values"), m.site.detectors(), m.sampleColumns(samples), func(d *device) []*cell {
			cells := []*cell{date(day)}
			for range samples {
				cells = append(cells, m.read(d, day))
			}
			return cells
		})}
	}
}

// sampleColumns are the columns of a day and of samples.
func (m *maker) sampleColumns(samples int) []column {
	cols := []column{{concept: "date", head: m.head("date")}}
	for i := range samples {
		c := column{concept: "value", head: m.valueHead("value")}
		if samples > 1 {
			c.concept, c.head.text = "sample", c.head.text+" "+strconv.Itoa(i+1)
		}
		cols = append(cols, c)
	}
	return cols
}

// sampleCells has all samples of a look in one cell.
func sampleCells(m *maker) []*table {
	day := m.newDays(1)[0]
	cols := []column{{concept: "date", head: m.head("date")}, {concept: "samples", head: m.valueHead("value")}}
	return []*table{m.longTable(m.word("values"), m.site.detectors(), cols, func(d *device) []*cell {
		joined := &cell{}
		var texts []string
		for range 3 {
			v := m.site.value(d)
			texts = append(texts, m.decimal(v, m.site.decimals))
			joined.stating(m.reading(d, day, v))
		}
		joined.text = strings.Join(texts, " ")
		return []*cell{date(day), joined}
	})}
}

// severalVisits has a row a device and visit.
func severalVisits(m *maker) []*table {
	t := &table{name: m.word("values"), cols: append(m.refColumns(), m.sampleColumns(1)...)}
	for _, day := range m.newDays(2 + m.rng.IntN(2)) {
		for _, d := range m.site.detectors() {
			t.rows = append(t.rows, rowOf(append(m.refCells(d), date(day), m.read(d, day))...))
		}
	}
	return []*table{t}
}

// undatedReadings leaves the day to the title.
func undatedReadings(m *maker) []*table {
	day := m.newDays(1)[0]
	t := m.longTable(m.word("values"), m.site.detectors(), m.sampleColumns(1)[1:], func(d *device) []*cell {
		return []*cell{m.read(d, day)}
	})
	t.name = dayText(day)
	return []*table{t}
}

// visitSheets has a sheet a visit, named by its day.
func visitSheets(m *maker) []*table {
	var all []*table
	for _, day := range m.newDays(2) {
		all = append(all, m.longTable(dayText(day), m.site.detectors(), m.sampleColumns(1)[1:], func(d *device) []*cell {
			return []*cell{m.read(d, day)}
		}))
	}
	return all
}

// loopReadings has a table a loop.
func loopReadings(share grouping) func(*maker) []*table {
	return func(m *maker) []*table {
		day := m.newDays(1)[0]
		m.apart()
		var all []*table
		for _, g := range share(m, m.site.detectors()) {
			t := m.longTable(g.name, g.devices, m.sampleColumns(1), func(d *device) []*cell {
				return []*cell{date(day), m.read(d, day)}
			})
			if g.loop {
				t.drop(t.find("loop"))
			}
			all = append(all, t)
		}
		return all
	}
}

// drop takes a column out.
func (t *table) drop(at int) {
	t.cols = append(append([]column{}, t.cols[:at]...), t.cols[at+1:]...)
	for _, r := range t.rows {
		r.cells = append(append([]*cell{}, r.cells[:at]...), r.cells[at+1:]...)
	}
}

// threeColumnDays has day, month and year in columns of their own.
func threeColumnDays(m *maker) []*table {
	day := m.newDays(1)[0]
	var cols []column
	for _, concept := range []string{"day", "month", "year"} {
		cols = append(cols, column{concept: concept, head: m.head(concept)})
	}
	cols = append(cols, m.sampleColumns(1)[1:]...)
	y, month, n := day.Time().Date()
	return []*table{m.longTable(m.word("values"), m.site.detectors(), cols, func(d *device) []*cell {
		return []*cell{count(n), count(int(month)), count(y), m.read(d, day)}
	})}
}

// serialDays has days as the numbers that spreadsheets count them by.
func serialDays(m *maker) []*table {
	day := m.newDays(1)[0]
	return []*table{m.longTable(m.word("values"), m.site.detectors(), m.sampleColumns(1), func(d *device) []*cell {
		return []*cell{count(serialDay(day)), m.read(d, day)}
	})}
}

// serialDay is the number by which spreadsheets count days: from 30 December 1899 (ECMA-376 18.17.4.1, from memory).
func serialDay(day sootline.Day) int {
	return int(day - sootline.Date(1899, time.December, 30))
}

// bySerial names devices by the serial of their unit.
func bySerial(m *maker) []*table {
	day := m.newDays(1)[0]
	t := &table{name: m.word("values"), cols: append([]column{{concept: "serial", head: m.head("serial")}}, m.sampleColumns(1)...)}
	for _, d := range m.site.detectors() {
		t.rows = append(t.rows, rowOf(words(d.serial), date(day), m.read(d, day)))
	}
	return []*table{t}
}

// unitCells has the unit beside each value.
func unitCells(m *maker) []*table {
	day := m.newDays(1)[0]
	unit := m.site.unit
	if unit == "" {
		unit = "counts" // the word for a bare number that a panel shows
	}
	return []*table{m.longTable(m.word("values"), m.site.detectors(), m.sampleColumns(1), func(d *device) []*cell {
		c := m.read(d, day)
		c.kind, c.text = textCell, m.decimal(c.value, c.decimals)+" "+unit
		return []*cell{date(day), c}
	})}
}

// zoneDetectors names devices by zone and a count within it, which no register holds.
func zoneDetectors(m *maker) []*table {
	day := m.newDays(1)[0]
	t := &table{name: m.word("values"), cols: append([]column{{concept: "detector", head: m.head("detector")}}, m.sampleColumns(1)...)}
	counts := map[string]int{}
	for _, d := range m.site.detectors() {
		counts[d.zone]++
		name := words(fmt.Sprintf("%s/%d", d.zone, counts[d.zone]))
		name.stating(Open{Says: "a zone and a count within it name no address"})
		c := m.read(d, day)
		c.says = nil
		t.rows = append(t.rows, rowOf(name, date(day), c))
	}
	return []*table{t}
}

// besideDetectors has such a name beside the address.
func besideDetectors(m *maker) []*table {
	m.apart()
	tables := longReadings(1)(m)
	counts, all := map[string]int{}, m.site.detectors()
	tables[0].add(m.rng.IntN(2)*len(m.refColumns()), column{concept: "detector", head: m.head("detector")}, func(i int) *cell {
		counts[all[i].zone]++
		return words(fmt.Sprintf("%s/%d", all[i].zone, counts[all[i].zone]))
	})
	return tables
}

// numberAlone names devices by their number: enough on a site of one loop, and on no other.
func numberAlone(m *maker) []*table {
	day := m.newDays(1)[0]
	t := &table{name: m.word("values"), cols: append([]column{{concept: "address", head: m.head("address")}}, m.sampleColumns(1)...)}
	for _, d := range m.site.detectors() {
		c := m.read(d, day)
		if len(m.site.loops) > 1 {
			c.says = []fact{Open{Says: "the number alone names a point of several loops"}}
		}
		t.rows = append(t.rows, rowOf(m.addressCell(d.number), date(day), c))
	}
	return []*table{t}
}

// rangedReadings names detectors of loops on which they have a range of their own.
func rangedReadings(m *maker) []*table {
	day := m.newDays(1)[0]
	cols := append([]column{{concept: "loop", head: m.head("loop")}, {concept: "address", head: m.head("address")}}, m.sampleColumns(1)...)
	t := &table{name: m.word("values"), cols: cols}
	for _, d := range m.site.detectors() {
		t.rows = append(t.rows, rowOf(words(d.loop), words(rangedNumber(d)), date(day), m.read(d, day)))
	}
	return []*table{t}
}

// printed is what a panel prints: loop, address, type, value; the day stands in the head of each page.
func printed(m *maker) []*table {
	m.apart()
	day := m.newDays(1)[0]
	cols := []column{{concept: "type", head: m.head("type")}, {concept: "value", head: m.valueHead("value")}}
	t := m.longTable(dayText(day), m.site.detectors(), cols, func(d *device) []*cell {
		return []*cell{words(strings.ToUpper(d.typ.name)), m.read(d, day)}
	})
	return []*table{t}
}

// printedBare is one without headings: the words of the value stand in each line.
func printedBare(m *maker) []*table {
	m.together()
	day := m.newDays(1)[0]
	said := strings.ToUpper(m.lang.spellings("value")[1])
	cols := []column{{concept: "words", head: nil}, {concept: "value", head: nil}}
	return []*table{m.longTable(dayText(day), m.site.detectors(), cols, func(d *device) []*cell {
		return []*cell{words(said), m.read(d, day)}
	})}
}

// decimal writes a number as the language does.
func (m *maker) decimal(v float64, decimals int) string { return decimal(v, decimals, m.lang.comma) }

func decimal(v float64, decimals int, comma bool) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if comma {
		text = strings.Replace(text, ".", ",", 1)
	}
	return text
}
