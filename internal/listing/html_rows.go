package listing

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"golang.org/x/net/html"
)

// htmlReader walks the rows of a table.
type htmlReader struct {
	*grid
	z        *html.Tokenizer
	until    []int // by column, the last row that a cell above reaches down to
	column   int   // of the next cell
	columns  int   // of the next column that is described
	inRow    bool
	fresh    bool // the row at hand has no cell yet
	inCell   bool
	hides    bool // the row at hand is hidden
	unseen   bool // the cell at hand is hidden
	struck   bool // the cell at hand, or a part of it, is struck out
	rowOut   bool // the row at hand is
	nested   int  // tables open inside a cell
	ignored  string
	text     strings.Builder
	spans    [2]int // columns and rows of the cell at hand
	finished bool
	pick     picking
}

// next gives the next row; io.EOF after the last one.
func (r *htmlReader) next() (Row, error) {
	for !r.finished {
		kind := r.z.Next()
		if kind == html.ErrorToken {
			r.finished = true
			if err := r.z.Err(); err != io.EOF {
				return Row{}, pageBroken(r.t.File, r.t.limits, err)
			}
		}
		if row, done, err := r.token(kind); done {
			return row, err
		}
	}
	return Row{}, io.EOF
}

// token takes one token in; done tells that it ended a row that is to be given.
func (r *htmlReader) token(kind html.TokenType) (row Row, done bool, err error) {
	switch kind {
	case html.TextToken:
		if r.inCell && r.nested == 0 && r.ignored == "" {
			if r.pick.inOption {
				r.pick.text += string(r.z.Text())
			} else if !r.pick.open {
				r.text.Write(r.z.Text())
			}
		}
	case html.StartTagToken, html.SelfClosingTagToken:
		return r.start(r.z.Token())
	case html.EndTagToken:
		return r.stop(r.z.Token().Data)
	case html.ErrorToken:
		return r.cutShort()
	}
	if r.text.Len() > r.t.limits.MaxLine {
		return Row{Line: r.line}, true, r.refuse(fmt.Sprintf("a cell in row %d is too large", r.line), "shorten it")
	}
	return Row{}, false, nil
}

func (r *htmlReader) start(el html.Token) (row Row, done bool, err error) {
	switch {
	case el.Data == "script" || el.Data == "style" || el.Data == "template":
		if el.Type == html.StartTagToken {
			r.ignored = el.Data
		}
	case el.Data == "table":
		r.nested++
	case r.nested > 0:
	case el.Data == "col":
		n := countIn(el, "span", 1000)
		if unseen(el) {
			r.hide(r.columns, r.columns+n-1)
		}
		r.columns = min(r.columns+n, mostRows)
	case el.Data == "tr":
		row, done, err = r.endRow()
		r.beginRow(unseen(el))
		r.rowOut = isStruckHTML(el)
	case el.Data == "td" || el.Data == "th":
		r.endCell()
		if !r.inRow {
			r.beginRow(false)
		}
		r.inCell, r.unseen, r.struck = true, unseen(el), r.rowOut || isStruckHTML(el)
		r.spans = [2]int{countIn(el, "colspan", 1000), countIn(el, "rowspan", 65534)} // the standard's bounds (4.9.11)
	case r.inCell && (el.Data == "input" || el.Data == "select" || el.Data == "option"):
		r.field(el)
	case el.Data == "br" || el.Data == "p" || el.Data == "div" || el.Data == "li":
		r.text.WriteByte('\n')
	}
	if r.inCell && r.nested == 0 && isStruckHTML(el) {
		r.struck = true
	}
	return row, done, err
}

func (r *htmlReader) stop(tag string) (row Row, done bool, err error) {
	switch {
	case r.ignored != "":
		if tag == r.ignored {
			r.ignored = ""
		}
	case tag == "table" && r.nested > 0:
		r.nested--
	case r.nested > 0:
	case tag == "option":
		r.endOption()
	case tag == "select":
		r.endSelect()
	case tag == "td" || tag == "th":
		r.endCell()
	case tag == "tr":
		return r.endRow()
	case tag == "table":
		r.finished = true
		return r.endRow()
	}
	return Row{}, false, nil
}

// beginRow starts a row. The row before is given first, and its cells are used no longer by then.
func (r *htmlReader) beginRow(hidden bool) {
	r.inRow, r.hides, r.column, r.fresh = true, hidden, 0, true
}

// endRow ends the row at hand; done is false where there is none to give.
func (r *htmlReader) endRow() (row Row, done bool, err error) {
	r.endCell()
	if !r.inRow {
		return Row{}, false, nil
	}
	r.freshen()
	r.inRow = false
	row, err = r.end()
	return row, !r.pass(r.hides, err), err
}

// freshen clears the row for its first cell, or for its end where it has none.
func (r *htmlReader) freshen() {
	if r.fresh {
		r.begin(r.line + 1)
		r.fresh = false
	}
}

// endCell puts the cell at hand in the first place that no cell above reaches into.
func (r *htmlReader) endCell() {
	text := spaced(r.text.String())
	r.text.Reset()
	if !r.inCell {
		return
	}
	r.inCell = false
	r.freshen()
	for r.column < len(r.until) && r.until[r.column] >= r.line {
		r.column++
	}
	wide, high := r.spans[0], r.spans[1]
	if !r.unseen || r.hidden {
		r.put(r.column, cell{text: text, struck: r.struck})
	}
	if (wide > 1 || high > 1) && len(r.merges) < r.t.limits.MaxMerges {
		r.merges = append(r.merges, merge{top: r.line, bottom: r.line + high - 1, left: r.column + 1, right: r.column + wide})
	}
	if high > 1 {
		for len(r.until) < min(r.column+wide, r.t.limits.MaxCols) {
			r.until = append(r.until, 0)
		}
		for i := r.column; i < min(r.column+wide, len(r.until)); i++ {
			r.until[i] = r.line + high - 1
		}
	}
	r.column += wide
}

// spaced makes one space of each run of them, but keeps breaks between lines.
func spaced(s string) string {
	var lines []string
	for line := range strings.SplitSeq(plainText(s), "\n") {
		if line = strings.Join(strings.Fields(line), " "); line != "" {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n")
}

// countIn reads an attribute that counts, from 1 to the most.
func countIn(el html.Token, name string, most int) int {
	for _, a := range el.Attr {
		if a.Key != name {
			continue
		}
		if n, err := strconv.Atoi(strings.TrimSpace(a.Val)); err == nil && n > 0 {
			return min(n, most)
		}
	}
	return 1
}

// unseen tells whether a page does not show an element, by itself; a sheet of styles is not read.
func unseen(el html.Token) bool {
	for _, a := range el.Attr {
		if a.Key == "hidden" || a.Key == "style" && strings.Contains(strings.ReplaceAll(strings.ToLower(a.Val), " ", ""), "display:none") {
			return true
		}
	}
	return false
}
