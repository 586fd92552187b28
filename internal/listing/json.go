package listing

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"strconv"
)

// JSON (RFC 8259) and JSON Lines: rows are lists of cells, or objects whose names are headings. They stand
// in one list, one behind another, or in lists that an object names. A document is read twice: the
// headings of objects are known only at its end.

// jsonSource streams the rows of one list.
type jsonSource struct {
	t    *Table
	text *page
	form jsonForm
	key  string   // of the list within an object
	keys []string // headings, where rows are objects
}

// jsonForm is how the rows of a document stand.
type jsonForm uint8

const (
	jsonLines jsonForm = iota // one behind another
	jsonList                  // in one list
	jsonNamed                 // in lists that an object names
)

func (s *jsonSource) layout(layoutChoice) (encoding, separator string) { return s.text.encoding, "" }

// openJSON finds the lists of rows and their headings.
func openJSON(name string, src io.ReaderAt, size int64, lim Limits) ([]*Table, error) {
	p := &page{src: src, size: size}
	var err error
	if p.encoding, p.bom, err = sniffEncoding(src, size); err != nil {
		return nil, &FileError{File: name, Trouble: "it could not be read", Err: err}
	}
	r := newJSONReader(name, p, lim)
	form, keys, err := r.form()
	if err != nil {
		return nil, r.broken(err)
	}
	if form != jsonNamed {
		keys = []string{""}
	}
	if len(keys) > lim.MaxSheets {
		return nil, &FileError{File: name, Trouble: fmt.Sprintf("the document has more than %d lists", lim.MaxSheets), Hint: "split it"}
	}
	var tables []*Table
	for _, key := range keys {
		t := &Table{File: name, Name: key, limits: lim, beside: r.beside}
		s := &jsonSource{t: t, text: p, form: form, key: key}
		t.src = s
		some, err := s.findKeys()
		if err != nil {
			return nil, err
		}
		if some {
			tables = append(tables, t)
		}
	}
	if len(tables) == 0 {
		return nil, &FileError{File: name, Trouble: "this JSON document holds no rows", Hint: "rows are lists, or objects with the headings as names"}
	}
	return tables, nil
}

// findKeys gathers the headings in the order in which they come first; some tells whether there are rows.
func (s *jsonSource) findKeys() (some bool, err error) {
	known := map[string]bool{}
	_, err = s.each(func(row jsonRow) bool {
		some = true
		for _, key := range row.keys {
			if !known[key] && len(s.keys) <= s.t.limits.MaxCols {
				known[key] = true
				s.keys = append(s.keys, key)
			}
		}
		return true
	})
	if len(s.keys) > s.t.limits.MaxCols {
		return false, &FileError{File: s.t.File, Trouble: fmt.Sprintf("its objects have more than %d names", s.t.limits.MaxCols), Hint: "name columns, not rows"}
	}
	return some, err
}

// each gives every row; it ends early when take is false.
func (s *jsonSource) each(take func(jsonRow) bool) (*jsonReader, error) {
	r := newJSONReader(s.t.File, s.text, s.t.limits)
	inside, err := r.enter(s.form, s.key)
	for err == nil {
		if inside && !r.d.More() {
			more, err := r.endOfList(s.form)
			if err != nil {
				return r, r.broken(err)
			}
			if !more {
				return r, nil
			}
			continue
		}
		var row jsonRow
		if row, err = r.row(); err != nil {
			break
		}
		for one := range row.spread() {
			if !take(one) {
				return r, nil
			}
		}
	}
	if err == io.EOF && !inside {
		return r, nil
	}
	return r, r.broken(err)
}

func (s *jsonSource) rows(layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		line := 0
		if len(s.keys) > 0 {
			line++
			if !yield(Row{Line: line, Cells: slices.Clone(s.keys)}, nil) {
				return
			}
		}
		at := map[string]int{}
		for i, key := range s.keys {
			at[key] = i
		}
		stopped := false
		_, err := s.each(func(r jsonRow) bool {
			line++
			row, err := s.row(r, at, line)
			stopped = !yield(row, err)
			return !stopped
		})
		if err != nil && !stopped {
			yield(Row{}, err)
		}
	}
}

// row puts the cells of an object under their headings; those of a list stand as they are.
func (s *jsonSource) row(r jsonRow, at map[string]int, line int) (Row, error) {
	row := Row{Line: line}
	if r.trouble != "" {
		return row, s.t.rowError(line, "a value under each name, once", r.trouble, "write one row for each")
	}
	if len(r.keys) == 0 && len(r.cells) > s.t.limits.MaxCols {
		return row, s.t.tooWide(line)
	}
	n := len(r.cells)
	if len(r.keys) > 0 {
		n = len(s.keys)
	}
	row.Cells, row.kinds = make([]string, n), make([]cellKind, n)
	for i, c := range r.cells {
		to := i
		if len(r.keys) > 0 {
			to = at[r.keys[i]]
		}
		row.Cells[to], row.kinds[to] = c.text, c.kind
	}
	return row, nil
}

// jsonRow is one row; keys stand beside the cells where it is an object.
type jsonRow struct {
	keys    []string
	cells   []cell
	trouble string          // why it cannot be read
	inner   json.RawMessage // the list of rows that lies in it
	key     string          // its name
}

// jsonReader reads the values of a document, none of which may be larger than a row.
type jsonReader struct {
	file   string
	d      *json.Decoder
	bound  *boundedRow
	limits Limits
	beside []string // plain members beside the lists of a document
}

func newJSONReader(file string, p *page, lim Limits) *jsonReader {
	b := &boundedRow{r: p.reader(), most: int64(lim.MaxLine) + 64<<10}
	d := json.NewDecoder(b)
	d.UseNumber()
	return &jsonReader{file: file, d: d, bound: b, limits: lim}
}

var errRowTooLong = errors.New("a row is too long")

// boundedRow bounds the bytes that are read before a row ends; the decoder holds them in memory.
type boundedRow struct {
	r    io.Reader
	most int64
	read int64 // since the last row
}

func (b *boundedRow) Read(p []byte) (int, error) {
	if b.read > b.most {
		return 0, errRowTooLong
	}
	n, err := b.r.Read(p[:min(len(p), 32<<10)])
	b.read += int64(n)
	return n, err
}

// broken words what is wrong with a document.
func (r *jsonReader) broken(err error) error {
	var fe *FileError
	switch {
	case errors.As(err, &fe):
		return fe
	case errors.Is(err, errRowTooLong):
		return &FileError{File: r.file, Trouble: fmt.Sprintf("near byte %d stands a row of more than %d bytes", r.d.InputOffset(), r.limits.MaxLine), Hint: "a row is a list of cells, or an object with the headings as names"}
	case errors.Is(err, errMoreBehind):
		return &FileError{File: r.file, Trouble: fmt.Sprintf("behind the end of its rows, near byte %d, stands more, which would be lost", r.d.InputOffset()), Hint: "write all rows into one list, or one a line"}
	case err == io.EOF:
		err = io.ErrUnexpectedEOF
	}
	return &FileError{File: r.file, Trouble: fmt.Sprintf("it is no sound JSON from byte %d on", r.d.InputOffset()), Hint: "have it written again by the program that made it", Err: err}
}

// value reads one value whole.
func (r *jsonReader) value() (json.RawMessage, error) {
	var raw json.RawMessage
	err := r.d.Decode(&raw)
	r.bound.read = 0
	return raw, err
}

// row reads the next value as a row.
func (r *jsonReader) row() (jsonRow, error) {
	raw, err := r.value()
	if err != nil {
		return jsonRow{}, err
	}
	var row jsonRow
	switch raw[0] {
	case '{':
		row.object("", raw, 0)
	case '[':
		row.list(raw)
	default:
		row.cells = []cell{scalar(raw)}
	}
	if len(row.keys) > 0 {
		row.once()
	}
	return row, nil
}

// once refuses a name that comes twice: which of the two holds, nobody can tell.
func (row *jsonRow) once() {
	known := make(map[string]bool, len(row.keys))
	for _, key := range row.keys {
		if known[key] && row.trouble == "" {
			row.trouble = fmt.Sprintf("%s twice", quoteShort(key))
		}
		known[key] = true
	}
}

// list takes the cells of a row that is a list.
func (row *jsonRow) list(raw json.RawMessage) {
	for _, item := range elements(raw) {
		row.cells = append(row.cells, row.cell(item))
	}
}

// mostNested is how deep objects in a row may lie in each other.
const mostNested = 4

// object takes the members of an object; those of objects in it have both names, "point.loop".
func (row *jsonRow) object(prefix string, raw json.RawMessage, depth int) {
	d := json.NewDecoder(bytes.NewReader(raw))
	if _, err := d.Token(); err != nil {
		return
	}
	for d.More() {
		token, err := d.Token()
		name, ok := token.(string)
		var value json.RawMessage
		if err != nil || !ok || d.Decode(&value) != nil {
			return
		}
		name = prefix + plainText(name)
		if value[0] == '{' && depth < mostNested {
			row.object(name+".", value, depth+1)
			continue
		}
		if row.inner == nil && isListOfRows(value) {
			row.inner, row.key = value, name
			continue
		}
		row.keys = append(row.keys, name)
		row.cells = append(row.cells, row.cell(value))
	}
}

// cell gives a value; a list of plain ones is several samples.
func (row *jsonRow) cell(raw json.RawMessage) cell {
	switch raw[0] {
	case '{':
		row.trouble = "an object inside a cell"
		return cell{}
	case '[':
		var text []byte
		for i, item := range elements(raw) {
			if item[0] == '{' || item[0] == '[' {
				row.trouble = "rows inside a cell"
				return cell{}
			}
			if i > 0 {
				text = append(text, ';')
			}
			text = append(text, scalar(item).text...)
		}
		return cell{text: string(text)}
	}
	return scalar(raw)
}

// scalar gives a text, a number, a yes or no, or nothing.
func scalar(raw json.RawMessage) cell {
	switch raw[0] {
	case '"':
		var s string
		if json.Unmarshal(raw, &s) != nil {
			return cell{}
		}
		return cell{text: plainText(s)}
	case 't':
		return cell{text: "TRUE"}
	case 'f':
		return cell{text: "FALSE"}
	case 'n':
		return cell{}
	}
	v, err := strconv.ParseFloat(string(raw), 64)
	if err != nil {
		return cell{text: string(raw)} // beyond what a number holds
	}
	return cell{text: plainDigits(string(raw), v), kind: cellNumber}
}

func elements(raw json.RawMessage) []json.RawMessage {
	var items []json.RawMessage
	if json.Unmarshal(raw, &items) != nil {
		return nil
	}
	return items
}
