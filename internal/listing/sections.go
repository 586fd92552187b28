package listing

import (
	"iter"
	"maps"
	"slices"
	"strings"
)

// section is a part of the rows of a table, with headings or titles of its own.
type section struct {
	from, to int // rows, by their numbers; to 0: up to the end
	heads    []string
	headAt   int     // row of its headings; before from where it has those of the section above; 0: none
	said     context // also a day that may be another one, so that each such day begins a part
	sure     context // what of that holds
}

// sections finds them while the rows go by.
type sections struct {
	lx       *lexicon
	says     func(title string) context
	all      []section
	titles   []int   // rows of the titles since the last other row
	said     context // what those titles say
	sure     context // what of that holds
	top      context // what titles of the whole sheet say, above those of the first part
	topTexts []string
	rows     int // of the last section, besides titles
}

// observe looks at a row. It must cost little: most rows are none of interest.
func (x *sections) observe(row *Row) {
	first, filled := firstFilled(row.Cells)
	switch {
	case filled == 0:
		return
	case filled == 1:
		x.title(row.Line, row.Cells[first])
		return
	case filled == 2 && x.isTitle(row, first):
		x.title(row.Line, strings.Join(row.Cells, " "))
		return
	case x.isHeading(row, first):
		x.begin(row.Line, slices.Clone(row.Cells))
	case len(x.titles) > 0 && x.breaks():
		x.begin(0, nil)
	case len(x.all) == 0:
		x.begin(0, nil)
	}
	x.titles, x.said, x.sure = nil, nil, nil
	x.rows++
}

func (x *sections) title(line int, text string) {
	if len(x.titles) < 8 {
		x.titles = append(x.titles, line)
		x.said = x.said.with(x.lx.contextOf(text))
		x.sure = x.sure.with(x.says(text))
	}
	if c := x.says(text); len(x.all) == 0 && !saysPart(c) && !saysPart(x.sure) {
		x.top, x.topTexts = x.top.with(c), append(x.topTexts, text)
	}
}

// isHeading: two cells are whole words of headings, no cell has a digit, and those of the section differ or a title
// came before.
func (x *sections) isHeading(row *Row, first int) bool {
	if !mayBeWord(row.Cells[first]) || row.kind(first) != 0 {
		return false
	}
	const most = 16 // cells that are looked at: a table has its headings in front
	exact, seen := 0, 0
	for i, c := range row.Cells {
		if c == "" {
			continue
		}
		if seen++; seen > most {
			break
		}
		if len(c) > 60 || row.kind(i) != 0 || strings.ContainsAny(c, "0123456789") {
			return false
		}
		if m := x.lx.exactHeading(fold(c), ""); m.field != "" {
			exact++
		}
	}
	return exact >= 2 && !looksLikeRow(row.Cells[:min(most, len(row.Cells))])
}

// looksLikeRow: a row of words for what happened or how it went is none of headings.
func looksLikeRow(cells []string) bool {
	for _, c := range cells {
		if ref, err := ParseRef(c); err == nil && ref.Loop != "" {
			return true
		}
	}
	return false
}

// breaks: the titles say another loop, zone or day than those above.
func (x *sections) breaks() bool {
	if len(x.all) == 0 {
		return true
	}
	now := x.all[len(x.all)-1].said
	for f, text := range x.said {
		if now[f] != text {
			return true
		}
	}
	return false
}

// begin ends the section above and begins another, or goes on with it where nothing differs.
func (x *sections) begin(headAt int, heads []string) {
	n := len(x.all)
	if n > 0 && !x.breaks() && (heads == nil || slices.Equal(heads, x.all[n-1].heads)) {
		return
	}
	const fewAbove = 3 // a line or two above the headings, such as the days of visits, belong to them
	if n > 0 && heads != nil && x.all[n-1].heads == nil && x.rows < fewAbove {
		x.all[n-1].heads, x.all[n-1].headAt = heads, headAt
		return
	}
	x.rows = 0
	at := section{heads: heads, headAt: headAt, said: maps.Clone(x.said), sure: maps.Clone(x.sure)}
	at.from = headAt
	if len(x.titles) > 0 {
		at.from = x.titles[0]
	}
	if n > 0 {
		before := &x.all[n-1]
		if heads == nil {
			at.heads, at.headAt = before.heads, before.headAt
		}
		before.to = at.from - 1
	}
	x.all = append(x.all, at)
}

// several gives the sections where there is more than one with rows of its own.
func (x *sections) several() []section {
	all := slices.DeleteFunc(slices.Clone(x.all), func(at section) bool { return at.to != 0 && at.to <= at.from })
	if len(all) < 2 {
		return nil
	}
	x.shareDay(all)
	return all
}

// isPart: titles say of which loop, panel or zone it is.
func (at *section) isPart() bool { return saysPart(at.sure) }

func saysPart(c context) bool { return c[Loop] != "" || c[Panel] != "" || c[Zone] != "" }

// shareDay gives the day of a title of the whole sheet to all of its parts, where none after the first says one of its own.
func (x *sections) shareDay(all []section) {
	day := x.top[Date]
	if day == "" || !all[0].isPart() || slices.ContainsFunc(all[1:], func(at section) bool { return at.said[Date] != "" }) {
		return
	}
	for i := range all[1:] {
		all[i+1].sure = all[i+1].sure.with(context{Date: day})
	}
}

// above gives the titles of the whole sheet that stand above another part than the first.
func (x *sections) above(at section) []string {
	if len(x.all) == 0 || at.from == x.all[0].from || !x.all[0].isPart() {
		return nil
	}
	return x.topTexts
}

// windowSource yields some of the rows and columns of another table.
type windowSource struct {
	t, of    *Table
	rowsFrom int  // by number; 0: from the first
	rowsTo   int  // 0: up to the last
	headAt   int  // row of headings above, which is yielded first; 0: none
	colFrom  int  // from 0
	colTo    int  // first that is left out; 0: none
	lead     int  // columns of the sheet that are kept in front
	headings int  // row of its headings, where there are such
	first    bool // it is the first of several with the same columns in front
}

func (w *windowSource) layout(c layoutChoice) (encoding, separator string) { return w.of.src.layout(c) }

func (w *windowSource) rows(choice layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		defer func() { w.t.LeftOut = w.of.LeftOut }()
		for row, err := range w.of.rows(choice) {
			if row.Line != w.headAt && (row.Line < w.rowsFrom || w.rowsTo > 0 && row.Line > w.rowsTo) {
				if w.rowsTo > 0 && row.Line > w.rowsTo && err == nil {
					return
				}
				continue
			}
			if w.passes(row) {
				continue
			}
			if !yield(w.cut(row), err) {
				return
			}
		}
	}
}

// cut leaves the columns of the window.
func (w *windowSource) cut(row Row) Row {
	whole := row
	to := len(row.Cells)
	if w.colTo > 0 {
		to = min(to, w.colTo)
	}
	from := min(w.colFrom, to)
	row.Cells = row.Cells[from:to]
	if row.kinds != nil {
		row.kinds = row.kinds[min(from, len(row.kinds)):min(to, len(row.kinds))]
	}
	row.hid = row.hid[min(from, len(row.hid)):min(to, len(row.hid))]
	row.stored = row.stored[min(from, len(row.stored)):min(to, len(row.stored))]
	if w.colFrom > 0 {
		row.across = nil
	}
	return w.fronted(whole, row)
}

// part makes a table of some rows of t.
func (t *Table) part(at section) *Table {
	own := *t
	w := &windowSource{t: &own, of: t, rowsFrom: at.from, rowsTo: at.to}
	if at.headAt > 0 && at.headAt < at.from {
		w.headAt = at.headAt
	}
	own.src, own.Left, own.said, own.FirstRow = w, false, t.said.with(at.sure), at.from
	return &own
}

// columns makes a table of some columns of t, both counted from 0.
func (t *Table) columns(from, to int) *Table {
	own := *t
	own.src, own.Left, own.firstColumn = &windowSource{t: &own, of: t, colFrom: from, colTo: to}, false, t.firstColumn+from
	return &own
}
