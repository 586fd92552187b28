package listings

import (
	"fmt"
	"time"

	"sootline"
)

// cellKind is how a spreadsheet holds a cell.
type cellKind byte

const (
	textCell cellKind = iota
	numberCell
	dateCell
	percentCell // of a value as shown: 23 for 23 %
)

// cell is one cell with what it states. A nil cell is empty.
type cell struct {
	kind     cellKind
	text     string
	value    float64
	decimals int
	day      sootline.Day
	layout   string // how the day is written where cells are text; empty: as the listing writes days
	computed bool   // a spreadsheet's formula gives the value
	noResult bool   // the formula stands without its result
	asText   bool   // a spreadsheet holds it as text
	wide     int    // columns that a merged cell spans; 0: one
	tall     int    // rows that it spans, in a workbook; 0: one
	says     []fact
}

// formula gives the formula of a cell that still holds what it gives: a word put in its place has none.
func (c *cell) formula() string {
	if !c.computed || c.kind != numberCell {
		return ""
	}
	return decimal(c.value, c.decimals, false) + "+0"
}

func words(text string) *cell { return &cell{text: text} }

func number(value float64, decimals int) *cell {
	return &cell{kind: numberCell, value: value, decimals: decimals}
}

func count(n int) *cell { return number(float64(n), 0) }

func date(day sootline.Day) *cell { return &cell{kind: dateCell, day: day} }

// stating adds what the cell states.
func (c *cell) stating(facts ...fact) *cell {
	c.says = append(c.says, facts...)
	return c
}

// row is one row of cells.
type row struct {
	cells  []*cell
	hidden bool
	loose  bool // a title, a note, the head of a page: no row of a table
	head   bool
}

func rowOf(cells ...*cell) *row { return &row{cells: cells} }

func line(text string) *row { return &row{cells: []*cell{words(text)}, loose: true} }

// at gives a cell, or nil.
func (r *row) at(i int) *cell {
	if i < 0 || i >= len(r.cells) {
		return nil
	}
	return r.cells[i]
}

// column is a column of a table before the table is arranged.
type column struct {
	concept string // what it holds
	head    *cell
	hidden  bool
}

// table is rows under columns, before they are arranged on sheets.
type table struct {
	name string // of the sheet or section that it may become
	cols []column
	over []*cell // a second head above the first, merged; none: nil
	rows []*row
}

// find gives the index of a column, or -1.
func (t *table) find(concept string) int {
	for i, c := range t.cols {
		if c.concept == concept {
			return i
		}
	}
	return -1
}

// add puts a column at an index, filled by row.
func (t *table) add(at int, c column, fill func(i int) *cell) {
	t.cols = insert(t.cols, at, c)
	if t.over != nil {
		t.over = insert(t.over, at, nil)
	}
	for i, r := range t.rows {
		r.cells = insert(r.cells, at, fill(i))
	}
}

func insert[T any](list []T, at int, x T) []T {
	grown := append([]T{}, list[:at]...)
	return append(append(grown, x), list[at:]...)
}

// head gives the row of headings.
func (t *table) head() *row {
	r := &row{head: true}
	for _, c := range t.cols {
		r.cells = append(r.cells, c.head)
	}
	return r
}

// sheet is a grid as it is written.
type sheet struct {
	name       string
	hidden     bool
	hiddenCols map[int]bool
	rows       []*row
}

// document is what becomes a file.
type document struct {
	sheets []*sheet
	named  bool // the names of sheets say what no cell does
}

// width is the largest number of columns.
func (s *sheet) width() int {
	n := 0
	for _, r := range s.rows {
		n = max(n, len(r.cells))
	}
	return n
}

// truth gathers what the visible cells state; what hidden ones state must be told of.
func (d *document) truth() Truth {
	var t Truth
	for _, s := range d.sheets {
		for i, r := range s.rows {
			for j, c := range r.cells {
				if c == nil {
					continue
				}
				at := Cell(fmt.Sprintf("%s!%s%d", s.name, letters(j), i+1))
				for _, f := range c.says {
					if s.hidden || r.hidden || s.hiddenCols[j] {
						t.Hidden = append(t.Hidden, at)
						continue
					}
					f.tell(&t, at)
				}
			}
		}
	}
	return t
}

// letters names a column as spreadsheets do.
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + string(rune('A'+i%26))
}

// dayText writes a day as truths do.
func dayText(d sootline.Day) string { return d.Time().Format(time.DateOnly) }
