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
	sep   byte
	cells []string
	cols  int // most cells in a row
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
	if bytes.IndexByte(text, '"') >= 0 {
		return line, c.quotedRow(end)
	}
	c.take(end, 1)
	return line, c.split(cleanText(trimNewline(text)))
}

func (c *csvReader) take(n, lines int) {
	c.start += n
	c.line += lines
}

func (c *csvReader) split(s string) rowState {
	c.cells = c.cells[:0]
	for {
		i := strings.IndexByte(s, c.sep)
		if i < 0 {
			c.cells = append(c.cells, s)
			return c.width()
		}
		c.cells = append(c.cells, s[:i])
		s = s[i+1:]
		if len(c.cells) > c.cols {
			return rowTooWide
		}
	}
}

func (c *csvReader) width() rowState {
	if len(c.cells) > c.cols {
		return rowTooWide
	}
	return rowOK
}

// quotedRow finds the end of a row with quotes, which may be lines further on, then splits it.
func (c *csvReader) quotedRow(first int) rowState {
	end, lines := first, 1
	open := c.leavesOpen(c.buf[c.start:c.start+end], false)
	for open {
		next, ok := c.find(end)
		if !ok || next == end || lines == maxCellLines {
			// The quote is never closed: read the first line alone and let its quotes be letters.
			text := cleanText(trimNewline(c.buf[c.start : c.start+first]))
			c.take(first, 1)
			return c.split(text)
		}
		open = c.leavesOpen(c.buf[c.start+end:c.start+next], true)
		end, lines = next, lines+1
	}
	text := cleanText(trimNewline(c.buf[c.start : c.start+end]))
	c.take(end, lines)
	return c.splitQuoted(text)
}

// leavesOpen tells whether a line ends inside a quoted cell.
func (c *csvReader) leavesOpen(line []byte, open bool) bool {
	atStart := !open
	for i := 0; i < len(line); i++ {
		switch b := line[i]; {
		case open:
			j := bytes.IndexByte(line[i:], '"')
			if j < 0 {
				return true
			}
			if i += j; i+1 < len(line) && line[i+1] == '"' {
				i++
			} else {
				open = false
			}
		case b == '"' && atStart:
			open = true
		default:
			atStart = b == c.sep || (atStart && b == ' ')
		}
	}
	return open
}

func (c *csvReader) splitQuoted(s string) rowState {
	c.cells = c.cells[:0]
	for {
		cell, rest, more := c.cell(s)
		c.cells = append(c.cells, cell)
		if !more || len(c.cells) > c.cols {
			return c.width()
		}
		s = rest
	}
}

// cell takes one cell off s.
func (c *csvReader) cell(s string) (cell, rest string, more bool) {
	quoted := strings.TrimLeft(s, " ")
	if !strings.HasPrefix(quoted, `"`) {
		return strings.Cut(s, string(rune(c.sep)))
	}
	var b strings.Builder
	s = quoted[1:]
	for {
		inside, after, closed := strings.Cut(s, `"`)
		b.WriteString(inside)
		if !closed || !strings.HasPrefix(after, `"`) {
			tail, rest, more := strings.Cut(after, string(rune(c.sep)))
			b.WriteString(strings.TrimRight(tail, " "))
			return b.String(), rest, more
		}
		b.WriteByte('"')
		s = after[1:]
	}
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
