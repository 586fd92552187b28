package paper

import (
	"context"
	"iter"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline/internal/chart"
)

// Document is a paper before it is one.
type Document struct {
	Title    string
	Site     string    // whom it is about; stands on each page
	AsOf     string    // as of when, in words; stands on each page
	Made     time.Time // the date that the file carries; a fixed one, so that the bytes are
	Code     string    // by which a printed one is held against the record; stands on each page
	RestsOn  string    // the same in words
	Firm     Firm
	Standing []string // what nobody may overlook, on each page
	Cautions []string
	Parts    []Part
	Contents bool // a list of the parts with their pages

	// Until is the context of whoever waits for the paper; where it ends, setting the
	// pages ends with its error. Nil: it is set to its end.
	Until context.Context
}

// over is why nobody waits for the paper any more, or nil.
func (d *Document) over() error {
	if d.Until == nil {
		return nil
	}
	return d.Until.Err()
}

// Firm is who hands the paper out.
type Firm struct {
	Name    string
	Address []string
	Phone   string
	Logo    []byte // PNG or JPEG; nothing: none
}

// Part is a chapter. A short paper has one, without a title.
type Part struct {
	Title  string
	Blocks []Block
}

// Block is a piece of a part: [Heading], [Paragraph], [List], [Fields], [Table],
// [Picture], [Pictures], [Cards], [Letter], [Photos] or [Signatures].
type Block interface{ isBlock() }

// Heading begins a section.
type Heading struct{ Text string }

// Paragraph is running text.
type Paragraph struct{ Text string }

// List is short texts, one below the other.
type List struct{ Items []string }

// Fields is names with what is to be said of each. An empty value is a line to
// write on.
type Fields struct{ Rows []Field }

// Field is a name and its value, and how the value is known; an empty Known is not shown.
type Field struct{ Name, Value, Known string }

// Table is rows under a head.
type Table struct {
	Title   string
	Columns []Column
	Rows    [][]Cell // each as long as Columns
	None    string   // said in the place of a table without rows
}

// Column is the head of a table's column.
type Column struct {
	Name  string
	Right bool // numbers stand to the right
}

// Picture is a drawing.
type Picture struct{ Drawing *chart.Picture }

// Cards are drawings that stand side by side, to be cut out.
type Cards struct{ Cards []*chart.Picture }

// Signatures is lines to sign on, one a role.
type Signatures struct{ Roles []string }

func (Heading) isBlock()    {}
func (Paragraph) isBlock()  {}
func (List) isBlock()       {}
func (Fields) isBlock()     {}
func (Table) isBlock()      {}
func (Picture) isBlock()    {}
func (Cards) isBlock()      {}
func (Signatures) isBlock() {}

// Cell is what stands in a table. Its kind decides how a spreadsheet takes it.
type Cell struct {
	text   string
	number *float64
	day    time.Time
	tick   bool
	roomy  bool
}

// Text is a cell of words.
func Text(s string) Cell { return Cell{text: s} }

// Number is a cell of a number; decimals is how many are shown, -1 as many as
// there are.
func Number(x float64, decimals int) Cell {
	return Cell{text: strconv.FormatFloat(x, 'f', decimals, 64), number: &x}
}

// Maybe is a number, or an empty cell where there is none.
func Maybe(x *float64, decimals int) Cell {
	if x == nil {
		return Cell{}
	}
	return Number(*x, decimals)
}

// Count is a cell of a whole number.
func Count(n int) Cell { return Number(float64(n), 0) }

// Day is a cell of a date, which must be at the place where people read it; the
// zero time is an empty cell.
func Day(t time.Time) Cell {
	if t.IsZero() {
		return Cell{}
	}
	return Cell{text: t.Format(time.DateOnly), day: t}
}

// Tick is an empty box to tick by hand.
func Tick() Cell { return Cell{tick: true} }

// Blank is an empty cell with room to write in.
func Blank() Cell { return Cell{roomy: true} }

// String is the cell in words.
func (c Cell) String() string { return c.text }

// texts goes through everything that is said, with all that a page adds.
func (d *Document) texts() iter.Seq[string] {
	return func(yield func(string) bool) {
		own := append([]string{d.Title, d.Site, d.AsOf, d.RestsOn, d.Firm.Name, d.Firm.Phone}, d.Firm.Address...)
		for _, list := range [][]string{own, d.Standing, d.Cautions} {
			for _, s := range list {
				if !yield(s) {
					return
				}
			}
		}
		for _, part := range d.Parts {
			if !yield(part.Title) {
				return
			}
			for _, block := range part.Blocks {
				for _, s := range said(block) {
					if !yield(s) {
						return
					}
				}
			}
		}
	}
}

// said lists the texts of a block.
func said(block Block) []string {
	var all []string
	switch b := block.(type) {
	case Heading:
		return []string{b.Text}
	case Paragraph:
		return []string{b.Text}
	case List:
		return b.Items
	case Signatures:
		return b.Roles
	case Fields:
		for _, f := range b.Rows {
			all = append(all, f.Name, f.Value, f.Known)
		}
	case Letter:
		for _, s := range b.Subjects {
			all = append(append(all, s.Title, s.See), s.Items...)
		}
		all = append(all, b.Sign...)
	case Photos:
		for _, photo := range b.Photos {
			all = append(all, photo.Caption)
		}
	case Cards:
		for _, c := range b.Cards {
			all = slices.Concat(all, drawn(c.Shapes), []string{c.Title, c.Desc})
		}
	case Picture:
		all = pictured(b.Drawing)
	case Pictures:
		for _, drawing := range b.Drawings {
			all = append(all, pictured(drawing)...)
		}
	case Table:
		all = []string{b.Title, b.None}
		for _, c := range b.Columns {
			all = append(all, c.Name)
		}
		for _, row := range b.Rows {
			for _, c := range row {
				all = append(all, c.text)
			}
		}
	}
	return all
}

// pictured lists the texts of a drawing.
func pictured(drawing *chart.Picture) []string {
	all := []string{drawing.Title, drawing.Desc}
	for _, row := range drawing.Table.Rows {
		all = append(all, row...)
	}
	return all
}

// drawn lists the texts of shapes.
func drawn(shapes []chart.Shape) []string {
	var all []string
	for _, shape := range shapes {
		switch s := shape.(type) {
		case chart.Text:
			all = append(all, s.Text)
		case chart.Group:
			all = append(all, drawn(s.Shapes)...)
		}
	}
	return all
}

// joined puts what is there in one line.
func joined(parts ...string) string {
	var there []string
	for _, p := range parts {
		if p != "" {
			there = append(there, p)
		}
	}
	return strings.Join(there, " · ")
}
