package paper

import (
	"archive/zip"
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// WriteXLSX writes the tables of a document as a workbook: first a sheet that says
// what it is, then one sheet a table, its head frozen and filtered, numbers and
// dates as such, with a print area. Texts are stored as texts, so that none is run
// as a formula.
func WriteXLSX(w io.Writer, d *Document, size Size) error {
	f := excelize.NewFile()
	defer f.Close()
	made := d.Made.UTC().Format(time.RFC3339)
	if err := f.SetDocProps(&excelize.DocProperties{
		Title: d.Title + ", " + d.Site, Creator: d.Firm.Name, Subject: joined(d.AsOf, d.RestsOn), Language: "en", Created: made, Modified: made,
	}); err != nil {
		return err
	}
	styles, err := newStyles(f)
	if err != nil {
		return err
	}
	if err := about(f, d, styles); err != nil {
		return err
	}
	taken := map[string]bool{"about": true}
	for _, t := range d.tables() {
		if err := sheet(f, sheetName(t.name, taken), t.table, styles, size); err != nil {
			return err
		}
	}
	f.SetActiveSheet(min(1, f.SheetCount-1))
	var book bytes.Buffer
	if err := f.Write(&book); err != nil {
		return err
	}
	return inOrder(w, book.Bytes())
}

// inOrder writes the parts of a workbook in the order of their names, the table of
// contents first: the library writes them as they come.
func inOrder(w io.Writer, made []byte) error {
	in, err := zip.NewReader(bytes.NewReader(made), int64(len(made)))
	if err != nil {
		return err
	}
	const contents = "[Content_Types].xml"
	slices.SortFunc(in.File, func(a, b *zip.File) int {
		return cmp.Or(strings.Index(b.Name, contents)-strings.Index(a.Name, contents), strings.Compare(a.Name, b.Name))
	})
	out := zip.NewWriter(w)
	for _, part := range in.File {
		if err := out.Copy(part); err != nil {
			return err
		}
	}
	return out.Close()
}

type styles struct{ head, day, text, wrap int }

func newStyles(f *excelize.File) (styles, error) {
	var s styles
	format := "yyyy-mm-dd"
	for _, style := range []struct {
		into *int
		*excelize.Style
	}{
		{&s.head, &excelize.Style{Font: &excelize.Font{Bold: true}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"EBEBEB"}}, Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}}},
		{&s.day, &excelize.Style{CustomNumFmt: &format}},
		{&s.text, &excelize.Style{NumFmt: 49}},
		{&s.wrap, &excelize.Style{NumFmt: 49, Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}}},
	} {
		var err error
		if *style.into, err = f.NewStyle(style.Style); err != nil {
			return s, err
		}
	}
	return s, nil
}

// about is the first sheet: what the workbook is, and the cautions.
func about(f *excelize.File, d *Document, s styles) error {
	const name = "about"
	if err := f.SetSheetName("Sheet1", name); err != nil {
		return err
	}
	lines := [][2]string{{"paper", d.Title}, {"site", d.Site}, {"as of", d.AsOf}, {"rests on", d.RestsOn}, {"code", d.Code}, {"from", joined(append([]string{d.Firm.Name}, append(d.Firm.Address, d.Firm.Phone)...)...)}}
	if len(d.Standing) > 0 {
		lines = append(lines, [2]string{"still out of use", strings.Join(d.Standing, ", ")})
	}
	for _, caution := range d.Cautions {
		lines = append(lines, [2]string{"caution", caution})
	}
	for i, line := range lines {
		for j, text := range line {
			cell, err := excelize.CoordinatesToCellName(j+1, i+1)
			if err != nil {
				return err
			}
			if err := f.SetCellStr(name, cell, text); err != nil {
				return err
			}
		}
	}
	if err := f.SetColStyle(name, "A:B", s.wrap); err != nil {
		return err
	}
	if err := f.SetColWidth(name, "A", "A", 16); err != nil {
		return err
	}
	return f.SetColWidth(name, "B", "B", 90)
}

// sheet writes one table.
func sheet(f *excelize.File, name string, t *Table, s styles, size Size) error {
	if _, err := f.NewSheet(name); err != nil {
		return err
	}
	if err := printing(f, name, t, size); err != nil { // before the rows: the writer takes it over
		return err
	}
	w, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	for i := range t.Columns {
		if err := w.SetColWidth(i+1, i+1, columnWidth(t, i)); err != nil {
			return err
		}
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	row := make([]any, len(t.Columns))
	for i, c := range t.Columns {
		row[i] = excelize.Cell{StyleID: s.head, Value: c.Name}
	}
	if err := w.SetRow("A1", row); err != nil {
		return err
	}
	for n, cells := range t.Rows {
		for i, c := range cells {
			row[i] = value(c, s)
		}
		if err := w.SetRow(fmt.Sprintf("A%d", n+2), row); err != nil {
			return err
		}
	}
	return w.Flush()
}

// value is a cell as a spreadsheet takes it: a day is the number of days since
// the end of 1899 (ECMA-376, the 1900 date system).
func value(c Cell, s styles) any {
	switch {
	case c.number != nil:
		return *c.number
	case !c.day.IsZero():
		year, month, day := c.day.Date()
		days := time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
		return excelize.Cell{StyleID: s.day, Value: days}
	case c.text == "":
		return nil
	}
	return excelize.Cell{StyleID: s.text, Value: xml10(c.text)}
}

// xml10 leaves out what XML 1.0 cannot hold.
func xml10(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, s)
}

// printing sets the filter, the area that is printed, and the page.
func printing(f *excelize.File, name string, t *Table, size Size) error {
	last, err := excelize.CoordinatesToCellName(len(t.Columns), len(t.Rows)+1)
	if err != nil {
		return err
	}
	if err := f.AutoFilter(name, "A1:"+last, nil); err != nil {
		return err
	}
	absolute, err := excelize.CoordinatesToCellName(len(t.Columns), len(t.Rows)+1, true)
	if err != nil {
		return err
	}
	quoted := "'" + strings.ReplaceAll(name, "'", "''") + "'!"
	for _, defined := range [][2]string{{"_xlnm.Print_Area", quoted + "$A$1:" + absolute}, {"_xlnm.Print_Titles", quoted + "$1:$1"}} {
		if err := f.SetDefinedName(&excelize.DefinedName{Name: defined[0], RefersTo: defined[1], Scope: name}); err != nil {
			return err
		}
	}
	paper, landscape, wide, tall, fit := map[string]int{"A4": 9, "Letter": 1}[size.Name], "landscape", 1, 0, true
	if err := f.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall}); err != nil {
		return err
	}
	return f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit})
}

func columnWidth(t *Table, column int) float64 {
	widest := len([]rune(t.Columns[column].Name))
	for _, row := range t.Rows[:min(sampled, len(t.Rows))] {
		widest = max(widest, len([]rune(row[column].text)))
	}
	const least, most = 8, 60
	return float64(min(max(widest+2, least), most))
}

// sheetName makes a name that a workbook takes and that is not taken.
func sheetName(name string, taken map[string]bool) string {
	const longest = 31
	clean := strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`[]:*?/\`, r) {
			return ' '
		}
		return r
	}, xml10(name)), "' ")
	if clean == "" {
		clean = "table"
	}
	for n := 1; ; n++ {
		tail := ""
		if n > 1 {
			tail = fmt.Sprintf(" %d", n)
		}
		runes := []rune(clean)
		full := strings.TrimSpace(string(runes[:min(len(runes), longest-len(tail))])) + tail
		if key := strings.ToLower(full); !taken[key] {
			taken[key] = true
			return full
		}
	}
}
