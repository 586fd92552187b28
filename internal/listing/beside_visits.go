package listing

import (
	"slices"
	"strings"
)

// startingAgain gives the blocks of headings of which each begins with the word that the first of all is.
func startingAgain(heads []string) []span {
	var blocks []span
	for i, h := range heads {
		switch {
		case h != "" && h == heads[0]:
			blocks = append(blocks, span{i, i})
		case len(blocks) > 0 && h != "":
			blocks[len(blocks)-1].to = i
		}
	}
	if len(blocks) < 2 {
		return nil
	}
	return blocks
}

// visitBlocks finds visits of which each has columns of its own, with its day and its value, behind columns that name
// the point: point, date, value, date, value. lead counts the columns in front.
func (lx *lexicon) visitBlocks(cells []string) (lead int, blocks []span) {
	heads := make([]string, len(cells))
	fields := make([]Field, len(cells))
	for i, c := range cells {
		heads[i] = strings.TrimRight(fold(c), " 0123456789")
		if m := lx.heading(heads[i]); m.strength >= strengthNear {
			fields[i] = m.field
		}
	}
	for len(heads) > 0 && heads[len(heads)-1] == "" {
		heads = heads[:len(heads)-1]
	}
	holds := func(from, to int, f Field) int {
		n := 0
		for _, g := range fields[from:to] {
			if g == f {
				n++
			}
		}
		return n
	}
	for lead = 1; lead < len(heads); lead++ {
		if holds(0, lead, Date)+holds(0, lead, Value) > 0 || holds(0, lead, Point)+holds(0, lead, Address)+holds(0, lead, Serial) == 0 {
			continue
		}
		for width := 2; lead+2*width <= len(heads); width++ {
			if holds(lead, lead+width, Date) == 1 && holds(lead, lead+width, Value) == 1 && goesOn(heads[lead:], width) {
				for from := lead; from < len(heads); from += width {
					blocks = append(blocks, span{from, from + width})
				}
				return lead, blocks
			}
		}
	}
	return 0, nil
}

// goesOn: the words are the first ones of a width again and again.
func goesOn(heads []string, width int) bool {
	if len(heads)%width != 0 {
		return false
	}
	for at := width; at < len(heads); at += width {
		if !slices.Equal(heads[at:at+width], heads[:width]) {
			return false
		}
	}
	return true
}

// visitColumns makes a table of each of such visits.
func (t *Table) visitColumns(lx *lexicon, row Row) []*Table {
	lead, blocks := lx.visitBlocks(row.Cells)
	var all []*Table
	for i, b := range blocks {
		beside := t.columns(b.from, b.to)
		beside.lead, beside.firstColumn = lead, b.from-lead
		w := beside.src.(*windowSource)
		w.lead, w.headings, w.first = lead, row.Line, i == 0
		all = append(all, beside)
	}
	return all
}

// passes: a row below the headings of which the window has nothing but the columns in front was not read at this visit.
// A row without any visit is told of by the first.
func (w *windowSource) passes(row Row) bool {
	if w.lead == 0 || row.Line <= w.headings {
		return false
	}
	own, any := false, false
	for i, c := range row.Cells {
		if i >= w.lead && strings.TrimSpace(c) != "" {
			any = true
			own = own || i >= w.colFrom && i < w.colTo
		}
	}
	return !own && (any || !w.first)
}

// fronted puts the columns in front before those of the window.
func (w *windowSource) fronted(row, cut Row) Row {
	if w.lead == 0 {
		return cut
	}
	n := len(cut.Cells)
	cut.Cells = slices.Concat(upTo(row.Cells, w.lead), cut.Cells)
	if row.kinds != nil {
		cut.kinds = slices.Concat(upTo(row.kinds, w.lead), cut.kinds)
	}
	if n > 0 || len(row.stored) > 0 {
		cut.stored = slices.Concat(upTo(row.stored, w.lead), cut.stored)
	}
	cut.hid = slices.Concat(upTo(row.hid, w.lead), cut.hid)
	return cut
}

// upTo gives the first n of a list, with empty ones where it is shorter.
func upTo[T any](list []T, n int) []T {
	out := make([]T, n)
	copy(out, list)
	return out
}

// place is where in the sheet a column of the table stands, from 0.
func (t *Table) place(i int) int {
	if i < t.lead {
		return i
	}
	return i + t.firstColumn
}
