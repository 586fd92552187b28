package demo

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"time"

	"github.com/xuri/excelize/v2"
)

// separated writes rows as CSV.
func separated(comma rune, rows [][]string) []byte {
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.Comma = comma
	sure(out.WriteAll(rows))
	return b.Bytes()
}

// workbook writes rows as the only sheet of a workbook; times become days. Its
// properties name the day of the story, not that of the writing, so that the
// bytes depend on nothing else.
func workbook(title string, day time.Time, rows [][]any) []byte {
	f := excelize.NewFile()
	stamp := day.Format(time.RFC3339)
	sure(f.SetDocProps(&excelize.DocProperties{Title: title, Creator: "sootline demo", Created: stamp, Modified: stamp}))
	sure(f.SetSheetName("Sheet1", title))
	format := "yyyy-mm-dd"
	style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
	sure(err)
	out, err := f.NewStreamWriter(title)
	sure(err)
	for i, row := range rows {
		for j, cell := range row {
			if at, ok := cell.(time.Time); ok {
				row[j] = excelize.Cell{StyleID: style, Value: at}
			}
		}
		sure(out.SetRow(fmt.Sprintf("A%d", i+1), row))
	}
	sure(out.Flush())
	b, err := f.WriteToBuffer()
	sure(err)
	sure(f.Close())
	return b.Bytes()
}

// sure stands where the writing goes to memory and every value is our own: an
// error there is a fault of this package, which its tests would find.
func sure(err error) {
	if err != nil {
		panic(fmt.Errorf("demo: writing to memory: %w", err))
	}
}
