package listing

import (
	"bytes"
	"slices"
	"strings"
)

// stray is how a quote is taken that is not closed before a separator.
type stray uint8

const (
	strayForgiven stray = iota // it ends the cell's quoted part, and what follows belongs to the cell
	strayLetter                // the quote that opened the cell is a letter
	strayInside                // it is a letter inside the quoted cell
)

// quotedRow finds the end of a row with quotes, which may be lines further on, then splits it. A row
// with a stray quote is read in the way that gives it as many cells as the others have.
func (c *csvReader) quotedRow(first int) rowState {
	end, lines, closed := c.extent(first)
	alone := c.text(first)
	if !closed {
		// The quote is never closed: read the first line alone and let its quotes be letters.
		c.take(first, 1)
		c.broken++
		if c.width == 0 || !c.fitting(alone, strayLetter) {
			return c.split(alone)
		}
		return c.fits()
	}
	text := alone
	if end > first {
		text = c.text(end)
	}
	c.torn = false
	broken := c.splitQuoted(text, strayForgiven)
	c.broken += broken
	if broken == 0 && len(c.cells) == c.width || c.width == 0 || broken == 0 && lines == 1 && !c.otherwise(text) {
		c.take(end, lines)
		return c.fits()
	}
	return c.mended(first, end, lines, alone, text, broken)
}

// mended tries what else a row with stray quotes may mean, and stays with what it was where nothing fits.
func (c *csvReader) mended(first, end, lines int, alone, text string, broken int) rowState {
	before := slices.Clone(c.cells)
	torn := c.torn
	switch {
	case broken > 0 && len(before) == c.width && !torn:
	case broken > 0 && c.fitting(alone, strayLetter), broken > 0 && c.fitting(alone, strayInside),
		lines > 1 && len(before) != c.width && c.fitting(alone, strayLetter):
		c.take(first, 1)
		return c.fits()
	case broken > 0 && lines > 1 && c.fitting(text, strayInside):
		c.take(end, lines)
		return c.fits()
	}
	c.cells = append(c.cells[:0], before...)
	c.take(end, lines)
	return c.fits()
}

// extent finds where a row ends whose first line has quotes; closed is false when a quote never ends.
func (c *csvReader) extent(first int) (end, lines int, closed bool) {
	end, lines = first, 1
	open := c.leavesOpen(c.buf[c.start:c.start+end], false)
	for open {
		next, ok := c.find(end)
		if !ok || next == end || lines == maxCellLines {
			return end, lines, false
		}
		open = c.leavesOpen(c.buf[c.start+end:c.start+next], true)
		end, lines = next, lines+1
	}
	return end, lines, true
}

// text gives the unread bytes as text, with escaped quotes written as double ones.
func (c *csvReader) text(end int) string {
	b := trimNewline(c.buf[c.start : c.start+end])
	if c.hasEscape {
		b = bytes.ReplaceAll(b, []byte{c.escape, c.quote}, []byte{c.quote, c.quote})
	}
	return cleanText(b)
}

// leavesOpen tells whether a line ends inside a quoted cell.
func (c *csvReader) leavesOpen(line []byte, open bool) bool {
	atStart := !open
	for i := 0; i < len(line); i++ {
		switch b := line[i]; {
		case open:
			j := bytes.IndexByte(line[i:], c.quote)
			if j < 0 {
				return true
			}
			switch i += j; {
			case c.hasEscape && i > 0 && line[i-1] == c.escape:
			case i+1 < len(line) && line[i+1] == c.quote:
				i++
			case c.strict && !c.closes(line[i+1:]):
			default:
				open = false
			}
		case b == c.quote && atStart:
			open = true
		default:
			atStart = b == c.sep || (atStart && b == ' ')
		}
	}
	return open
}

// fitting splits a row and tells whether it has as many cells as the others.
func (c *csvReader) fitting(s string, way stray) bool {
	c.splitQuoted(s, way)
	return len(c.cells) == c.width
}

// splitQuoted splits a row with quotes and counts its stray ones.
func (c *csvReader) splitQuoted(s string, way stray) (broken int) {
	c.cells, c.quoted = c.cells[:0], c.quoted[:0]
	for {
		before := len(c.quoted)
		cell, rest, more, bad := c.cell(s, way)
		c.cells = append(c.cells, cell)
		if len(c.quoted) == before {
			c.quoted = append(c.quoted, false)
		}
		if bad {
			broken++
		}
		if !more || len(c.cells) > c.cols {
			return broken
		}
		s = rest
	}
}

// cell takes one cell off s; bad tells of a quote that is not closed before a separator.
func (c *csvReader) cell(s string, way stray) (cell, rest string, more, bad bool) {
	quoted := strings.TrimLeft(s, " ")
	if quoted == "" || quoted[0] != c.quote {
		cell, rest, more = c.cut(s)
		return c.unpadded(cell), rest, more, false
	}
	inside, after, ok := c.unquoted(quoted[1:], c.strict || way == strayInside)
	tail, rest, more := c.cut(after)
	tail = strings.TrimRight(tail, " ")
	if ok && tail == "" {
		c.quoted = append(c.quoted, true)
		return inside, rest, more, false
	}
	c.torn = c.torn || ok && (inside == "" || strings.IndexByte(inside, c.sep) >= 0)
	if way != strayLetter {
		return inside + tail, rest, more, true
	}
	sign := string([]byte{c.quote})
	if len(quoted) > 1 && quoted[1] == c.quote {
		inside, after, ok := c.unquoted(quoted[2:], c.strict)
		if tail, rest, more := c.cut(after); ok && strings.TrimRight(tail, " ") == "" {
			return sign + inside, rest, more, true
		}
	}
	cell, rest, more = c.cut(quoted)
	return cell, rest, more, true
}

// closes tells whether a quote with this behind it ends a cell where apostrophes stand inside others.
func (c *csvReader) closes(rest []byte) bool {
	rest = bytes.TrimLeft(rest, " ")
	return len(rest) == 0 || rest[0] == c.sep || rest[0] == c.newline || rest[0] == '\r'
}

// unquoted reads up to the closing quote; with strict, up to one that stands before a separator.
func (c *csvReader) unquoted(s string, strict bool) (inside, after string, ok bool) {
	var b strings.Builder
	for {
		i := strings.IndexByte(s, c.quote)
		if i < 0 {
			b.WriteString(s)
			return b.String(), "", false
		}
		b.WriteString(s[:i])
		s = s[i+1:]
		switch {
		case s != "" && s[0] == c.quote:
			b.WriteByte(c.quote)
			s = s[1:]
		case strict && !c.closes([]byte(s[:min(len(s), 8)])):
			b.WriteByte(c.quote)
		default:
			return b.String(), s, true
		}
	}
}

func (c *csvReader) cut(s string) (cell, rest string, more bool) {
	i := strings.IndexByte(s, c.sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+1:], true
}

// otherwise splits a row that does not have the others' number of cells at another separator, if that
// gives it just as many, all whole. Words are apart by spaces and commas too: spaces count only beside a
// quoted cell, and other separators only where no space follows them.
// It leaves c.cells alone where no other fits.
func (c *csvReader) otherwise(s string) bool {
	if c.width <= 2 {
		return false
	}
	o := *c
	o.cells, o.quoted = nil, nil
	for _, sep := range []byte("\t;|, ") {
		if sep == c.sep || strings.Count(s, string(rune(sep))) < c.width-1 {
			continue
		}
		o.dialect.sep = sep
		if o.splitQuoted(s, strayForgiven) > 0 || len(o.cells) != c.width || sep == ' ' && !slices.Contains(o.quoted, true) {
			continue
		}
		if !o.holds(c.sep) && !o.isProse() {
			c.cells = append(c.cells[:0], o.cells...)
			return true
		}
	}
	return false
}

// isProse tells whether a space follows a separator, as it does between words: a title is no row.
func (c *csvReader) isProse() bool {
	for i, cell := range c.cells[1:] {
		if !c.quoted[i+1] && strings.HasPrefix(cell, " ") {
			return true
		}
	}
	return false
}

// holds tells whether a cell that did not stand between quotes has a separator in it.
func (c *csvReader) holds(sep byte) bool {
	for i, cell := range c.cells {
		if !c.quoted[i] && strings.IndexByte(cell, sep) >= 0 {
			return true
		}
	}
	return false
}
