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

func (s *sheetSource) rows(layoutChoice) iter.Seq2[Row, error] {
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
		r := sheetReader{sheetSource: s, d: d, merges: merges}
		for {
			row, err := r.next()
			if err == io.EOF {
				return
			}
			var tooWide *RowError
			if err != nil && !errors.As(err, &tooWide) {
				yield(row, s.broken(err))
				return
			}
			if !yield(row, err) {
				return
			}
		}
	}
}

func (s *sheetSource) broken(err error) error {
	var fe *FileError
	if errors.As(err, &fe) {
		return fe
	}
	return &FileError{
		File: s.t.File, Trouble: fmt.Sprintf("sheet %q could not be read to its end", s.t.Name), Err: err,
		Hint: "open the workbook in a spreadsheet program and save it again",
	}
}

// sheetReader walks the XML of a sheet row by row.
type sheetReader struct {
	*sheetSource
	d      *partReader
	merges []merge  // still to come
	open   []*merge // by column
	filled int      // cells that took their value from a merged range
	line   int
	raw    []byte
	cells  []string
	kinds  []cellKind
}

// next gives the next <row>; io.EOF after the last one.
func (r *sheetReader) next() (Row, error) {
	for {
		token, err := r.d.RawToken()
		if err != nil {
			return Row{}, err
		}
		switch el := token.(type) {
		case xml.StartElement:
			if el.Name.Local != "row" {
				continue
			}
			r.line++
			if n, err := strconv.Atoi(attr(el, "r")); err == nil && n >= r.line {
				r.line = n
			}
			if r.line > mostRows {
				return Row{}, &FileError{File: r.t.File, Trouble: fmt.Sprintf("sheet %q has more than %d rows", r.t.Name, mostRows), Hint: "save the sheet as .csv, or split it"}
			}
			return r.row()
		case xml.EndElement:
			if el.Name.Local == "sheetData" {
				return Row{}, io.EOF
			}
		}
	}
}

func (r *sheetReader) row() (Row, error) {
	r.cells, r.kinds = r.cells[:0], r.kinds[:0]
	column, tooWide := 0, false
	for {
		token, err := r.d.RawToken()
		if err != nil {
			return Row{Line: r.line}, err
		}
		switch el := token.(type) {
		case xml.StartElement:
			if el.Name.Local != "c" {
				continue
			}
			if n := columnNumber(attr(el, "r")); n > 0 {
				column = n - 1
			}
			text, kind, err := r.cell(el)
			if err != nil {
				return Row{Line: r.line}, err
			}
			if text != "" && column < r.t.limits.MaxCols {
				r.put(column, text, kind)
			}
			tooWide = tooWide || text != "" && column >= r.t.limits.MaxCols
			column++
		case xml.EndElement:
			if el.Name.Local != "row" {
				continue
			}
			if r.carry(); r.filled > mostCarried {
				return Row{Line: r.line}, &FileError{File: r.t.File, Trouble: fmt.Sprintf("merged ranges of sheet %q fill more than %d cells", r.t.Name, mostCarried), Hint: "undo them, or save the sheet as .csv"}
			}
			row := Row{Line: r.line, Cells: r.cells, kinds: r.kinds}
			if tooWide {
				return row, r.t.tooWide(r.line)
			}
			return row, nil
		}
	}
}

func (r *sheetReader) put(column int, text string, kind cellKind) {
	for len(r.cells) <= column {
		r.cells = append(r.cells, "")
		r.kinds = append(r.kinds, 0)
	}
	r.cells[column], r.kinds[column] = text, kind
}

// cell reads <c> up to its end tag.
func (r *sheetReader) cell(el xml.StartElement) (string, cellKind, error) {
	kind, style := attr(el, "t"), attr(el, "s")
	inValue := false
	r.raw = r.raw[:0]
	for len(r.raw) <= r.t.limits.MaxLine {
		token, err := r.d.RawToken()
		if err != nil {
			return "", 0, err
		}
		switch el := token.(type) {
		case xml.StartElement:
			inValue = el.Name.Local == "v"
			if el.Name.Local == "is" {
				text, err := richText(r.d, "is")
				if err != nil {
					return "", 0, err
				}
				r.raw = append(r.raw, text...)
			}
		case xml.CharData:
			if inValue {
				r.raw = append(r.raw, el...)
			}
		case xml.EndElement:
			inValue = false
			if el.Name.Local == "c" {
				text, k := r.value(kind, style, string(r.raw))
				return text, k, nil
			}
		}
	}
	return "", 0, &FileError{File: r.t.File, Trouble: fmt.Sprintf("a cell in row %d is too large", r.line)}
}

// value turns what is stored into text.
func (r *sheetReader) value(kind, style, raw string) (string, cellKind) {
	switch kind {
	case "s":
		if n, err := strconv.Atoi(strings.TrimSpace(raw)); err == nil && n >= 0 && n < len(r.w.strings) {
			return r.w.strings[n], 0
		}
		return "", 0
	case "str", "inlineStr", "e":
		return plainText(raw), 0
	case "b":
		if raw == "1" {
			return "TRUE", 0
		}
		return "FALSE", 0
	case "d":
		return plainText(raw), cellDate
	}
	raw = plainText(strings.TrimSpace(raw))
	if raw == "" {
		return "", 0
	}
	var f cellFormat
	if n, err := strconv.Atoi(style); err == nil && n >= 0 && n < len(r.w.formats) {
		f = r.w.formats[n]
	}
	return f.show(raw, r.w.epoch1904)
}

// merge is a merged range over several rows; text is the value of its first cell once that was read.
type merge struct {
	top, bottom, left, right int
	text                     string
	kind                     cellKind
}

// carry fills the rows of a merged range with its value. Ranges come sorted by their first row; a
// column belongs to one range at a time, as spreadsheet programs see to.
func (r *sheetReader) carry() {
	for ; len(r.merges) > 0 && r.merges[0].top <= r.line; r.merges = r.merges[1:] {
		r.openMerge(r.merges[0])
	}
	for column, m := range r.open {
		switch {
		case m == nil:
		case m.bottom < r.line:
			r.open[column] = nil
		case m.text != "" && (column >= len(r.cells) || r.cells[column] == ""):
			r.put(column, m.text, m.kind|cellCarried)
			r.filled++
		}
	}
}

func (r *sheetReader) openMerge(m merge) {
	if r.line > m.top || m.left > len(r.cells) {
		return
	}
	m.text, m.kind = r.cells[m.left-1], r.kinds[m.left-1]
	for column := m.left - 1; column < min(m.right, r.t.limits.MaxCols); column++ {
		for len(r.open) <= column {
			r.open = append(r.open, nil)
		}
		r.open[column] = &m
	}
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
		if m, ok := parseRange(attr(el, "ref")); ok && m.bottom > m.top {
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
