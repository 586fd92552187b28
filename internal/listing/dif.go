package listing

import (
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Data interchange files: topics of three lines in front, then values of two lines each, with marks where
// a row begins (common practice, from memory: there is no standard).

func openDIF(name string, src io.ReaderAt, size int64, lim Limits) ([]*Table, error) {
	return openLines(name, src, size, lim, func(g *grid, lines *lineReader) func() (Row, error) {
		return (&difReader{grid: g, lines: lines}).next
	})
}

// difReader puts the values of one row together.
type difReader struct {
	*grid
	lines  *lineReader
	inData bool
	begun  bool
	fresh  bool // the row at hand has no cell yet
	ended  bool
	column int
}

func (r *difReader) next() (Row, error) {
	if err := r.topics(); err != nil {
		return Row{}, err
	}
	for !r.ended {
		first, second, err := r.pair()
		if err != nil {
			return Row{}, err
		}
		kind, number, _ := strings.Cut(first, ",")
		switch kind {
		case "-1":
			if row, given, err := r.mark(second); given {
				return row, err
			}
		case "0":
			r.value(numberOf(strings.TrimSpace(number), strings.TrimSpace(second)))
		case "1":
			r.value(cell{text: unquoted(second)})
		default:
			return Row{}, r.refuse(fmt.Sprintf("line %d: expected a value that begins with -1, 0 or 1, found %s", r.lines.line-1, quoteShort(first)), "save it as .csv")
		}
	}
	return Row{}, io.EOF
}

// topics passes over what stands in front of the values.
func (r *difReader) topics() error {
	for !r.inData {
		topic, err := r.line()
		if err != nil {
			return err
		}
		if _, _, err := r.pair(); err != nil {
			return err
		}
		r.inData = strings.TrimSpace(topic) == "DATA"
	}
	return nil
}

// mark takes where a row begins, or where all end; given tells that a row ended.
func (r *difReader) mark(name string) (row Row, given bool, err error) {
	given = r.begun
	if given {
		r.freshen()
		row, err = r.end()
	}
	switch strings.TrimSpace(name) {
	case "BOT":
		r.column, r.begun, r.fresh = 0, true, true
	case "EOD":
		r.ended, r.begun = true, false
	default:
		return Row{}, true, r.refuse(fmt.Sprintf("line %d: expected BOT or EOD, found %s", r.lines.line, quoteShort(name)), "save it as .csv")
	}
	return row, given, err
}

// freshen clears the row that was given before.
func (r *difReader) freshen() {
	if r.fresh {
		r.begin(r.grid.line + 1)
		r.fresh = false
	}
}

// value puts the next cell of the row.
func (r *difReader) value(c cell) {
	r.freshen()
	r.put(r.column, c)
	r.column++
}

// numberOf gives a number, or what is said of a value that is none.
func numberOf(number, says string) cell {
	switch says {
	case "V":
		return cellFormat{}.show(number, false)
	case "TRUE", "FALSE":
		return cell{text: says}
	case "NA", "ERROR":
		return cell{text: "#" + says}
	}
	return cell{}
}

func unquoted(s string) string {
	if text, err := strconv.Unquote(s); err == nil && !strings.Contains(s, `\`) {
		return text
	}
	s = strings.TrimSuffix(strings.TrimPrefix(s, `"`), `"`)
	return strings.ReplaceAll(s, `""`, `"`)
}

// pair reads the two lines of a value.
func (r *difReader) pair() (first, second string, err error) {
	if first, err = r.line(); err == nil {
		second, err = r.line()
	}
	return first, second, err
}

// line reads a line; the file may not end before its values do.
func (r *difReader) line() (string, error) {
	s, err := r.lines.next(r.t.File)
	if err == io.EOF {
		return "", r.refuse(fmt.Sprintf("it ends at line %d, before the mark that ends its values", r.lines.line), "save it again, or as .csv")
	}
	return s, err
}
