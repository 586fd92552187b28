package listing

import (
	"bufio"
	"io"
	"slices"
	"strings"
)

// troubleHeading marks a file written by [Left].
const troubleHeading = "trouble"

// Left writes the rows that could not be taken, as they were, with the reason in a last column
// "trouble". The file is UTF-8 with a byte order mark, separated by commas. A cell that a spreadsheet
// would run as a formula is guarded by an apostrophe, which [Open] takes off again, so that the file
// can be mended and taken once more without loss.
type Left struct {
	w       *bufio.Writer
	columns []int // of the cells to write; an earlier take's trouble is left out
	wide    bool
	last    []string // the row written last, of a wide table
}

// NewLeft starts the file with the headings of u's table; where that has none, with the names of the
// fields, so that the file is understood on its own.
func NewLeft(w io.Writer, u *Understanding) (*Left, error) {
	l := &Left{w: bufio.NewWriter(w), wide: len(u.visits) > 0}
	var header []string
	for i, c := range u.Columns {
		if c.Field == Trouble {
			continue
		}
		l.columns = append(l.columns, i)
		h := c.Heading
		if i < len(u.header) && !u.isVisit(i) { // a visit's day may stand in the row above
			h = u.header[i]
		}
		switch {
		case u.HeaderLine > 0:
		case c.Field != Unused:
			h = string(c.Field)
		default:
			h = "column " + columnKey(i)
		}
		header = append(header, h)
	}
	l.w.WriteString("\ufeff")
	return l, l.line(header, troubleHeading)
}

// Add writes one row with its trouble, a sentence. A row of a wide table may be refused for several of
// its readings: it is written once, with the first trouble.
func (l *Left) Add(cells []string, trouble string) error {
	row := make([]string, len(l.columns))
	for i, column := range l.columns {
		if column < len(cells) {
			row[i] = cells[column]
		}
	}
	if l.wide {
		if slices.Equal(row, l.last) {
			return nil
		}
		l.last = row
	}
	return l.line(row, trouble)
}

// Close writes what is still held back. It does not close the writer.
func (l *Left) Close() error { return l.w.Flush() }

func (l *Left) line(cells []string, last string) error {
	for _, c := range cells {
		l.cell(c)
		l.w.WriteByte(',')
	}
	l.cell(last)
	_, err := l.w.WriteString("\n") // a bufio.Writer keeps its first error
	return err
}

func (l *Left) cell(s string) {
	s = guard(s)
	if !strings.ContainsAny(s, ",\"\r\n") && s == strings.TrimSpace(s) {
		l.w.WriteString(s)
		return
	}
	l.w.WriteByte('"')
	l.w.WriteString(strings.ReplaceAll(s, `"`, `""`))
	l.w.WriteByte('"')
}

// guard puts an apostrophe before a cell that a spreadsheet would run, and before one that looks
// guarded already.
func guard(s string) string {
	bare := strings.TrimLeft(s, "'")
	if bare == "" || strings.IndexByte("=+-@\t\r", bare[0]) < 0 {
		return s
	}
	if bare == s && isSignedNumber(s) {
		return s
	}
	return "'" + s
}

// isSignedNumber: "-3", "+1.5", "-2,5" are no formulas.
func isSignedNumber(s string) bool {
	return (s[0] == '+' || s[0] == '-') && strings.Trim(s[1:], "0123456789.,") == "" && strings.ContainsAny(s, "0123456789")
}

// unguard takes off the apostrophe that guard put there.
func unguard(s string) string {
	if s == "" || s[0] != '\'' {
		return s
	}
	bare := strings.TrimLeft(s, "'")
	if bare == "" || strings.IndexByte("=+-@\t\r", bare[0]) < 0 {
		return s
	}
	return s[1:]
}
