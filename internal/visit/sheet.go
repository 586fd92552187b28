package visit

import (
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"sootline"
)

// SheetCautions stands at the top of every round sheet.
const SheetCautions = "Before work: the responsible person's consent, and the monitoring centre told. After it: restore what was disabled. " +
	"The code that applies and the device's own instructions come first."

// columns of a round sheet: heading and width. The words of the headings are
// those that the intake of listings knows; the day heads the values.
type column struct {
	heading string
	width   float64
}

// Sheet writes a round as a workbook to fill in and take in again: the sheet
// "Values" has a row for each point that has a resting value, with three columns
// for samples; the sheet "Work" a row for each piece of work, with what happened
// to be picked from a list. Rows left empty say nothing.
func Sheet(w io.Writer, r *sootline.Register, on Day, plan Plan) error {
	f := excelize.NewFile()
	defer f.Close() //nolint:errcheck // it holds memory only
	book := sheetBook{f: f, title: fmt.Sprintf("Round of %s on %s. %s", r.Site.Name, on, SheetCautions)}
	if err := f.SetSheetName("Sheet1", "Values"); err != nil {
		return err
	}
	if _, err := f.NewSheet("Work"); err != nil {
		return err
	}
	day := on.String()
	book.head("Values", column{"Turn", 6}, column{"Point", 10}, column{"Location", 34}, column{"Type", 14}, column{"Band", 12}, column{"Date", 12}, column{"Value 1", 9}, column{"Value 2", 9}, column{"Value 3", 9}, column{"By", 14}, column{"Remark", 34})
	book.head("Work", column{"Turn", 6}, column{"Point", 10}, column{"Location", 34}, column{"To do", 16}, column{"Date", 12}, column{"What", 12}, column{"Text", 34}, column{"By", 14})
	for i, stop := range plan.Stops {
		p := stop.Point
		point, where := p.Ref().String(), strings.Trim(p.Location+", "+p.Area, ", ")
		sheet := r.Sheet(p.Type)
		if sheet == nil || sheet.Kind.Judged() {
			book.row("Values", i+1, point, where, p.Type, bandText(sheet, p), day)
		}
		for _, task := range stop.Tasks {
			if task.Work != Read && task.Work != Look {
				book.row("Work", i+1, point, where, task.Work, day)
			}
		}
	}
	book.choices()
	if book.err != nil {
		return book.err
	}
	return f.Write(w)
}

func bandText(sheet *sootline.TypeSheet, p *sootline.Point) string {
	if sheet == nil || !sheet.Band(p.Settings()).Complete() {
		return ""
	}
	band := sheet.Band(p.Settings())
	return fmt.Sprintf("%g to %g", *band.Low, *band.High)
}

// sheetBook fills a workbook and keeps the first error.
type sheetBook struct {
	f     *excelize.File
	title string
	rows  map[string]int // the last row filled, by sheet
	err   error
}

func (b *sheetBook) do(err error) {
	if b.err == nil {
		b.err = err
	}
}

const headRow = 3

func (b *sheetBook) head(sheet string, columns ...column) {
	if b.rows == nil {
		b.rows = map[string]int{}
	}
	b.rows[sheet] = headRow
	b.do(b.f.SetCellStr(sheet, "A1", b.title))
	for i, c := range columns {
		name, err := excelize.ColumnNumberToName(i + 1)
		b.do(err)
		b.do(b.f.SetCellStr(sheet, fmt.Sprint(name, headRow), c.heading))
		b.do(b.f.SetColWidth(sheet, name, name, c.width))
	}
	bold, err := b.f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Style: 1, Color: "000000"}}})
	b.do(err)
	b.do(b.f.SetRowStyle(sheet, headRow, headRow, bold))
	b.do(b.f.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: headRow, TopLeftCell: fmt.Sprint("A", headRow+1), ActivePane: "bottomLeft"}))
	landscape, wide, tall := "landscape", 1, 0
	b.do(b.f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall}))
}

func (b *sheetBook) row(sheet string, turn int, cells ...string) {
	b.rows[sheet]++
	at := b.rows[sheet]
	b.do(b.f.SetCellInt(sheet, fmt.Sprint("A", at), int64(turn)))
	for i, cell := range cells {
		name, err := excelize.CoordinatesToCellName(i+2, at)
		b.do(err)
		b.do(b.f.SetCellStr(sheet, name, cell))
	}
}

// choices lets what happened be picked from a list.
func (b *sheetBook) choices() {
	list := excelize.NewDataValidation(true)
	list.SetSqref(fmt.Sprintf("F%d:F%d", headRow+1, max(headRow+1, b.rows["Work"]+50)))
	b.do(list.SetDropList([]string{"tested", "cleaned", "replaced", "fault", "disabled", "restored"}))
	b.do(b.f.AddDataValidation("Work", list))
}
