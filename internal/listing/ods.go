package listing

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"iter"
)

// Open spreadsheets of ISO/IEC 26300 (OpenDocument): all sheets lie one behind another in one part. Names
// of elements and attributes are those of its part 3, section 9; they are told apart without their prefix.

const odsContent = "content.xml"

// odsSource streams one sheet.
type odsSource struct {
	t      *Table
	a      *archive
	struck map[string]bool // styles whose text is struck out
	from   int64           // where its first element stands in the unpacked part
}

func (s *odsSource) layout(layoutChoice) (encoding, separator string) { return "", "" }

// openODS finds the sheets and which of them are hidden.
func openODS(a *archive) ([]*Table, error) {
	var tables []*Table
	hides := map[string]bool{} // styles whose sheets are not displayed
	struck := map[string]bool{}
	style, depth := "", 0
	skipped := int64(0)
	err := a.each(odsContent, func(d *partReader, el xml.StartElement) error {
		switch el.Name.Local {
		case "style":
			style = attr(el, "name")
		case "table-properties":
			if attr(el, "display") == "false" {
				hides[style] = true
				return cmp.Or(a.keep(style), atMost(a, len(hides), a.limits.MaxStyles))
			}
		case "text-properties":
			if line := attr(el, "text-line-through-style"); line != "" && line != "none" {
				struck[style] = true
				return cmp.Or(a.keep(style), atMost(a, len(struck), a.limits.MaxStyles))
			}
		case "annotation":
			a.comments++
		case "table":
			if el.Name.Space != "table" || d.depth > depth && depth > 0 {
				return nil // a table inside a cell
			}
			depth = d.depth
			t := &Table{File: a.file, Name: attr(el, "name"), Hidden: hides[attr(el, "style-name")], limits: a.limits}
			t.src = &odsSource{t: t, a: a, struck: struck, from: d.InputOffset()}
			tables = append(tables, t)
			if skipped += d.InputOffset(); skipped > a.limits.MaxUnzipped {
				return tooLarge(a.file)
			}
			return cmp.Or(a.keep(t.Name), tooManySheets(a, len(tables)))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return filled(tables), nil
}

func atMost(a *archive, n, most int) error {
	if n > most {
		return tooLarge(a.file)
	}
	return nil
}

func tooManySheets(a *archive, n int) error {
	if n <= a.limits.MaxSheets {
		return nil
	}
	return &FileError{File: a.file, Trouble: fmt.Sprintf("the workbook has more than %d sheets", a.limits.MaxSheets), Hint: "split it"}
}

func (s *odsSource) rows(choice layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		part, err := s.a.open(odsContent)
		if part == nil || err != nil {
			yield(Row{}, s.t.broken(err))
			return
		}
		defer part.Close()
		if _, err := io.CopyN(io.Discard, part, s.from); err != nil {
			yield(Row{}, s.t.broken(err))
			return
		}
		r := odsReader{grid: newGrid(s.t, choice), d: newPartReader(part, s.a.file), struckStyles: s.struck}
		yieldRows(r.grid, r.next, s.t.broken, yield)
	}
}

// odsReader walks the rows of a sheet.
type odsReader struct {
	*grid
	d            *partReader
	column       int // of the next column or cell
	again        int // how often the row at hand comes once more
	struckStyles map[string]bool
	partly       bool // a part of the cell at hand is struck out
	noValue      int  // column from 1 of a formula in this row without a result
	hides        bool
}

// mostRepeats is how often one row that holds something may be repeated.
const mostRepeats = 1000

// next gives the next row that holds anything; io.EOF after the last one.
func (r *odsReader) next() (Row, error) {
	if r.again > 0 {
		r.again--
		r.line++
		r.clearCarried()
		r.filled += len(r.row.Cells)
		return r.whole()
	}
	for {
		token, err := r.d.next()
		if err != nil {
			return Row{}, err
		}
		switch el := token.el; token.kind {
		case openingTag:
			switch el.Name.Local {
			case "table-column":
				n := repeats(el, "number-columns-repeated")
				if isCollapsed(el) {
					r.hide(r.column, r.column+n-1)
				}
				r.column = min(r.column+n, mostRows)
			case "table": // the sheet at hand was empty
				return Row{}, io.EOF
			case "table-row":
				row, err := r.wholeRow(el)
				if passed := r.pass(r.hides, err); !passed && (err != nil || len(row.Cells) > 0) {
					return row, err
				}
				r.line, r.again = r.line+r.again, 0
			}
		case closingTag:
			if el.Name.Local == "table" {
				return Row{}, io.EOF
			}
		}
	}
}

// wholeRow reads a row up to its end tag.
func (r *odsReader) wholeRow(el xml.StartElement) (Row, error) {
	r.begin(r.line + 1)
	r.column, r.noValue, r.hides = 0, 0, isCollapsed(el)
	r.again = repeats(el, "number-rows-repeated") - 1
	for {
		token, err := r.d.next()
		if err != nil {
			return Row{Line: r.line}, err
		}
		switch el := token.el; token.kind {
		case openingTag:
			covered := el.Name.Local == "covered-table-cell"
			if el.Name.Local != "table-cell" && !covered {
				continue
			}
			if err := r.cell(el, covered); err != nil {
				return Row{Line: r.line}, err
			}
		case closingTag:
			if el.Name.Local != "table-row" {
				continue
			}
			row, err := r.whole()
			if len(row.Cells) > 0 && r.again > mostRepeats && err == nil {
				err = r.refuse(fmt.Sprintf("row %d of %s is repeated %d times", r.line, r.t.called(), r.again+1), "delete the repeats, or save the sheet as .csv")
			}
			return row, err
		}
	}
}

// whole ends the row at hand.
func (r *odsReader) whole() (Row, error) {
	row, err := r.end()
	if err == nil && r.noValue > 0 {
		err = r.uncomputed(r.noValue)
	}
	return row, err
}

// cell reads a cell up to its end tag and puts it as often as it is repeated.
func (r *odsReader) cell(el xml.StartElement, covered bool) error {
	shown, err := r.text(el.Name.Local)
	if err != nil {
		return err
	}
	n, at := repeats(el, "number-columns-repeated"), r.column
	r.column = min(r.column+n, mostRows)
	if covered {
		return nil
	}
	c := odsValue(el, shown)
	formula := ""
	if c.text == "" {
		formula = attr(el, "formula")
	}
	if result, ok := computed(formula); ok {
		c = cell{text: result, kind: cellNumber}
	}
	if c.text == "" {
		if formula != "" && attr(el, "value-type") == "" && at < r.t.limits.MaxCols && (r.hidden || !r.grid.hides(at)) {
			r.noValue = at + 1
		}
		return nil
	}
	c.struck = r.partly || r.struckStyles[attr(el, "style-name")]
	for i := range min(n, max(1, r.t.limits.MaxCols-at+1)) {
		r.put(at+i, c)
		r.filled += min(i, 1)
	}
	wide, high := repeats(el, "number-columns-spanned"), repeats(el, "number-rows-spanned")
	if (wide > 1 || high > 1) && len(r.merges) < r.t.limits.MaxMerges {
		r.merges = append(r.merges, merge{top: r.line, bottom: r.line + high - 1, left: at + 1, right: at + wide})
	}
	return nil
}

// text gathers the paragraphs of a cell, without its notes and drawings.
func (r *odsReader) text(end string) (string, error) {
	t := odsText{most: r.t.limits.MaxLine}
	r.partly = false
	for {
		token, err := r.d.next()
		if err != nil {
			return "", err
		}
		switch el := token.el; token.kind {
		case openingTag:
			t.start(el)
			r.partly = r.partly || el.Name.Local == "span" && r.struckStyles[attr(el, "style-name")]
		case plainToken:
			t.add(token.text)
		case closingTag:
			if t.aside == 0 && t.paragraphs == 0 && el.Name.Local == end {
				return plainText(t.String()), nil
			}
			t.stop(el.Name)
		}
		if t.Len() > t.most {
			return "", r.refuse(fmt.Sprintf("a cell in row %d is too large", r.line), "shorten it")
		}
	}
}
