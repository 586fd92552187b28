package paper

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

// WriteCSV writes the tables of a document as CSV, lines ending in LF, with a
// byte-order mark so that spreadsheets read the letters right. Several tables stand
// one below the other, each under its title and after an empty line; everything
// else is left out. A cell that a spreadsheet would run as a formula gets an
// apostrophe.
func WriteCSV(w io.Writer, d *Document) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	tables := d.tables()
	for i, t := range tables {
		if i > 0 {
			if err := out.Write([]string{""}); err != nil {
				return err
			}
		}
		if len(tables) > 1 {
			if err := out.Write([]string{guard(t.name)}); err != nil {
				return err
			}
		}
		if err := writeRows(out, t.table); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// Tabular reports whether a document holds a table, so that its CSV says anything.
func (d *Document) Tabular() bool { return len(d.tables()) > 0 }

func writeRows(out *csv.Writer, t *Table) error {
	row := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		row[i] = guard(c.Name)
	}
	if err := out.Write(row); err != nil {
		return err
	}
	for _, cells := range t.Rows {
		for i, c := range cells {
			row[i] = c.text
			if c.number == nil {
				row[i] = guard(c.text)
			}
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	return nil
}

// guard keeps a spreadsheet from running a text as a formula.
func guard(s string) string {
	if s == "" || !strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return s
	}
	if _, err := strconv.ParseFloat(s, 64); err == nil {
		return s
	}
	return "'" + s
}

// titled is a table with a name to call it by.
type titled struct {
	name  string
	table *Table
}

// tables lists the tables and fields of a document.
func (d *Document) tables() []titled {
	var all []titled
	for _, part := range d.Parts {
		under := ""
		for _, block := range part.Blocks {
			switch b := block.(type) {
			case Heading:
				under = b.Text
			case Table:
				all = append(all, titled{firstOf(b.Title, under, part.Title, d.Title), &b})
			case Fields:
				all = append(all, titled{firstOf(under, part.Title, d.Title), b.table()})
			case Letter:
				all = append(all, titled{firstOf(under, part.Title, d.Title), b.table()})
			case Photos:
				all = append(all, titled{"Photos", b.table()})
			}
		}
	}
	return all
}

func (f Fields) table() *Table {
	t := &Table{Columns: []Column{{Name: "field"}, {Name: "value"}}}
	if f.marked() {
		t.Columns = append(t.Columns, Column{Name: "known"})
	}
	for _, row := range f.Rows {
		t.Rows = append(t.Rows, []Cell{Text(row.Name), Text(row.Value), Text(row.Known)}[:len(t.Columns)])
	}
	return t
}

func firstOf(names ...string) string {
	for _, name := range names {
		if name != "" {
			return name
		}
	}
	return ""
}
