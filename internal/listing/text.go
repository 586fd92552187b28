package listing

import (
	"bytes"
	"errors"
	"io"
	"iter"
)

// textSource is a text file with a separator or with aligned columns.
type textSource struct {
	doubted []byte // a word that two code pages read otherwise; nil: there is none
	t       *Table
	src     io.ReaderAt
	size    int64
	lay     textLayout // as sniffed, before any profile
}

type textLayout struct {
	encoding string
	bom      int64
	newline  byte
	dialect  // sep 0: columns aligned with spaces
	gutters  []gutter
	first    int // lines to pass over in front: "sep=;"
}

// sampleBytes is how much of a text is looked at to find its layout.
const sampleBytes = 64 << 10

func openText(name string, src io.ReaderAt, size int64, lim Limits) ([]*Table, error) {
	t := &Table{File: name, limits: lim}
	ts := &textSource{t: t, src: src, size: size}
	t.src = ts
	enc, bom, err := sniffEncoding(src, size)
	if err != nil {
		return nil, &FileError{File: name, Trouble: "it could not be read", Err: err}
	}
	if enc == "windows-1252" {
		w, err := sniffWestern(src, size)
		if err != nil {
			return nil, &FileError{File: name, Trouble: "it could not be read", Err: err}
		}
		if page, doubted := w.page(); doubted {
			ts.doubted = append([]byte{}, w.example...)
		} else {
			enc = page
		}
	}
	if ts.lay, err = ts.sniff(enc, bom, ""); err != nil {
		return nil, err
	}
	return []*Table{t}, nil
}

// sniff reads the start of the text and finds its line ends and separator.
func (ts *textSource) sniff(encoding string, bom int64, separator string) (textLayout, error) {
	lay := textLayout{encoding: encoding, bom: bom, newline: '\n'}
	sample := make([]byte, sampleBytes)
	n, err := io.ReadFull(decoder(ts.src, ts.size, encoding, bom), sample)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return lay, &FileError{File: ts.t.File, Trouble: "it could not be read", Err: err}
	}
	whole := n < len(sample)
	sample = sample[:n]
	if bom == 0 && looksBinary(sample) {
		return lay, &FileError{File: ts.t.File, Trouble: "this is no text and no workbook", Hint: "ask for the list as .xlsx or .csv"}
	}
	if bytes.IndexByte(sample, '\n') < 0 && bytes.IndexByte(sample, '\r') >= 0 {
		lay.newline = '\r'
	}
	if cut := bytes.LastIndexByte(sample, lay.newline); cut >= 0 && !whole {
		sample = sample[:cut+1]
	}
	candidates := []byte("\t;|,")
	if first := trimNewline(firstLine(sample, lay.newline)); len(first) == 5 && bytes.EqualFold(first[:4], []byte("sep=")) {
		lay.first, candidates = 1, first[4:]
	}
	if sep, named := separatorByte(separator); named {
		candidates = []byte{sep}
	}
	if candidates[0] != 0 {
		lay.dialect = ts.bestDialect(append(sample[:len(sample):len(sample)], ts.pieces(lay)...), lay.newline, candidates)
	}
	if lay.sep == 0 {
		lay.gutters = findGutters(textLines(sample, lay.newline))
	}
	return lay, nil
}

// Of a long text, some pieces further on are looked at too: how it begins may not be how it goes on.
const (
	furtherPieces = 3
	pieceBytes    = 16 << 10
)

// pieces gives whole lines from further on. One with an odd number of quotes is left out: it may begin
// inside a cell.
func (ts *textSource) pieces(lay textLayout) []byte {
	if ts.size < 2*sampleBytes {
		return nil
	}
	var out []byte
	for i := range furtherPieces {
		at := (ts.size / (furtherPieces + 1) * int64(i+1)) &^ 1 // letters of two bytes stay whole
		piece := make([]byte, pieceBytes)
		n, err := io.ReadFull(decoder(ts.src, min(ts.size, at+2*pieceBytes), lay.encoding, at+lay.bom&1), piece)
		if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
			return out // reading the text will tell
		}
		from, to := bytes.IndexByte(piece[:n], lay.newline), bytes.LastIndexByte(piece[:n], lay.newline)
		if from < to && bytes.Count(piece[from:to], []byte{'"'})%2 == 0 {
			out = append(out, piece[from+1:to+1]...)
		}
	}
	return out
}

func firstLine(b []byte, newline byte) []byte {
	if i := bytes.IndexByte(b, newline); i >= 0 {
		return b[:i+1]
	}
	return b
}

// looksBinary: more than one control byte in twenty is no text of any code page.
func looksBinary(sample []byte) bool {
	control := 0
	for _, b := range sample {
		if b < ' ' && b != '\t' && b != '\n' && b != '\r' && b != '\f' {
			control++
		}
	}
	return control*20 > len(sample)
}

func (ts *textSource) layout(p layoutChoice) (encoding, separator string) {
	lay, err := ts.choose(p)
	if err != nil {
		lay = ts.lay
	}
	return lay.encoding, separatorName(lay.sep)
}

// choose applies what a profile says of the layout to what was sniffed.
func (ts *textSource) choose(p layoutChoice) (textLayout, error) {
	if (p.encoding == "" || p.encoding == ts.lay.encoding) && (p.separator == "" || p.separator == separatorName(ts.lay.sep)) {
		return ts.lay, nil
	}
	enc, bom := ts.lay.encoding, ts.lay.bom
	if p.encoding != "" && p.encoding != enc {
		enc, bom = p.encoding, 0
	}
	return ts.sniff(enc, bom, p.separator)
}

func (ts *textSource) rows(p layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		lay, err := ts.choose(p)
		if err != nil {
			yield(Row{}, err)
			return
		}
		lines := newLineReader(decoder(ts.src, ts.size, lay.encoding, lay.bom), lay.newline, ts.t.limits.MaxLine)
		next := (&csvReader{lineReader: lines, dialect: lay.dialect, cols: ts.t.limits.MaxCols}).row
		if lay.sep == 0 {
			next = (&alignedReader{lineReader: lines, gutters: lay.gutters, cols: ts.t.limits.MaxCols}).row
		}
		ts.yieldAll(lines, lay.first, next, yield)
	}
}

func (ts *textSource) yieldAll(lines *lineReader, pass int, next func() (Row, rowState), yield func(Row, error) bool) {
	for {
		row, state := next()
		var err error
		switch state {
		case rowsEnd:
			if err := lines.failed(); err != nil {
				yield(Row{}, &FileError{File: ts.t.File, Trouble: "reading it stopped", Err: err})
			}
			return
		case rowTooLong:
			err = ts.t.tooLong(row.Line)
		case rowTooWide:
			err = ts.t.tooWide(row.Line)
		case rowCrossed:
			err = ts.t.rowError(row.Line, "text inside its columns", "text that runs over a gap between columns",
				"move it into line, or save the list with a separator")
		}
		if row.Line <= pass {
			continue
		}
		if !yield(row, err) {
			return
		}
	}
}

func (c *csvReader) row() (Row, rowState) {
	line, state := c.next()
	if state == rowTooLong {
		return Row{Line: line}, state
	}
	return Row{Line: line, Cells: c.cells}, state
}
