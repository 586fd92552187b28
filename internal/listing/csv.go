package listing

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"
)

// lineReader hands out lines from a growing, bounded buffer. Lines end with LF, CR LF, or lone CR
// where the file has no LF at its start.
type lineReader struct {
	r          io.Reader
	buf        []byte
	start, end int // unread bytes
	newline    byte
	line       int // lines handed out so far
	maxLine    int
	err        error // from r; io.EOF included
}

func newLineReader(r io.Reader, newline byte, maxLine int) *lineReader {
	return &lineReader{r: r, buf: make([]byte, 64<<10), newline: newline, maxLine: maxLine}
}

// find gives the index behind the line end at or after from (relative to start), reading more as
// needed; at the end of the file, the end. ok is false when the row is longer than allowed.
func (lr *lineReader) find(from int) (end int, ok bool) {
	for {
		if i := bytes.IndexByte(lr.buf[lr.start+from:lr.end], lr.newline); i >= 0 {
			return from + i + 1, from+i <= lr.maxLine
		}
		from = lr.end - lr.start
		if from > lr.maxLine {
			return from, false
		}
		if lr.err != nil {
			return from, true
		}
		lr.fill()
	}
}

func (lr *lineReader) fill() {
	if lr.start > 0 {
		copy(lr.buf, lr.buf[lr.start:lr.end])
		lr.start, lr.end = 0, lr.end-lr.start
	}
	if lr.end == len(lr.buf) {
		lr.buf = append(lr.buf, make([]byte, len(lr.buf))...)
	}
	n, err := lr.r.Read(lr.buf[lr.end:])
	lr.end += n
	lr.err = err
}

// skipLine drops the rest of a line that is too long, without keeping it.
func (lr *lineReader) skipLine() {
	for {
		if i := bytes.IndexByte(lr.buf[lr.start:lr.end], lr.newline); i >= 0 {
			lr.start += i + 1
			lr.line++
			return
		}
		lr.start = lr.end
		if lr.err != nil {
			lr.line++
			return
		}
		lr.fill()
	}
}

// failed gives the read error, if reading ended with one.
func (lr *lineReader) failed() error {
	if lr.err == io.EOF {
		return nil
	}
	return lr.err
}

// csvReader splits lines into cells. It forgives: a quote inside a cell is a quote, text after a
// closing quote is kept, and a quote that is never closed is read as a letter.
type csvReader struct {
	*lineReader
	dialect
	cells  []string
	cols   int    // most cells in a row
	quoted []bool // by cell, those that stood between quotes; shorter where the row has none
	broken int    // cells so far with text behind their closing quote, or without one
	torn   bool   // a quoted part of the row that text follows was empty, or had a separator in it
}

// dialect is how a text with a separator is written.
type dialect struct {
	sep    byte
	quote  byte
	escape byte // before a quote that is a letter, where hasEscape
	width  int  // cells in most rows; 0: not known

	hasEscape bool
	strict    bool // a quote closes only before a separator: apostrophes stand inside words
	padded    bool // a space follows each separator
}

type rowState uint8

const (
	rowOK rowState = iota
	rowTooLong
	rowTooWide
	rowsEnd
)

// next reads one row into c.cells and gives the line it starts on.
func (c *csvReader) next() (line int, state rowState) {
	line = c.line + 1
	end, ok := c.find(0)
	if !ok {
		c.skipLine()
		return line, rowTooLong
	}
	if end == 0 {
		return line, rowsEnd
	}
	text := c.buf[c.start : c.start+end]
	if bytes.IndexByte(text, c.quote) >= 0 {
		return line, c.quotedRow(end)
	}
	c.take(end, 1)
	s := cleanText(trimNewline(text))
	state = c.split(s)
	if len(c.cells) != c.width && c.width > 2 {
		c.otherwise(s)
	}
	return line, state
}

func (c *csvReader) take(n, lines int) {
	c.start += n
	c.line += lines
}

func (c *csvReader) split(s string) rowState {
	c.cells, c.quoted = c.cells[:0], c.quoted[:0]
	for {
		i := strings.IndexByte(s, c.sep)
		if i < 0 {
			c.cells = append(c.cells, c.unpadded(s))
			return c.fits()
		}
		c.cells = append(c.cells, c.unpadded(s[:i]))
		s = s[i+1:]
		if len(c.cells) > c.cols {
			return rowTooWide
		}
	}
}

func (c *csvReader) unpadded(cell string) string {
	if c.padded {
		return strings.TrimLeft(cell, " ")
	}
	return cell
}

func (c *csvReader) fits() rowState {
	if len(c.cells) > c.cols {
		return rowTooWide
	}
	return rowOK
}

func trimNewline(b []byte) []byte {
	if n := len(b); n > 0 && (b[n-1] == '\n' || b[n-1] == '\r') {
		b = b[:n-1]
		if n > 1 && b[n-2] == '\r' {
			b = b[:n-2]
		}
	}
	return b
}

// cleanText makes the one string that a row's cells are cut from. NUL is no text and some stores refuse
// it; bytes that are no UTF-8 become the replacement character.
func cleanText(b []byte) string {
	if bytes.IndexByte(b, 0) >= 0 {
		return strings.ToValidUTF8(strings.ReplaceAll(string(b), "\x00", ""), "\ufffd")
	}
	if !utf8.Valid(b) {
		return strings.ToValidUTF8(string(b), "\ufffd")
	}
	return string(b)
}
