package listing

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// sheetOf writes rows into a sheet of a workbook.
func sheetOf(t testing.TB, f *excelize.File, name string, rows ...[]any) {
	t.Helper()
	if _, err := f.NewSheet(name); err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		if err := f.SetSheetRow(name, fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
}

func workbookBytes(t testing.TB, f *excelize.File) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func style(t testing.TB, f *excelize.File, code string) int {
	t.Helper()
	id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code})
	must(t, err)
	return id
}

// TestWorkbook: three kinds in one workbook, merged zones, dates as day numbers, references as text and
// as numbers.
func TestWorkbook(t *testing.T) {
	f := excelize.NewFile()
	day := time.Date(2024, 5, 6, 14, 30, 0, 0, time.UTC)
	sheetOf(t, f, "Points", []any{"Schedule of points"}, nil,
		[]any{"Zone", "Area", "Ref", "Type", "Location", "Serial", "Fitted", "Cable (m)"},
		[]any{3, "Ground floor", "1.10", "Optical", "Hall", "00123", day.Truncate(24 * time.Hour), 12.5},
		[]any{nil, nil, "1.11", "Heat", "Kitchen", "00124", nil, 8},
		[]any{nil, nil, "1.12", "Optical", "Store", nil, "2024-05-07", nil},
		[]any{4, "Loft", "1.13", "Optical", "Loft", "00126", day, 31.25},
		[]any{"Total", 4})
	must(t, f.MergeCell("Points", "A1", "H1"))
	must(t, f.MergeCell("Points", "A4", "A6"))
	must(t, f.MergeCell("Points", "B4", "B6"))
	must(t, f.MergeCell("Points", "F5", "F6")) // a serial number speaks for one row only
	sheetOf(t, f, "March", []any{"Point", "Date", "Time", "Value (%)"},
		[]any{"L1-010", day, 0.25, 23.4}, []any{"L1-011", 45418, "14:05", "n/a"}, []any{1.1, day, nil, 25})
	sheetOf(t, f, "Log", []any{"Point", "When", "Event"}, []any{"1/10", day, "Tested"}, []any{"1/11", day, "Störung"})
	sheetOf(t, f, "Empty")
	must(t, f.DeleteSheet("Sheet1"))
	must(t, f.SetCellStyle("March", "C2", "C2", style(t, f, "hh:mm")))
	checkGolden(t, filepath.Join("testdata", "workbook"), "book.xlsx", workbookBytes(t, f))
}

// TestNumberReferences: a reference stored as a number is doubtful unless its format shows all digits.
func TestNumberReferences(t *testing.T) {
	f := excelize.NewFile()
	sheetOf(t, f, "Sheet1", []any{"Point", "Date", "Value"}, []any{1.1, "2025-01-31", 24}, []any{1.12, "2025-01-31", 25})
	data := workbookBytes(t, f)
	got := accountOf(t, openBytes(t, "a.xlsx", data).Tables()[0], Profile{})
	if len(got.Records) != 0 || len(got.Troubles) != 2 || len(got.Questions) != 1 || got.Questions[0].ID != AskDigits {
		t.Errorf("doubtful references: %+v", got)
	}
	got = accountOf(t, openBytes(t, "a.xlsx", data).Tables()[0], Profile{AddressDigits: 3})
	if len(got.Records) != 2 || !strings.HasPrefix(got.Records[0], ".1.100 ") || !strings.HasPrefix(got.Records[1], ".1.120 ") {
		t.Errorf("with three digits: %+v", got)
	}
	must(t, f.SetCellStyle("Sheet1", "A2", "A3", style(t, f, "0.00")))
	got = accountOf(t, openBytes(t, "a.xlsx", workbookBytes(t, f)).Tables()[0], Profile{})
	if len(got.Records) != 2 || !strings.HasPrefix(got.Records[0], ".1.10 ") || !strings.HasPrefix(got.Records[1], ".1.12 ") {
		t.Errorf("shown with two digits: %+v", got)
	}
}

// Test1904 reads the same day in both date systems.
func Test1904(t *testing.T) {
	f := excelize.NewFile()
	yes := true
	must(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
	sheetOf(t, f, "Sheet1", []any{"Point", "Date", "Value"}, []any{"1/1", 0, 24})
	must(t, f.SetCellStyle("Sheet1", "B2", "B2", style(t, f, "yyyy-mm-dd")))
	got := accountOf(t, openBytes(t, "a.xlsx", workbookBytes(t, f)).Tables()[0], Profile{})
	if len(got.Records) != 1 || got.Records[0] != ".1.1 1904-01-01 [24]" {
		t.Errorf("day 0 of the 1904 system: %v %v", got.Records, got.Troubles)
	}
}

// TestSerials holds day numbers against the calendar of package time: day 1 is 1 January 1900, day 61
// is 1 March 1900 (ECMA-376 part 1, 18.17.4.1).
func TestSerials(t *testing.T) {
	for days := 61; days < 80_000; days += 7 {
		want := time.Date(1900, 3, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, days-61)
		got, ok := fromSerial(float64(days), false)
		if !ok || got.text() != want.Format("2006-01-02") {
			t.Fatalf("day %d: %v, want %v", days, got.text(), want)
		}
	}
	if c, ok := fromSerial(1, false); !ok || c.text() != "1900-01-01" {
		t.Error("day 1:", c.text())
	}
	if _, ok := fromSerial(60, false); ok {
		t.Error("day 60 was taken for a day")
	}
	if c, _ := fromSerial(45418.604166667, false); c.text() != "2024-05-06 14:30:00" {
		t.Error("time of day:", c.text())
	}
}

// TestHostileWorkbooks: bombs end in one clear error, soon and with little memory.
func TestHostileWorkbooks(t *testing.T) {
	const head = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`
	cases := map[string]func(b *bytes.Buffer){
		"zip bomb":        func(b *bytes.Buffer) { b.WriteString(strings.Repeat("<row></row>", 1<<20)) },
		"huge cell":       func(b *bytes.Buffer) { b.WriteString(`<row><c t="str"><v>` + strings.Repeat("a", 20<<20)) },
		"huge pieces":     func(b *bytes.Buffer) { b.WriteString(`<row><c t="str">` + strings.Repeat("<v>aaaaaaaa</v>", 1<<18)) },
		"never ending":    func(b *bytes.Buffer) { b.WriteString(`<row><c><v>1</v>`) },
		"far right":       func(b *bytes.Buffer) { b.WriteString(`<row r="1"><c r="XFD1"><v>1</v></c></row></sheetData>`) },
		"far down":        func(b *bytes.Buffer) { b.WriteString(`<row r="999999999"><c r="A1"><v>1</v></c></row></sheetData>`) },
		"many empty":      func(b *bytes.Buffer) { b.WriteString("<row>" + strings.Repeat("<c/>", 1<<19) + "</row></sheetData>") },
		"merges all over": func(b *bytes.Buffer) { b.WriteString(`</sheetData><mergeCell ref="A1:XFD1048576"/>`) },
	}
	for name, body := range cases {
		t.Run(name, func(t *testing.T) {
			var sheet bytes.Buffer
			sheet.WriteString(head)
			body(&sheet)
			data := rawWorkbook(t, sheet.Bytes())
			f, err := Open("a.xlsx", bytes.NewReader(data), int64(len(data)), Limits{MaxUnzipped: 8 << 20})
			if err != nil {
				wantFileError(t, err)
				return
			}
			for _, table := range f.Tables() {
				u, err := Understand(table, Profile{Kind: KindReadings})
				if err != nil {
					wantFileError(t, err)
					continue
				}
				for range u.Records(table) {
				}
			}
		})
	}
}

func wantFileError(t *testing.T, err error) {
	t.Helper()
	var fe *FileError
	if !errors.As(err, &fe) || len(err.Error()) > 400 {
		t.Errorf("error %v", err)
	}
}

// rawWorkbook wraps the XML of one sheet.
func rawWorkbook(t testing.TB, sheet []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, part := range [][2]string{
		{"xl/workbook.xml", `<workbook xmlns:r="r"><sheets><sheet name="S" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="rId1" Target="worksheets/sheet1.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", string(sheet)},
	} {
		w, err := z.Create(part[0])
		must(t, err)
		_, err = w.Write([]byte(part[1]))
		must(t, err)
	}
	must(t, z.Close())
	return b.Bytes()
}
