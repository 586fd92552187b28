package listing

import (
	"fmt"
	"io"
	"iter"
	"strconv"
	"strings"
)

// Symbolic link files: a record a line, fields between semicolons, a letter in front of each. Cells stand
// with their column X and row Y; what is left out is that of the record before (common practice, from
// memory: there is no standard).

// lineSource is a text whose tables are written record by record.
type lineSource struct {
	t    *Table
	text *page
	read func(*grid, *lineReader) func() (Row, error)
}

func (s *lineSource) layout(layoutChoice) (encoding, separator string) { return s.text.encoding, "" }

func (s *lineSource) rows(choice layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		g := newGrid(s.t, choice)
		lines := newLineReader(s.text.reader(), '\n', s.t.limits.MaxLine)
		yieldRows(g, s.read(g, lines), s.t.broken, yield)
	}
}

func openLines(name string, src io.ReaderAt, size int64, lim Limits, read func(*grid, *lineReader) func() (Row, error)) ([]*Table, error) {
	p := &page{src: src, size: size}
	var err error
	if p.encoding, p.bom, err = sniffEncoding(src, size); err != nil {
		return nil, &FileError{File: name, Trouble: "it could not be read", Err: err}
	}
	t := &Table{File: name, limits: lim}
	t.src = &lineSource{t: t, text: p, read: read}
	return []*Table{t}, nil
}

func openSYLK(name string, src io.ReaderAt, size int64, lim Limits) ([]*Table, error) {
	return openLines(name, src, size, lim, func(g *grid, lines *lineReader) func() (Row, error) {
		return (&sylkReader{grid: g, lines: lines, y: 1, x: 1}).next
	})
}

// next gives the next line without its end; io.EOF after the last.
func (lr *lineReader) next(file string) (string, error) {
	end, ok := lr.find(0)
	switch {
	case !ok:
		return "", &FileError{File: file, Trouble: fmt.Sprintf("line %d is longer than %d bytes", lr.line+1, lr.maxLine), Hint: "save it as .csv"}
	case end == 0 && lr.failed() != nil:
		return "", lr.failed()
	case end == 0:
		return "", io.EOF
	}
	s := cleanText(trimNewline(lr.buf[lr.start : lr.start+end]))
	lr.start += end
	lr.line++
	return s, nil
}

// sylkReader puts the cells of one row together.
type sylkReader struct {
	*grid
	lines   *lineReader
	formats []cellFormat // in the order of their records
	style   int          // of the cell at x, y, from 0; -1: none
	x, y    int
	begun   bool
	ended   bool
	waits   bool // the cell at x, y, held in cell, begins the next row
	cell    cell
}

func (r *sylkReader) next() (Row, error) {
	if r.waits {
		r.waits = false
		r.take()
	}
	for !r.ended {
		line, err := r.lines.next(r.t.File)
		switch {
		case err == io.EOF:
			r.ended = true
		case err != nil:
			return Row{}, err
		default:
			if err := r.record(line); err != nil {
				return Row{}, err
			}
		}
		if r.waits {
			break
		}
	}
	if !r.begun {
		return Row{}, io.EOF
	}
	r.begun = r.waits
	return r.end()
}

// record takes a line in.
func (r *sylkReader) record(line string) error {
	fields := sylkFields(line)
	switch fields[0] {
	case "E":
		r.ended = true
	case "P":
		for _, f := range fields[1:] {
			if code, ok := strings.CutPrefix(f, "P"); ok && len(r.formats) < r.t.limits.MaxStyles {
				r.formats = append(r.formats, formatOf("", code))
			}
		}
	case "F":
		r.style = -1
		if err := r.goTo(fields[1:]); err != nil {
			return err
		}
		for _, f := range fields[1:] {
			if n, err := strconv.Atoi(strings.TrimPrefix(f, "P")); err == nil && strings.HasPrefix(f, "P") {
				r.style = n
			}
		}
	case "C":
		x, y := r.x, r.y
		if err := r.goTo(fields[1:]); err != nil {
			return err
		}
		if r.x != x || r.y != y {
			r.style = -1 // a format stands in the record before its cell, and names its place
		}
		return r.value(fields[1:])
	}
	return nil
}

// goTo moves to the place that a record names.
func (r *sylkReader) goTo(fields []string) error {
	for _, f := range fields {
		if f == "" || f[0] != 'X' && f[0] != 'Y' {
			continue
		}
		n, err := strconv.Atoi(f[1:])
		if err != nil || n < 1 || n > mostRows {
			return r.refuse(fmt.Sprintf("line %d: expected a column or a row from 1 to %d, found %s", r.lines.line, mostRows, quoteShort(f[1:])), "save it as .csv")
		}
		if f[0] == 'X' {
			r.x = n
		} else {
			r.y = n
		}
	}
	return nil
}

// value takes the value of a cell.
func (r *sylkReader) value(fields []string) error {
	for _, f := range fields {
		if f == "" || f[0] != 'K' {
			continue
		}
		r.cell = r.typed(f[1:])
		if r.begun && r.y < r.line {
			return r.refuse(fmt.Sprintf("line %d: row %d stands behind row %d", r.lines.line, r.y, r.line), "save it as .csv")
		}
		if r.begun && r.y > r.line {
			r.waits = true
			return nil
		}
		r.take()
	}
	return nil
}

// take puts the cell at hand, and begins its row where it is the first.
func (r *sylkReader) take() {
	if r.y != r.line || !r.begun {
		r.begin(r.y)
		r.begun = true
	}
	r.put(r.x-1, r.cell)
}

func (r *sylkReader) typed(s string) cell {
	if text, ok := strings.CutPrefix(s, `"`); ok {
		return cell{text: strings.TrimSuffix(text, `"`)}
	}
	if s == "TRUE" || s == "FALSE" || strings.HasPrefix(s, "#") {
		return cell{text: s}
	}
	var f cellFormat
	if r.style >= 0 && r.style < len(r.formats) {
		f = r.formats[r.style]
	}
	return f.show(s, false)
}

// sylkFields cuts a line at its semicolons; two of them are one that is meant.
func sylkFields(line string) []string {
	const mark = "\x00" // no letter of a text, which is clean
	fields := strings.Split(strings.ReplaceAll(line, ";;", mark), ";")
	for i, f := range fields {
		fields[i] = strings.ReplaceAll(f, mark, ";")
	}
	return fields
}
