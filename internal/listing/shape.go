package listing

import (
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
)

// Part is a table as it is to be read, with what was understood of it.
type Part struct {
	*Table
	*Understanding
}

// Parts understands a table, or the several that stand in it: side by side, or one below another. A table whose
// headings stand in its first column is turned.
func (k *Known) Parts(t *Table, p Profile) ([]Part, error) {
	if p.HeaderLine != 0 || t.Left {
		return k.one(t, p)
	}
	head, err := t.head(p)
	if err != nil {
		return nil, err
	}
	lx := newLexicon()
	if turned := t.turned(lx, head, p); turned != nil {
		return k.one(turned, p)
	}
	var all []Part
	for _, beside := range t.sideBySide(lx, head) {
		parts, err := k.below(beside, p)
		if err != nil {
			return nil, err
		}
		all = append(all, parts...)
	}
	return all, nil
}

func (k *Known) one(t *Table, p Profile) ([]Part, error) {
	u, err := k.Understand(t, p)
	return []Part{{t, u}}, err
}

// below gives the tables that stand one below another.
func (k *Known) below(t *Table, p Profile) ([]Part, error) {
	parts, err := k.one(t, p)
	if err != nil {
		return nil, err
	}
	several := parts[0].sections.several()
	if several == nil {
		return parts, nil
	}
	var all []Part
	for _, at := range several {
		part := t.part(at)
		part.above = parts[0].sections.above(at)
		u, err := k.Understand(part, p)
		if err != nil {
			return nil, err
		}
		all = append(all, Part{part, u})
	}
	return all, nil
}

// headRows is how many rows are looked at for how a table lies.
const headRows = 60

// head gives the first rows.
func (t *Table) head(p Profile) ([]Row, error) {
	var rows []Row
	for row, err := range t.rows(p.choice()) {
		var bad *RowError
		if errors.As(err, &bad) {
			continue
		}
		if err != nil {
			return nil, err
		}
		row.Cells, row.kinds, row.stored = slices.Clone(row.Cells), slices.Clone(row.kinds), slices.Clone(row.stored)
		if rows = append(rows, row); len(rows) == headRows {
			break
		}
	}
	return rows, nil
}

// sideBySide gives the tables that stand beside each other, each with a reference of its own; one where there are
// none.
func (t *Table) sideBySide(lx *lexicon, head []Row) []*Table {
	above := context{}
	for _, row := range head {
		switch first, filled := firstFilled(row.Cells); {
		case filled == 1:
			above = above.with(lx.contextOf(row.Cells[first]))
		case filled == 2: // a loop may be of one of the tables, a day is of all
			if day := lx.contextOf(strings.Join(row.Cells, " "))[Date]; day != "" {
				above = above.with(context{Date: day})
			}
		}
		if visits := t.visitColumns(lx, row); visits != nil {
			return visits
		}
		blocks := lx.blocks(row.Cells)
		if len(blocks) < 2 {
			continue
		}
		var all []*Table
		for _, b := range blocks {
			beside := t.columns(b.from, b.to+1)
			beside.said = beside.said.with(above)
			all = append(all, beside)
		}
		return all
	}
	return []*Table{t}
}

// blocks finds the ranges of columns of a row of headings that each name a point and something of it.
func (lx *lexicon) blocks(cells []string) []span {
	var heads []string
	for _, c := range cells {
		heads = append(heads, fold(c))
	}
	for len(heads) > 0 && heads[len(heads)-1] == "" {
		heads = heads[:len(heads)-1]
	}
	if blocks := againAndAgain(heads); blocks != nil && lx.areTables(cells, blocks) {
		return blocks
	}
	if blocks := startingAgain(heads); blocks != nil && lx.areTables(cells, blocks) {
		return blocks
	}
	var blocks []span
	for i, h := range heads {
		switch {
		case h == "":
		case i == 0 || heads[i-1] == "":
			blocks = append(blocks, span{i, i})
		default:
			blocks[len(blocks)-1].to = i
		}
	}
	if !lx.areTables(cells, blocks) {
		return nil
	}
	return blocks
}

// areTables: each of the blocks of headings is that of a table.
func (lx *lexicon) areTables(heads []string, blocks []span) bool {
	return !slices.ContainsFunc(blocks, func(b span) bool { return !lx.isTable(heads[b.from : b.to+1]) })
}

// againAndAgain gives the blocks of headings that are the same again and again, with or without an empty one between.
func againAndAgain(heads []string) []span {
	for width := 2; 2*width <= len(heads); width++ {
		for _, step := range []int{width, width + 1} {
			if (len(heads)+step-width)%step != 0 {
				continue
			}
			var blocks []span
			for from := 0; from+width <= len(heads); from += step {
				if !slices.Equal(heads[from:from+width], heads[:width]) || step > width && from > 0 && heads[from-1] != "" {
					blocks = nil
					break
				}
				blocks = append(blocks, span{from, from + width - 1})
			}
			if len(blocks) > 1 {
				return blocks
			}
		}
	}
	return nil
}

// isTable: headings name a point and something else.
func (lx *lexicon) isTable(heads []string) bool {
	points, others := 0, 0
	for _, h := range heads {
		switch m := lx.heading(h); {
		case lx.visitDate(h) != "":
			others++
		case m.strength < strengthNear:
		case m.field == Point || m.field == Address:
			points++
		case m.field != Loop && m.field != Panel:
			others++
		}
	}
	return points == 1 && others > 0
}

// turned exchanges the rows and columns of a table whose headings stand in its first column; nil: they do not.
func (t *Table) turned(lx *lexicon, head []Row, p Profile) *Table {
	const most = 40 // rows of such a table
	if len(head) > most {
		return nil
	}
	first, heads := -1, 0
	for i, row := range head {
		if filledCells(row.Cells) < 3 {
			continue
		}
		cell := strings.TrimSpace(row.Cells[0])
		m := lx.heading(cell)
		isHead := m.strength >= strengthNear || lx.visitDate(cell) != ""
		if !isHead {
			return nil
		}
		heads++
		if (m.field == Point || m.field == Address) && m.strength >= strengthNear && mostlyRefs(row.Cells[1:]) {
			first = i
		}
	}
	if first < 0 || heads < 2 {
		return nil
	}
	own := *t
	own.src, own.Turned = turnedSource{t, turnRows(head)}, true
	return &own
}

// mostlyRefs: cells are references or whole numbers.
func mostlyRefs(cells []string) bool {
	refs, filled := 0, 0
	for _, c := range cells {
		if c = strings.TrimSpace(c); c == "" {
			continue
		}
		filled++
		if _, err := ParseRef(c); err == nil && strings.ContainsAny(c, "0123456789") {
			refs++
		}
	}
	return filled >= 2 && refs*10 >= filled*8
}

// turnRows makes columns of rows. The place of a column is the number of its row.
func turnRows(head []Row) []Row {
	width := 0
	for _, row := range head {
		width = max(width, len(row.Cells))
	}
	turned := make([]Row, width)
	for i := range turned {
		turned[i].Line = i + 1
	}
	for _, row := range head {
		if filledCells(row.Cells) < 2 {
			continue // a title above
		}
		for i := range turned {
			cell, kind := "", cellKind(0)
			if i < len(row.Cells) {
				cell, kind = row.Cells[i], row.kind(i)
			}
			turned[i].Cells, turned[i].kinds = append(turned[i].Cells, cell), append(turned[i].kinds, kind)
		}
	}
	return turned
}

// turnedSource yields rows that were columns.
type turnedSource struct {
	of   *Table
	kept []Row
}

func (s turnedSource) layout(c layoutChoice) (encoding, separator string) { return s.of.src.layout(c) }

func (s turnedSource) rows(layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		for _, row := range s.kept {
			row.Cells = slices.Clone(row.Cells)
			if !yield(row, nil) {
				return
			}
		}
	}
}

// Place names a row of a table in a sentence; one that was turned has columns for rows.
func (t *Table) Place(line int) string {
	if t.Turned {
		return "column " + columnName(line)
	}
	return fmt.Sprintf("row %d", line)
}

// Where names the part of a sheet that a table is, empty for a whole one.
func (t *Table) Where() string {
	switch {
	case t.FirstRow > 0:
		return fmt.Sprintf("from row %d", t.FirstRow)
	case t.firstColumn > 0:
		return "from column " + columnName(t.firstColumn+t.lead+1)
	}
	return ""
}
