package listing

import (
	"errors"
	"fmt"
)

// cell is one cell as a reader of a format finds it.
type cell struct {
	text   string // as people saw it, with a decimal point and days year first
	stored string // the value behind it where that differs: 0.23 behind 23 %; else empty
	kind   cellKind
	struck bool // it is struck out, or a part of it
}

// grid builds the rows of a table whose cells have places: those of workbooks and web pages. It fills
// merged ranges, leaves hidden rows and columns out unless they are asked for, and bounds both.
type grid struct {
	t      *Table
	hidden bool // hidden parts are taken too
	line   int
	row    Row
	struck int  // column from 1 of the first cell of the row that is struck out
	wide   bool // a cell stood beyond the last column that is read

	merges  []merge  // still to come, sorted by their first row
	open    []*merge // by column
	filled  int      // cells that took their value from a merged range or from a repeat
	columns []span   // hidden ones
	seen    HiddenParts
	hid     []bool // of the hidden rows right above
	shown   bool   // the row before was no hidden one
}

// span is a range of columns, from 0, both ends included.
type span struct{ from, to int }

// HiddenRows is why rows are passed over that people do not see; a profile can have them taken.
const HiddenRows = "hidden rows"

// HiddenParts counts what a table hides and what was left out of it therefore.
type HiddenParts struct {
	Rows, FirstRow int   // how many, and the first
	Columns        []int // places from 0, of those that hold something
}

func newGrid(t *Table, choice layoutChoice) *grid { return &grid{t: t, hidden: choice.hidden} }

// begin starts a row.
func (g *grid) begin(line int) {
	g.line, g.wide, g.struck = line, false, 0
	if g.shown {
		g.hid, g.shown = nil, false
	}
	r := &g.row
	r.Cells, r.kinds, r.stored, r.across = r.Cells[:0], r.kinds[:0], r.stored[:0], r.across[:0]
}

// put sets a cell, from column 0; one without text only takes its place.
func (g *grid) put(column int, c cell) {
	if c.text == "" {
		return
	}
	if column >= g.t.limits.MaxCols {
		g.wide = true
		return
	}
	if !g.hidden && g.hides(column) {
		return
	}
	if c.struck {
		g.strike(column)
	}
	r := &g.row
	for len(r.Cells) <= column {
		r.Cells = append(r.Cells, "")
		r.kinds = append(r.kinds, 0)
	}
	r.Cells[column], r.kinds[column] = c.text, c.kind
	if c.stored != "" {
		for len(r.stored) <= column {
			r.stored = append(r.stored, "")
		}
		r.stored[column] = c.stored
	}
}

// hides tells whether a column is hidden, and notes that it held something.
func (g *grid) hides(column int) bool {
	for _, s := range g.columns {
		if column < s.from || column > s.to {
			continue
		}
		for _, known := range g.seen.Columns {
			if known == column {
				return true
			}
		}
		g.seen.Columns = append(g.seen.Columns, column)
		return true
	}
	return false
}

// mostHidden bounds the ranges of hidden columns that are kept of a sheet; a sheet has no more columns.
const mostHidden = 1 << 14

// hide marks columns as hidden, from 0, both ends included.
func (g *grid) hide(from, to int) {
	if len(g.columns) < mostHidden {
		g.columns = append(g.columns, span{from, to})
	}
}

// end gives the row with its merged cells filled, or an error for what it lacks.
func (g *grid) end() (Row, error) {
	g.carry()
	g.row.Line, g.row.hid = g.line, g.hid
	switch {
	case g.filled > mostCarried:
		return Row{Line: g.line}, g.refuse(fmt.Sprintf("merged or repeated cells of %s fill more than %d cells", g.t.called(), mostCarried), "undo them, or save the sheet as .csv")
	case g.line > mostRows:
		return Row{Line: g.line}, g.refuse(fmt.Sprintf("%s has more than %d rows", g.t.called(), mostRows), "save the sheet as .csv, or split it")
	case g.wide:
		return g.row, g.t.tooWide(g.line)
	case g.struck > 0:
		return g.row, g.struckOut()
	}
	return g.row, nil
}

// pass leaves a hidden row out, also one that cannot be read, unless hidden ones are asked for; it tells
// whether it did. A hidden row without cells hides nothing.
func (g *grid) pass(hidden bool, err error) bool {
	var bad *RowError
	if !hidden || g.hidden || err != nil && !errors.As(err, &bad) {
		g.shown = true
		return false
	}
	if first, _ := firstFilled(g.row.Cells); first < 0 {
		return true
	}
	g.hideRow()
	if g.seen.Rows++; g.seen.Rows == 1 {
		g.seen.FirstRow = g.line
	}
	return true
}

// clearCarried takes what merged ranges filled out of a row that is repeated.
func (g *grid) clearCarried() {
	for i, kind := range g.row.kinds {
		if kind&cellCarried != 0 {
			g.row.Cells[i], g.row.kinds[i] = "", 0
		}
	}
	for n := len(g.row.Cells); n > 0 && g.row.Cells[n-1] == ""; n-- {
		g.row.Cells, g.row.kinds = g.row.Cells[:n-1], g.row.kinds[:n-1]
	}
}

func (g *grid) refuse(trouble, hint string) error {
	return &FileError{File: g.t.File, Trouble: trouble, Hint: hint}
}

// merge is a merged range; value is that of its first cell once that was read.
type merge struct {
	top, bottom, left, right int // rows and columns from 1
	value                    cell
}

// carry fills the rows of a merged range with its value. A column belongs to one range at a time, as
// spreadsheet programs see to.
func (g *grid) carry() {
	for ; len(g.merges) > 0 && g.merges[0].top <= g.line; g.merges = g.merges[1:] {
		g.openMerge(g.merges[0])
	}
	for column, m := range g.open {
		switch {
		case m == nil:
		case m.bottom < g.line:
			g.open[column] = nil
		case m.value.text != "" && (column >= len(g.row.Cells) || g.row.Cells[column] == ""):
			carried := m.value
			carried.kind |= cellCarried
			g.put(column, carried)
			g.filled++
		}
	}
}

// openMerge takes the value of a range's first cell, which stands in the row at hand.
func (g *grid) openMerge(m merge) {
	at := m.left - 1
	if g.line > m.top || at >= len(g.row.Cells) {
		return
	}
	if m.right > m.left {
		g.row.across = append(g.row.across, span{at, m.right - 1})
	}
	if m.bottom == m.top {
		return
	}
	m.value = cell{text: g.row.Cells[at], stored: g.row.Stored(at), kind: g.row.kinds[at]}
	for column := at; column < min(m.right, g.t.limits.MaxCols); column++ {
		for len(g.open) <= column {
			g.open = append(g.open, nil)
		}
		g.open[column] = &m
	}
}
