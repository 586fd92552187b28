package listing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strconv"
	"strings"
)

// sheetSource streams one sheet of a workbook.
type sheetSource struct {
	t    *Table
	w    *workbook
	part string
	read *mergedRanges // nil: not yet
}

func (s *sheetSource) layout(layoutChoice) (encoding, separator string) { return "", "" }

func (s *sheetSource) rows(choice layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		merges, err := s.mergesOnce()
		if err != nil {
			yield(Row{}, s.broken(err))
			return
		}
		d, closer, err := s.w.decoder(s.part)
		if d == nil || err != nil {
			yield(Row{}, s.broken(err))
			return
		}
		defer closer.Close()
		r := sheetReader{grid: newGrid(s.t, choice), w: s.w, d: d}
		r.merges = merges
		yieldRows(r.grid, r.next, s.broken, yield)
	}
}

// yieldRows yields rows until next gives io.EOF, and goes on after a row that cannot be read. At the end
// the table knows what was hidden.
func yieldRows(g *grid, next func() (Row, error), broken func(error) error, yield func(Row, error) bool) {
	defer func() { g.t.LeftOut = g.seen }()
	for {
		row, err := next()
		if err == io.EOF {
			return
		}
		var bad *RowError
		if err != nil && !errors.As(err, &bad) {
			yield(row, broken(err))
			return
		}
		if !yield(row, err) {
			return
		}
	}
}

func (s *sheetSource) broken(err error) error { return s.t.broken(err) }

// broken says that a sheet could not be read to its end.
func (t *Table) broken(err error) error {
	var fe *FileError
	if errors.As(err, &fe) {
		return fe
	}
	return &FileError{
		File: t.File, Trouble: t.called() + " could not be read to its end", Err: err,
		Hint: "open the file in the program that made it and save it again",
	}
}

// sheetReader walks the XML of a sheet row by row.
type sheetReader struct {
	*grid
	w        *workbook
	d        *partReader
	raw      []byte
	formula  []byte
	noResult int // column from 1 of a formula in this row whose result is not stored
}

// next gives the next <row>; io.EOF after the last one.
func (r *sheetReader) next() (Row, error) {
	line := r.line
	for {
		token, err := r.d.next()
		if err != nil {
			return Row{}, err
		}
		switch el := token.el; token.kind {
		case openingTag:
			switch el.Name.Local {
			case "col":
				r.column(el)
			case "row":
				line++
				if n, err := strconv.Atoi(attr(el, "r")); err == nil && n >= line {
					line = n
				}
				r.begin(line)
				row, err := r.wholeRow()
				if r.pass(isTrue(attr(el, "hidden")), err) {
					continue
				}
				return row, err
			}
		case closingTag:
			if el.Name.Local == "sheetData" {
				return Row{}, io.EOF
			}
		}
	}
}

// column notes columns that are hidden, before the rows.
func (r *sheetReader) column(el xml.StartElement) {
	from, errFrom := strconv.Atoi(attr(el, "min"))
	to, errTo := strconv.Atoi(attr(el, "max"))
	if isTrue(attr(el, "hidden")) && errFrom == nil && errTo == nil {
		r.hide(from-1, to-1)
	}
}

func (r *sheetReader) wholeRow() (Row, error) {
	column := 0
	r.noResult = 0
	for {
		token, err := r.d.next()
		if err != nil {
			return Row{Line: r.line}, err
		}
		switch el := token.el; token.kind {
		case openingTag:
			if el.Name.Local != "c" {
				continue
			}
			if n := columnNumber(attr(el, "r")); n > 0 {
				column = n - 1
			}
			c, err := r.cell(el, column)
			if err != nil {
				return Row{Line: r.line}, err
			}
			r.put(column, c)
			column++
		case closingTag:
			if el.Name.Local != "row" {
				continue
			}
			row, err := r.end()
			if err == nil && r.noResult > 0 {
				err = r.uncomputed(r.noResult)
			}
			return row, err
		}
	}
}

// uncomputed: a program wrote a formula and left it to be computed by whoever opens the sheet.
func (g *grid) uncomputed(column int) *RowError {
	err := g.t.rowError(g.line, "a value", "a formula whose result is not stored",
		"open the workbook in a spreadsheet program, which computes it, and save it")
	err.Column = columnName(column)
	return err
}

// cell reads <c> up to its end tag.
func (r *sheetReader) cell(el xml.StartElement, column int) (cell, error) {
	kind, style := attr(el, "t"), attr(el, "s")
	inValue, inFormula, hasFormula, hasValue, struck := false, false, false, false, r.w.isStruck(style)
	r.raw, r.formula = r.raw[:0], r.formula[:0]
	for len(r.raw) <= r.t.limits.MaxLine {
		token, err := r.d.next()
		if err != nil {
			return cell{}, err
		}
		switch el := token.el; token.kind {
		case openingTag:
			inValue, inFormula = el.Name.Local == "v", el.Name.Local == "f"
			hasValue, hasFormula = hasValue || inValue, hasFormula || inFormula
			if el.Name.Local == "is" {
				text, partly, err := struckText(r.d, "is")
				struck = struck || partly
				if err != nil {
					return cell{}, err
				}
				r.raw = append(r.raw, text...)
			}
		case plainToken:
			if inValue {
				r.raw = append(r.raw, token.text...)
			}
			if inFormula && len(r.formula) <= mostFormula {
				r.formula = append(r.formula, token.text...)
			}
		case closingTag:
			inValue, inFormula = false, false
			if el.Name.Local == "c" {
				// A result that is an empty text is stored as one.
				if hasFormula && len(r.raw) == 0 && !(kind == "str" && hasValue) {
					return r.worked(style, column), nil
				}
				c := r.value(kind, style, string(r.raw))
				c.struck = struck || kind == "s" && r.w.isStruckText(string(r.raw))
				return c, nil
			}
		}
	}
	return cell{}, &FileError{File: r.t.File, Trouble: fmt.Sprintf("a cell in row %d is too large", r.line)}
}

// worked gives the result of a formula of figures that was left to be computed, and notes any other.
func (r *sheetReader) worked(style string, column int) cell {
	if result, ok := computed(string(r.formula)); ok {
		return r.value("", style, result)
	}
	if r.hidden || !r.hides(column) {
		r.noResult = column + 1
	}
	return cell{}
}

// value turns what is stored into text.
func (r *sheetReader) value(kind, style, raw string) cell {
	switch kind {
	case "s":
		if n, err := strconv.Atoi(strings.TrimSpace(raw)); err == nil && n >= 0 && n < len(r.w.strings) {
			return cell{text: r.w.strings[n]}
		}
		return cell{}
	case "str", "inlineStr", "e":
		return cell{text: plainText(raw)}
	case "b":
		if raw == "1" {
			return cell{text: "TRUE"}
		}
		return cell{text: "FALSE"}
	case "d":
		return cell{text: plainText(raw), kind: cellDate}
	}
	raw = plainText(strings.TrimSpace(raw))
	if raw == "" {
		return cell{}
	}
	var f cellFormat
	if n, err := strconv.Atoi(style); err == nil && n >= 0 && n < len(r.w.formats) {
		f = r.w.formats[n]
	}
	return f.show(raw, r.w.epoch1904)
}

// mergedRanges are those of a sheet, or why they cannot be read.
type mergedRanges struct {
	all []merge
	err error
}

// mergesOnce reads the merged ranges once: every pass over the rows needs them, and they stand at the
// end. The reader takes them off, so each pass has its own list.
func (s *sheetSource) mergesOnce() ([]merge, error) {
	if s.read == nil {
		all, err := s.merges()
		s.read = &mergedRanges{all, err}
		s.w.merged -= len(all)
	}
	return s.read.all, s.read.err
}

// merges reads the merged ranges, which stand behind the rows, by skipping the rows unparsed.
func (s *sheetSource) merges() ([]merge, error) {
	part, err := s.w.open(s.part)
	if part == nil || err != nil {
		return nil, err
	}
	defer part.Close()
	rest, err := skipRows(part)
	if err != nil {
		return nil, err
	}
	var out []merge
	d := xml.NewDecoder(rest)
	d.Strict = false
	for {
		token, err := d.RawToken()
		if err == io.EOF {
			slices.SortFunc(out, func(a, b merge) int { return a.top - b.top })
			return out, nil
		}
		if err != nil {
			return out, err
		}
		el, ok := token.(xml.StartElement)
		if !ok || el.Name.Local != "mergeCell" {
			continue
		}
		if m, ok := parseRange(attr(el, "ref")); ok && (m.bottom > m.top || m.right > m.left) {
			if len(out) >= s.w.merged {
				return nil, &FileError{File: s.t.File, Trouble: fmt.Sprintf("the workbook has more than %d merged ranges", s.t.limits.MaxMerges), Hint: "undo them, or save the sheet as .csv"}
			}
			out = append(out, m)
		}
	}
}

// skipRows gives what stands behind the end tag of sheetData.
func skipRows(r io.Reader) (io.Reader, error) {
	name := []byte("sheetData>")
	buf, kept := make([]byte, 64<<10), 0
	for {
		n, err := r.Read(buf[kept:])
		chunk := buf[:kept+n]
		for from := 0; ; {
			i := bytes.Index(chunk[from:], name)
			if i < 0 {
				break
			}
			at := from + i
			from = at + len(name)
			if tag := chunk[bytes.LastIndexByte(chunk[:at], '<')+1 : at]; len(tag) > 0 && tag[0] == '/' {
				return io.MultiReader(bytes.NewReader(chunk[from:]), r), nil
			}
		}
		if err == io.EOF {
			return bytes.NewReader(nil), nil
		}
		if err != nil {
			return nil, err
		}
		// Keep enough for a tag that the end of the buffer cuts.
		kept = copy(buf, chunk[max(0, len(chunk)-64):])
	}
}

func parseRange(ref string) (merge, bool) {
	from, to, ok := strings.Cut(ref, ":")
	m := merge{left: columnNumber(from), right: columnNumber(to)}
	var errTop, errBottom error
	m.top, errTop = strconv.Atoi(strings.TrimLeft(from, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	m.bottom, errBottom = strconv.Atoi(strings.TrimLeft(to, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	return m, ok && errTop == nil && errBottom == nil && m.left > 0 && m.right >= m.left && m.top > 0
}

// columnName gives "A" for 1, "AB" for 28.
func columnName(n int) string {
	name := ""
	for ; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// columnNumber gives 1 for "A1", 28 for "AB7", 0 for no cell name.
func columnNumber(name string) int {
	n := 0
	for i := 0; i < len(name) && name[i] >= 'A' && name[i] <= 'Z'; i++ {
		if n = n*26 + int(name[i]-'A') + 1; n > 1<<20 {
			return 0
		}
	}
	return n
}
