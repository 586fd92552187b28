package listing

import (
	"errors"
	"strings"

	"golang.org/x/net/html"
)

// What a page shows in a field of a form stands in no text of it: the value of an input, the tick of a box, the option
// that is picked (HTML standard, 4.10.5 and 4.10.7; from memory).

// picking is the list of options at hand.
type picking struct {
	open, inOption, picked bool
	text, shown            string // of the option at hand; of the one that the page shows
	any                    bool   // an option came
}

// field takes an element of a form within the cell at hand.
func (r *htmlReader) field(el html.Token) {
	has := func(name string) (string, bool) {
		for _, a := range el.Attr {
			if a.Key == name {
				return a.Val, true
			}
		}
		return "", false
	}
	switch el.Data {
	case "input":
		value, _ := has("value")
		_, checked := has("checked")
		switch kind, _ := has("type"); strings.ToLower(kind) {
		case "hidden", "button", "submit", "reset", "image", "file", "password":
		case "checkbox", "radio":
			if checked {
				r.text.WriteString(" x ")
			}
		default:
			r.text.WriteString(" " + value + " ")
		}
	case "select":
		r.pick = picking{open: true}
	case "option":
		r.endOption()
		_, r.pick.picked = has("selected")
		r.pick.inOption = r.pick.open
	}
}

// endOption keeps the option at hand where it is the one that the page shows: the picked one, else the first.
func (r *htmlReader) endOption() {
	p := &r.pick
	if p.inOption && (p.picked || !p.any) {
		p.shown = p.text
	}
	p.any = p.any || p.inOption
	p.inOption, p.text = false, ""
}

// endSelect writes what the list of options shows.
func (r *htmlReader) endSelect() {
	r.endOption()
	r.text.WriteString(" " + r.pick.shown + " ")
	r.pick = picking{}
}

// cutShort refuses the row at which a page ends before its table does: a cell of it may be cut.
func (r *htmlReader) cutShort() (Row, bool, error) {
	r.endCell()
	if r.fresh || !r.inRow {
		r.begin(r.line + 1)
	}
	r.fresh, r.inRow, r.finished = false, false, true
	row, err := r.end()
	if err == nil {
		err = r.t.rowError(r.line, "the end of the table", endOfPage, "the page may be cut: save it whole")
	}
	return row, true, err
}

const endOfPage = "the end of the page"

// isCutShort: a row is the one at which the page ends.
func isCutShort(err error) bool {
	bad, ok := errors.AsType[*RowError](err)
	return ok && bad.Found == endOfPage
}
