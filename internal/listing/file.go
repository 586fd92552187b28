package listing

import (
	"fmt"
	"io"
	"iter"
	"strings"
)

// File is one opened listing.
type File struct {
	Name   string
	Notes  []string // what of it was left out, a sentence each
	tables []*Table
}

// Table is one sheet of a workbook, one table of a web page, one list of a JSON document, or the whole of a
// text file.
type Table struct {
	File string // the file's name
	Name string // the sheet's name, or that of a file in an archive; empty for a text file
	Left bool   // the table was written by [Left]: a last column "trouble", guarded cells

	// Title is the heading that stands above a table of a web page, where it has one.
	Title string

	// Hidden: the sheet is not shown to people. [File.Tables] leaves it out, [File.Hidden] gives it.
	Hidden bool

	// LeftOut is what the last pass over its rows left out because it is hidden.
	LeftOut HiddenParts

	Turned      bool     // its headings stood in the first column
	FirstRow    int      // of a part of a sheet that stands below another; else 0
	firstColumn int      // of a part that stands beside another
	lead        int      // columns of the sheet that stand in front of those of such a part
	above       []string // titles of the whole sheet, for a part of it that does not stand first
	beside      []string // what a document says beside the list, as titles do
	said        context  // what the titles above it say
	src         source
	epoch1904   bool
	limits      Limits
}

// Row is one row as written. Cells is reused by the next step; the strings in it are not, but they may
// share memory with their row.
type Row struct {
	Line   int
	Cells  []string
	kinds  []cellKind // parallel to Cells, nil where every cell is text
	stored []string   // the value behind a cell where that differs from what people saw; may be shorter
	across []span     // cells that are merged over those to their right
	hid    []bool     // by column: hidden rows right above hold something there; may be shorter
}

// Across gives the column whose cell is merged over column i, which is i itself where none is.
func (r *Row) Across(i int) int {
	for _, s := range r.across {
		if s.from <= i && i <= s.to {
			return s.from
		}
	}
	return i
}

// Stored gives the value behind a cell where people saw another text: 0.23 behind 23 %. It is empty
// where the cell says all.
func (r *Row) Stored(i int) string {
	if i < len(r.stored) {
		return r.stored[i]
	}
	return ""
}

// cellKind is what a workbook says of a cell; flags.
type cellKind uint8

const (
	cellNumber  cellKind = 1 << iota // a number as stored, without the digits that people saw
	cellDate                         // a date or time, turned into ISO text
	cellCarried                      // filled from the merged cell above
	cellShown                        // a number with the decimals that people saw
	cellPercent                      // a share shown in percent: its cell says 23 %, 0.23 is stored
)

func (r *Row) kind(i int) cellKind {
	if i < len(r.kinds) {
		return r.kinds[i]
	}
	return 0
}

// source yields the rows of a table from the start each time it is asked.
type source interface {
	// rows yields a *RowError for a row that cannot be read and goes on; any other error ends it.
	rows(p layoutChoice) iter.Seq2[Row, error]
	// layout names the encoding and the separator, as in a [Profile].
	layout(p layoutChoice) (encoding, separator string)
}

// layoutChoice is what a profile may fix of how a table is laid out; the zero value leaves all to sniffing.
type layoutChoice struct {
	encoding, separator string
	hidden              bool // hidden rows and columns are taken too
}

// Open looks at the bytes of a listing, never only at its name, and finds its tables. It refuses what
// is no listing with a [*FileError]. src must stay readable for as long as the tables are used.
func Open(name string, src io.ReaderAt, size int64, lim Limits) (*File, error) {
	f := &File{Name: name}
	if err := f.open(src, size, lim.withDefaults(), 0); err != nil {
		return nil, err
	}
	for _, t := range f.tables {
		t.Left = t.hasTroubleColumn()
	}
	return f, nil
}

// open finds the tables; depth tells how many archives lie around the bytes.
func (f *File) open(src io.ReaderAt, size int64, lim Limits, depth int) error {
	head := make([]byte, min(size, 4096))
	n, err := src.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return &FileError{File: f.Name, Trouble: "it could not be read", Err: err}
	}
	head = head[:n]
	if refused := refuse(f.Name, head); refused != nil {
		return refused
	}
	switch formatOfBytes(head) {
	case formatPacked:
		err = f.openPacked(src, size, lim, depth)
	case formatGzip:
		err = f.openGzip(src, size, lim, depth)
	case formatCompound:
		f.tables, err = openXLS(f.Name, src, size, lim)
	case formatHTML:
		f.tables, err = openHTML(f.Name, src, size, lim)
	case formatJSON:
		f.tables, err = openJSON(f.Name, src, size, lim)
	case formatSYLK:
		f.tables, err = openSYLK(f.Name, src, size, lim)
	case formatDIF:
		f.tables, err = openDIF(f.Name, src, size, lim)
	default:
		f.tables, err = openText(f.Name, src, size, lim)
	}
	return err
}

// Tables gives one table for each sheet that holds anything and is not hidden, in the order of the file.
func (f *File) Tables() []*Table { return f.shown(true) }

// All gives the tables that are shown and those that are not.
func (f *File) All() []*Table { return f.tables }

// Hidden gives the sheets that hold something and are not shown to people.
func (f *File) Hidden() []*Table { return f.shown(false) }

func (f *File) shown(yes bool) []*Table {
	var out []*Table
	for _, t := range f.tables {
		if t.Hidden != yes {
			out = append(out, t)
		}
	}
	return out
}

// Rows yields the rows as written, from the start each time. A row that cannot be read gives a
// [*RowError] and the next follows; any other error is the last.
func (t *Table) Rows() iter.Seq2[Row, error] { return t.rows(layoutChoice{}) }

func (t *Table) rows(choice layoutChoice) iter.Seq2[Row, error] {
	if !t.Left {
		return t.src.rows(choice)
	}
	return func(yield func(Row, error) bool) {
		for row, err := range t.src.rows(choice) {
			for i, c := range row.Cells {
				row.Cells[i] = unguard(c)
			}
			if !yield(row, err) {
				return
			}
		}
	}
}

func (t *Table) hasTroubleColumn() bool {
	for row, err := range t.src.rows(layoutChoice{}) {
		if err != nil || len(row.Cells) < 2 {
			return false
		}
		return row.Cells[len(row.Cells)-1] == troubleHeading
	}
	return false
}

// called names a table in a sentence.
func (t *Table) called() string {
	if t.Name == "" {
		return "the table"
	}
	return fmt.Sprintf("sheet %q", t.Name)
}

// rowError says where a row stands, in every RowError of this table.
func (t *Table) rowError(line int, expected, found, hint string) *RowError {
	return &RowError{File: t.File, Table: t.Name, Line: line, Expected: expected, Found: found, Hint: hint}
}

func (t *Table) tooLong(line int) *RowError {
	return t.rowError(line, fmt.Sprintf("a row of at most %d bytes", t.limits.MaxLine), "a longer one",
		"look whether line ends are missing or a quote is never closed")
}

func (t *Table) tooWide(line int) *RowError {
	return t.rowError(line, fmt.Sprintf("at most %d cells", t.limits.MaxCols), "more", "look whether the separator is right")
}

// separatorName and separatorByte translate between a byte and what a profile calls it; 0 stands for
// columns aligned with spaces.
func separatorName(sep byte) string {
	switch sep {
	case 0:
		return "spaces"
	case '\t':
		return "tab"
	}
	return string(rune(sep))
}

func separatorByte(name string) (byte, bool) {
	switch {
	case name == "spaces":
		return 0, true
	case name == "tab":
		return '\t', true
	case len(name) == 1 && strings.Contains(",;\t|", name):
		return name[0], true
	}
	return 0, false
}
