package live

import (
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// longest is the most bytes that a line may have: what is longer is cut there, so that noise without line ends stays bounded.
const longest = 2048

// raw is a line as it arrived.
type raw struct {
	from, to int64
	came     time.Time // when its first byte arrived
	at       time.Time // the same, or when it was printed, where it came late
	late     bool      // it came in a piece of late lines
	bytes    []byte
	ended    bool // by a byte that ends lines
}

// splitter cuts bytes into lines. It holds no more than one line.
type splitter struct {
	next int64 // of the stream: where the bytes to come begin
	line raw
	last byte // the one before
}

// ends reports whether a byte ends a line: line ends, page ends, and the ends of text, block and record of ECMA-48 (from memory).
func ends(b byte) bool {
	switch b {
	case '\n', '\r', '\f', '\v', 0x03, 0x04, 0x17, 0x1c, 0x1d, 0x1e:
		return true
	}
	return false
}

// feed takes bytes that arrived and gives the lines that they end. An empty line has no bytes of its own.
func (s *splitter) feed(at time.Time, b []byte) (lines []raw) {
	for _, c := range b {
		if len(s.line.bytes) == 0 {
			s.line = raw{from: s.next, came: at, at: at}
		}
		s.next++
		if !ends(c) {
			s.line.bytes = append(s.line.bytes, c)
		}
		switch {
		case len(s.line.bytes) > 0 && (ends(c) || len(s.line.bytes) >= longest):
			s.line.ended = ends(c)
			lines = s.flush(lines)
		case ends(c) && (c != '\n' || s.last != '\r'):
			lines = append(lines, raw{from: s.next - 1, to: s.next, came: at, at: at})
		}
		s.last = c
	}
	return lines
}

// flush ends the line that was begun.
func (s *splitter) flush(lines []raw) []raw {
	if len(s.line.bytes) == 0 {
		return lines
	}
	s.line.to = s.next
	lines = append(lines, s.line)
	s.line = raw{}
	return lines
}

// Page is a code page by its name.
type Page string

// The code pages that are tried. What printers of panels use is common practice, no source.
const (
	UTF8    Page = "utf-8"
	Latin1  Page = "windows-1252"
	Page850 Page = "cp850"
	Page437 Page = "cp437"
)

func (p Page) charmap() *charmap.Charmap {
	switch p {
	case Page850:
		return charmap.CodePage850
	case Page437:
		return charmap.CodePage437
	}
	return charmap.Windows1252
}

// glyph is a character with the place of its first byte in the stream; -1: it was put where a line was broken.
type glyph struct {
	r   rune
	pos int64
}

// decode gives the characters of a line without what only steers the printer, escape sequences and control characters, and without
// the header of syslog.
func (p Page) decode(l raw) []glyph {
	var out []glyph
	for i := headerLength(l.bytes); i < len(l.bytes); {
		if n := steering(l.bytes[i:]); n > 0 {
			i += n
			continue
		}
		r, n := rune(l.bytes[i]), 1
		switch {
		case p == UTF8:
			r, n = utf8.DecodeRune(l.bytes[i:])
		case r >= utf8.RuneSelf:
			r = p.charmap().DecodeByte(l.bytes[i])
		}
		out = append(out, glyph{r, l.from + int64(i)})
		i += n
	}
	return out
}

// steering gives the length of what steers the printer at the beginning of b: an escape sequence as ECMA-48 has them (from
// memory), or a control character other than a tab.
func steering(b []byte) int {
	if b[0] != 0x1b {
		if b[0] < ' ' && b[0] != '\t' || b[0] == 0x7f {
			return 1
		}
		return 0
	}
	if len(b) < 2 {
		return 1
	}
	if b[1] != '[' {
		return 2
	}
	for i := 2; i < len(b); i++ {
		if b[i] >= 0x40 && b[i] <= 0x7e {
			return i + 1
		}
	}
	return len(b)
}

// Wrap is how lines are broken where the paper is too narrow.
type Wrap struct {
	Width int  // characters a line; 0: never
	Soft  bool // at blanks alone
}

// join writes the lines of a record as one, with a line feed where the break is the panel's own.
func (w Wrap) join(lines [][]glyph) []glyph {
	var out []glyph
	for i, line := range lines {
		if i > 0 {
			if c := w.between(lines[i-1], line); c != 0 {
				out = append(out, glyph{c, -1})
			}
		}
		out = append(out, line...)
	}
	return out
}

// between gives what stands for the break between two lines; 0: nothing.
func (w Wrap) between(before, after []glyph) rune {
	switch {
	case w.Width == 0:
	case !w.Soft && len(before) == w.Width:
		return 0
	case w.Soft && len(trimEnd(before))+1+firstWord(after) > w.Width:
		return ' '
	}
	return '\n'
}

// goesOn reports whether the line before the one at n may go on there.
func (w Wrap) goesOn(lines [][]glyph, n int) bool {
	return n < len(lines) && w.between(lines[n-1], lines[n]) != '\n'
}

func firstWord(line []glyph) int {
	for i, g := range line {
		if isBlank(g.r) {
			return i
		}
	}
	return len(line)
}

func isBlank(r rune) bool { return r == ' ' || r == '\t' || r == '\n' || r == 0xa0 }

func trimEnd(g []glyph) []glyph {
	for len(g) > 0 && isBlank(g[len(g)-1].r) {
		g = g[:len(g)-1]
	}
	return g
}

func trim(g []glyph) []glyph {
	g = trimEnd(g)
	for len(g) > 0 && isBlank(g[0].r) {
		g = g[1:]
	}
	return g
}

func textOf(g []glyph) string {
	out := make([]rune, len(g))
	for i := range g {
		out[i] = g[i].r
	}
	return string(out)
}
