package listings

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
)

// tableRows gives a table with its headings.
func (t *table) grid(heads bool) []*row {
	var rows []*row
	if heads && t.over != nil {
		rows = append(rows, &row{cells: t.over, head: true})
	}
	if heads {
		rows = append(rows, t.head())
	}
	return append(rows, t.rows...)
}

// hiddenColumns tells which columns are hidden.
func (t *table) hiddenColumns() map[int]bool {
	hidden := map[int]bool{}
	for i, c := range t.cols {
		if c.hidden {
			hidden[i] = true
		}
	}
	return hidden
}

// onSheets puts each table on a sheet of its own.
func onSheets(_ *maker, all []*table) *document {
	d := &document{}
	for _, t := range all {
		d.sheets = append(d.sheets, &sheet{name: t.name, rows: t.grid(true), hiddenCols: t.hiddenColumns()})
	}
	return d
}

// underTitle puts titles above.
func underTitle(m *maker, all []*table) *document {
	d := onSheets(m, all)
	for _, s := range d.sheets {
		titles := []*row{line("Mill House"), line(s.name + ", " + m.word("cover"))}
		if m.rng.IntN(2) == 0 {
			titles = append(titles, &row{})
		}
		s.rows = append(titles, s.rows...)
	}
	return d
}

// underDay puts a title with the day above a table that is named by it.
func underDay(m *maker, all []*table) *document {
	d := onSheets(m, all)
	for i, s := range d.sheets {
		title := m.word("read of") + " " + m.longDay(parseDay(all[i].name))
		s.name = m.word("values")
		s.rows = append([]*row{line("Mill House"), line(title)}, s.rows...)
	}
	return d
}

// longDay writes a day with the name of its month, as the language does.
func (m *maker) longDay(day sootline.Day) string {
	at := slices.IndexFunc(m.lang.dates, func(layout string) bool { return strings.Contains(layout, "January") })
	return m.lang.day(day, m.lang.dates[at])
}

func parseDay(text string) sootline.Day {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic("listings: " + text + " is no day")
	}
	return sootline.DayOf(t, time.UTC)
}

// behindCover puts a sheet of words in front.
func behindCover(m *maker, all []*table) *document {
	d := onSheets(m, all)
	cover := &sheet{name: m.word("cover"), rows: []*row{line("Mill House"), line(m.word("schedule")), {}, line(m.word("cover"))}}
	cover.name = "Mill House"
	d.sheets = append([]*sheet{cover}, d.sheets...)
	return d
}

// stacked puts the tables one below another on one sheet, each under its name.
func stacked(m *maker, all []*table) *document {
	s := &sheet{name: m.word("values")}
	for i, t := range all {
		if i > 0 {
			s.rows = append(s.rows, &row{})
		}
		s.rows = append(append(s.rows, line(t.name)), t.grid(true)...)
	}
	return &document{sheets: []*sheet{s}}
}

// sideBySide puts the tables beside one another, with an empty column between them.
func sideBySide(m *maker, all []*table) *document {
	s := &sheet{name: m.word("values")}
	left := 0
	for i, t := range all {
		for j, r := range t.grid(true) {
			if j == len(s.rows) {
				s.rows = append(s.rows, &row{head: j == 0})
			}
			s.rows[j].cells = slices.Grow(s.rows[j].cells, left)
			for len(s.rows[j].cells) < left {
				s.rows[j].cells = append(s.rows[j].cells, nil)
			}
			s.rows[j].cells = append(s.rows[j].cells, r.cells...)
		}
		if left += len(t.cols); i < len(all)-1 {
			left++
		}
	}
	return &document{sheets: []*sheet{s}}
}

// transposed exchanges rows and columns.
func transposed(m *maker, all []*table) *document {
	d := onSheets(m, all)
	for _, s := range d.sheets {
		turned := make([]*row, s.width())
		for j := range turned {
			turned[j] = &row{}
			for _, r := range s.rows {
				turned[j].cells = append(turned[j].cells, r.at(j))
			}
		}
		s.rows = turned
	}
	return d
}

// withoutHeads leaves the headings away.
func withoutHeads(m *maker, all []*table) *document {
	d := onSheets(m, all)
	for i, s := range d.sheets {
		s.rows = all[i].grid(false)
	}
	return d
}

// pageRows is how many lines a page of a print has.
const pageRows = 18

// paged breaks a table that is named by its day into pages, each with a head and a foot.
func paged(m *maker, all []*table) *document { return m.pages(all[0], true) }

// pagedBare is paged without headings.
func pagedBare(m *maker, all []*table) *document { return m.pages(all[0], false) }

func (m *maker) pages(t *table, heads bool) *document {
	day := parseDay(t.name)
	s := &sheet{name: m.word("values")}
	for i, page := 0, 1; i < len(t.rows); i, page = i+pageRows, page+1 {
		s.rows = append(s.rows,
			line(fmt.Sprintf("%s  %s %d", strings.ToUpper("Mill House"), m.word("page"), page)),
			line(m.word("printed")+": "+m.longDay(day)+" 09:41"), &row{})
		if heads {
			s.rows = append(s.rows, t.head())
		}
		s.rows = append(append(s.rows, t.rows[i:min(i+pageRows, len(t.rows))]...), &row{})
	}
	s.rows = append(s.rows, line("*** "+m.word("foot")+" ***"))
	return &document{sheets: []*sheet{s}}
}
