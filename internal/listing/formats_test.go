package listing

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// rowsOf writes every row of a table on a line: its number, and its cells between bars; what is stored
// behind a cell stands in brackets.
func rowsOf(t testing.TB, table *Table, choice layoutChoice) []string {
	t.Helper()
	var out []string
	for row, err := range table.src.rows(choice) {
		line := fmt.Sprint(row.Line, ":")
		for i, c := range row.Cells {
			if i > 0 {
				line += "|"
			}
			line += c
			if s := row.Stored(i); s != "" {
				line += " [" + s + "]"
			}
			if row.kind(i)&cellCarried != 0 {
				line += " ^"
			}
		}
		if err != nil {
			line += " ! " + err.Error()
		}
		out = append(out, line)
	}
	return out
}

func wantRows(t *testing.T, table *Table, choice layoutChoice, want ...string) {
	t.Helper()
	if diff := cmp.Diff(want, rowsOf(t, table, choice)); diff != "" {
		t.Errorf("%s %s: %s", table.File, table.Name, diff)
	}
}

const odsHead = `<?xml version="1.0" encoding="UTF-8"?><office:document-content><office:automatic-styles>` +
	`<style:style style:name="ta1" style:family="table"><style:table-properties table:display="true"/></style:style>` +
	`<style:style style:name="ta2" style:family="table"><style:table-properties table:display="false"/></style:style>` +
	`</office:automatic-styles><office:body><office:spreadsheet>`

// odsOf packs the sheets of a spreadsheet.
func odsOf(t testing.TB, sheets string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, part := range [][2]string{
		{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"},
		{odsContent, odsHead + sheets + `</office:spreadsheet></office:body></office:document-content>`},
	} {
		w, err := z.Create(part[0])
		must(t, err)
		_, err = w.Write([]byte(part[1]))
		must(t, err)
	}
	must(t, z.Close())
	return b.Bytes()
}

const odsSheet = `<table:table table:name="Points" table:style-name="ta1">
<table:table-column table:number-columns-repeated="4"/><table:table-column table:visibility="collapse"/><table:table-column table:number-columns-repeated="1019"/>
<table:table-row><table:table-cell office:value-type="string"><text:p>Point</text:p></table:table-cell><table:table-cell office:value-type="string"><text:p>Date</text:p></table:table-cell><table:table-cell office:value-type="string"><text:p>Value</text:p></table:table-cell><table:table-cell office:value-type="string"><text:p>Place</text:p></table:table-cell><table:table-cell office:value-type="string"><text:p>old</text:p></table:table-cell></table:table-row>
<table:table-row><table:table-cell office:value-type="float" office:value="1.1"><text:p>1,10</text:p></table:table-cell><table:table-cell office:value-type="date" office:date-value="2025-01-31"><text:p>31.01.25</text:p></table:table-cell><table:table-cell office:value-type="percentage" office:value="0.23"><text:p>23 %</text:p></table:table-cell><table:table-cell office:value-type="string" table:number-rows-spanned="2"><text:p>Hall<text:s text:c="2"/>north<office:annotation><text:p>note</text:p></office:annotation></text:p><text:p>door</text:p></table:table-cell><table:table-cell office:value-type="float" office:value="7"><text:p>7</text:p></table:table-cell></table:table-row>
<table:table-row table:number-rows-repeated="2"><table:table-cell office:value-type="float" office:value="73"><text:p>L1-073</text:p></table:table-cell><table:table-cell office:value-type="time" office:time-value="PT14H05M00S"><text:p>14:05</text:p></table:table-cell><table:table-cell table:formula="of:=[.A1]" office:value-type="float" office:value="1234"><text:p>1.234 mA</text:p></table:table-cell></table:table-row>
<table:table-row table:visibility="filter"><table:table-cell office:value-type="string"><text:p>hidden</text:p></table:table-cell></table:table-row>
<table:table-row table:number-rows-repeated="1048570"><table:table-cell table:number-columns-repeated="1024"/></table:table-row>
<table:table-row><table:table-cell table:formula="of:=[.A1]"/></table:table-row>
</table:table><table:table table:name="Empty" table:style-name="ta1"/><table:table table:name="Old" table:style-name="ta2"><table:table-row><table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>WAHR</text:p></table:table-cell><table:table-cell table:number-columns-repeated="2" office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row></table:table>`

func TestODS(t *testing.T) {
	f := openBytes(t, "a.ods", odsOf(t, odsSheet))
	if len(f.Tables()) != 1 || len(f.Hidden()) != 1 || f.Hidden()[0].Name != "Old" {
		t.Fatalf("%d shown, %d hidden", len(f.Tables()), len(f.Hidden()))
	}
	table := f.Tables()[0]
	uncomputed := `1048576: ! a.ods, sheet "Points", row 1048576, column "A": expected a value, found a formula whose result is not stored; open the workbook in a spreadsheet program, which computes it, and save it`
	wantRows(t, table, layoutChoice{},
		"1:Point|Date|Value|Place",
		"2:1.10|2025-01-31 [2025-01-31]|23 % [0.23]|Hall  north\ndoor",
		"3:L1-073 [73]|14:05:00 [PT14H05M00S]|1234 mA [1234]|Hall  north\ndoor ^",
		"4:L1-073 [73]|14:05:00 [PT14H05M00S]|1234 mA [1234]", uncomputed)
	if want := (HiddenParts{Rows: 1, FirstRow: 5, Columns: []int{4}}); !cmp.Equal(table.LeftOut, want) {
		t.Errorf("left out: %+v", table.LeftOut)
	}
	wantRows(t, table, layoutChoice{hidden: true},
		"1:Point|Date|Value|Place|old",
		"2:1.10|2025-01-31 [2025-01-31]|23 % [0.23]|Hall  north\ndoor|7",
		"3:L1-073 [73]|14:05:00 [PT14H05M00S]|1234 mA [1234]|Hall  north\ndoor ^",
		"4:L1-073 [73]|14:05:00 [PT14H05M00S]|1234 mA [1234]",
		"5:hidden", uncomputed)
	wantRows(t, f.Hidden()[0], layoutChoice{}, "1:TRUE|x|x")
}

func xlsExample() []byte {
	m := &xlsMaker{formats: []string{"0%", "dd.mm.yyyy", "0.00", `0.0" mA"`, `"L1-"000`}}
	m.sheet("Points", 0,
		record(recColumns, uint16(4), uint16(4), uint16(0), uint16(0), uint16(1), uint16(0)),
		record(recRow, uint16(3), [10]byte{}, byte(0x20), [3]byte{}),
		m.shared(0, 0, "Point"), m.shared(0, 1, "Date"), m.shared(0, 2, "Wert µA"), m.shared(0, 3, "Place"), m.shared(0, 4, "old"),
		xlsNumber(1, 0, 3, 1.1), xlsNumber(1, 1, 2, 45688), xlsNumber(1, 2, 1, 0.23), record(recLabel, uint16(1), uint16(3), uint16(0), xlsText("Hall")), xlsNumber(1, 4, 0, 7),
		record(recManyRK, uint16(2), uint16(0), uint16(5), uint32(73<<2|2), uint16(4), uint32(123<<2|3), uint16(1)),
		record(recFormula, uint16(2), uint16(2), uint16(0), [8]byte{0, 0, 0, 0, 0, 0, 0xff, 0xff}, uint16(0), uint32(0)), record(recText, xlsText("sum")),
		m.shared(3, 0, "hidden"),
		record(recTruth, uint16(4), uint16(0), uint16(0), byte(1), byte(0)), record(recTruth, uint16(4), uint16(1), uint16(0), byte(0x2a), byte(1)),
		record(recMerged, uint16(1), uint16(1), uint16(2), uint16(3), uint16(3)))
	m.sheet("Empty", 0)
	m.sheet("Old", 2, xlsNumber(0, 0, 0, 1))
	for i := range 3000 { // a table of texts that goes on in other records
		m.texts = append(m.texts, fmt.Sprint("text ", i))
	}
	m.sheet("Long", 0, record(recShared, uint16(0), uint16(0), uint16(0), uint32(len(m.texts)-1)))
	return m.file()
}

func TestXLS(t *testing.T) {
	f := openBytes(t, "a.xls", xlsExample())
	if len(f.Tables()) != 2 || len(f.Hidden()) != 1 || f.Hidden()[0].Name != "Old" {
		t.Fatalf("%d shown, %d hidden", len(f.Tables()), len(f.Hidden()))
	}
	table := f.Tables()[0]
	wantRows(t, table, layoutChoice{},
		"1:Point|Date|Wert µA|Place",
		"2:1.10|2025-01-31 [45688]|23 % [0.23]|Hall",
		"3:L1-073 [73]|1.23 mA [1.23]|sum|Hall ^",
		"5:TRUE|#N/A")
	if want := (HiddenParts{Rows: 1, FirstRow: 4, Columns: []int{4}}); !cmp.Equal(table.LeftOut, want) {
		t.Errorf("left out: %+v", table.LeftOut)
	}
	wantRows(t, f.Tables()[1], layoutChoice{}, "1:text 2999")
}

// TestXLSXShown: what a number format shows is kept beside the value, and what is hidden is left out.
func TestXLSXShown(t *testing.T) {
	f := excelize.NewFile()
	sheetOf(t, f, "S", []any{"Share", "Current", "Address", "old", "Sum"}, []any{0.234, 12.5, 73, 1, nil}, []any{"gone"}, []any{1})
	for cell, code := range map[string]string{"A2": "0%", "B2": `0.0" mA"`, "C2": `"L1-"000`} {
		must(t, f.SetCellStyle("S", cell, cell, style(t, f, code)))
	}
	must(t, f.SetCellFormula("S", "E2", "A2*2"))
	must(t, f.SetRowVisible("S", 3, false))
	must(t, f.SetColVisible("S", "D", false))
	sheetOf(t, f, "Old", []any{"x"})
	must(t, f.DeleteSheet("Sheet1"))
	must(t, f.SetSheetVisible("Old", false))
	file := openBytes(t, "a.xlsx", workbookBytes(t, f))
	if len(file.Tables()) != 1 || len(file.Hidden()) != 1 {
		t.Fatalf("%d shown, %d hidden", len(file.Tables()), len(file.Hidden()))
	}
	table := file.Tables()[0]
	wantRows(t, table, layoutChoice{}, "1:Share|Current|Address||Sum",
		`2:23.4 % [0.234]|12.5 mA [12.5]|L1-073 [73] ! a.xlsx, sheet "S", row 2, column "E": expected a value, found a formula whose result is not stored; open the workbook in a spreadsheet program, which computes it, and save it`,
		"4:1")
	if want := (HiddenParts{Rows: 1, FirstRow: 3, Columns: []int{3}}); !cmp.Equal(table.LeftOut, want) {
		t.Errorf("left out: %+v", table.LeftOut)
	}
}

func TestHTML(t *testing.T) {
	page := `<!DOCTYPE html><html><head><meta charset="utf-8"><style>table{}</style></head><body><p>Site</p>
<table><tr><td>menu</td></tr></table>
<TABLE><colgroup><col span=3><col style="display: none"></colgroup><thead><tr><th>Zone<th>Point</th><th colspan="2">Value</tr></thead>
<tr><td rowspan=2>3 &amp; 4<td>1.001</td><td>25<td>old
<tr><td>1.002</td><td>26 <b>%</b><br>new</td></tr>
<tr style="display:none"><td>gone</td></tr><tr><td>5</td><td>1.003<table><tr><td>in</td><td>side</td></tr></table></td></tr></table></body></html>`
	f := openBytes(t, "a.html", []byte(page))
	if len(f.Tables()) != 2 {
		t.Fatalf("%d tables", len(f.Tables()))
	}
	wantRows(t, f.Tables()[0], layoutChoice{}, "1:Zone|Point|Value", "2:3 & 4|1.001|25", "3:3 & 4 ^|1.002|26 %\nnew", "5:5|1.003")
	wantRows(t, f.Tables()[1], layoutChoice{}, "1:in|side")
	if want := (HiddenParts{Rows: 1, FirstRow: 4, Columns: []int{3}}); !cmp.Equal(f.Tables()[0].LeftOut, want) {
		t.Errorf("left out: %+v", f.Tables()[0].LeftOut)
	}
	latin := "<html><meta http-equiv=content-type content='text/html; charset=iso-8859-2'><table><tr><td>\xb1<td>b</table>"
	wantRows(t, openBytes(t, "b.html", []byte(latin)).Tables()[0], layoutChoice{}, "1:ą|b")
}

func TestJSON(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"objects":         {`[{"point":"1.10","value":25.50},{"value":26,"point":"1.11","at":{"day":"2025-01-31"},"ok":true,"no":null}]`, []string{"1:point|value|at.day|ok|no", "2:1.10|25.50|||", "3:1.11|26|2025-01-31|TRUE|"}},
		"lists":           {"\ufeff [[\"point\",\"value\"],[\"1.10\",[25,26]]]", []string{"1:point|value", "2:1.10|25;26"}},
		"lines":           {"{\"point\":\"1.1\",\"value\":1e3}\n{\"point\":\"1.2\"}\n", []string{"1:point|value", "2:1.1|1000", "3:1.2|"}},
		"lines of lists":  {"[\"point\",\"value\"]\n[\"1.1\",25]\n", []string{"1:point|value", "2:1.1|25"}},
		"a list by name":  {`{"site":"Mill","points":[{"point":"1.1"}],"days":["x"]}`, []string{"1:point", "2:1.1"}},
		"twice and rows":  {`[{"a":1,"a":2},{"a":[[{"b":1}]]},{"a":3}]`, []string{"1:a", `2: ! a.json, row 2: expected a value under each name, once, found "a" twice; write one row for each`, "3: ! a.json, row 3: expected a value under each name, once, found rows inside a cell; write one row for each", "4:3"}},
		"one row by name": {`{"point":"1.1","at":{"b":{"c":{"d":{"e":"deep"}}}}}`, []string{"1:point|at.b.c.d.e", "2:1.1|deep"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := openBytes(t, "a.json", []byte(c.text))
			f.Tables()[0].Name = ""
			wantRows(t, f.Tables()[0], layoutChoice{}, c.want...)
		})
	}
	two := openBytes(t, "a.json", []byte(`{"points":[{"p":1}],"readings":[[1],[2]]}`))
	if len(two.Tables()) != 2 || two.Tables()[1].Name != "readings" {
		t.Errorf("%d lists", len(two.Tables()))
	}
}

func TestSYLK(t *testing.T) {
	text := "ID;PWXL;N;E\r\nP;PGeneral\r\nP;P0%\r\nP;Pdd/mm/yyyy\r\nB;Y3;X3\r\nC;Y1;X1;K\"Point\"\r\nC;X2;K\"a;;b\"\r\nC;X3;K\"Day\"\r\n" +
		"F;P1;FG0G;Y2;X2\r\nC;Y2;X1;K1.1\r\nF;P1;Y2;X2\r\nC;Y2;X2;K0.23\r\nF;P2;X3\r\nC;K45688\r\nC;Y4;X1;KTRUE\r\nE\r\n"
	wantRows(t, openBytes(t, "a.slk", []byte(text)).Tables()[0], layoutChoice{}, "1:Point|a;b|Day", "2:1.1|23 % [0.23]|2025-01-31 [45688]", "4:TRUE")
}

func TestDIF(t *testing.T) {
	text := "TABLE\r\n0,1\r\n\"EXCEL\"\r\nVECTORS\r\n0,2\r\n\"\"\r\nTUPLES\r\n0,3\r\n\"\"\r\nDATA\r\n0,0\r\n\"\"\r\n" +
		"-1,0\r\nBOT\r\n1,0\r\n\"Point\"\r\n1,0\r\n\"a \"\"b\"\"\"\r\n-1,0\r\nBOT\r\n0,1.5\r\nV\r\n0,0\r\nNA\r\n-1,0\r\nBOT\r\n-1,0\r\nEOD\r\n"
	wantRows(t, openBytes(t, "a.dif", []byte(text)).Tables()[0], layoutChoice{}, "1:Point|a \"b\"", "2:1.5|#NA", "3:")
}

// zipOf packs files.
func zipOf(t testing.TB, files ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		w, err := z.Create(files[i])
		must(t, err)
		_, err = w.Write([]byte(files[i+1]))
		must(t, err)
	}
	must(t, z.Close())
	return b.Bytes()
}

func TestZip(t *testing.T) {
	inner := string(zipOf(t, "deep.csv", "a,b\n1,2\n"))
	f := openBytes(t, "a.zip", zipOf(t, "dir/", "", "dir/one.csv", "a;b\n1;2\n", "__MACOSX/dir/._one.csv", "x", "book.ods", string(odsOf(t, odsSheet)), "in.zip", inner, "plan.pdf", "%PDF-1.4"))
	var names []string
	for _, table := range f.Tables() {
		names = append(names, table.Name)
	}
	if want := []string{"dir/one.csv", "book.ods, Points", "in.zip, deep.csv"}; !cmp.Equal(names, want) {
		t.Errorf("%q", names)
	}
	if len(f.Notes) != 2 || f.Notes[0] != "book.ods in it: comments on cells are not read: 1" || !strings.HasPrefix(f.Notes[1], "plan.pdf in it: this is a PDF") {
		t.Errorf("%q", f.Notes)
	}
	wantRows(t, f.Tables()[2], layoutChoice{}, "1:a|b", "2:1|2")
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := w.Write([]byte("a,b\n1,2\n"))
	must(t, err)
	must(t, w.Close())
	wantRows(t, openBytes(t, "a.csv.gz", b.Bytes()).Tables()[0], layoutChoice{}, "1:a|b", "2:1|2")
}

// TestDialect: separator, quotes and escapes follow from what keeps cells whole.
func TestDialect(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"semicolons in quotes": {
			"Site Mill\nLoop,Addr.,Device,Zone,Where fitted,Cable from previous (m)\n1,1,Smoke,3,\"Bay 1, post 1, \"\"north\"\"; rack 0\",4.5\n1,2,Smoke,3,\"Bay 2, post 2, \"\"north\"\"; rack 1\",5\n",
			[]string{"1:Site Mill", "2:Loop|Addr.|Device|Zone|Where fitted|Cable from previous (m)", `3:1|1|Smoke|3|Bay 1, post 1, "north"; rack 0|4.5`, `4:1|2|Smoke|3|Bay 2, post 2, "north"; rack 1|5`},
		},
		"apostrophes quote":   {"point,place,value\n1.1,'Men''s room, left',25\n1.2,'Caretaker's flat',26\n1.3,'a,b',27\n", []string{"1:point|place|value", "2:1.1|Men's room, left|25", "3:1.2|Caretaker's flat|26", "4:1.3|a,b|27"}},
		"apostrophes do not":  {"point,place\n1.1,Men's room\n1.2,'s-Gravenzaal\n", []string{"1:point|place", "2:1.1|Men's room", "3:1.2|'s-Gravenzaal"}},
		"escapes":             {"point,place\n1.1,\"6\\\" pipe, left\"\n1.2,\"hall\"\n", []string{"1:point|place", `2:1.1|6" pipe, left`, "3:1.2|hall"}},
		"a stray quote":       {"point,place,value\n1.1,\"hall,25\n1.2,\"loft, left\",26\n1.3,hall,27\n1.4,hall,28\n", []string{"1:point|place|value", `2:1.1|"hall|25`, "3:1.2|loft, left|26", "4:1.3|hall|27", "5:1.4|hall|28"}},
		"padded":              {"point, place, value\n1.1, hall, 25\n1.2, \"loft, left\", 26\n", []string{"1:point|place|value", "2:1.1|hall|25", "3:1.2|loft, left|26"}},
		"a title with commas": {"point;place;value\n1.1;hall;25\nFloor 1, hall, west\n1.3;hall;27\n", []string{"1:point|place|value", "2:1.1|hall|25", "3:Floor 1, hall, west", "4:1.3|hall|27"}},
		"another separator":   {"point;place;value\n1.1;hall;25\n1.2,loft,26\n1.3;hall;27\n", []string{"1:point|place|value", "2:1.1|hall|25", "3:1.2|loft|26", "4:1.3|hall|27"}},
	} {
		t.Run(name, func(t *testing.T) {
			wantRows(t, openBytes(t, "a.csv", []byte(c.text)).Tables()[0], layoutChoice{}, c.want...)
		})
	}
}

// TestDialectFurtherOn: how a long text begins does not decide alone.
func TestDialectFurtherOn(t *testing.T) {
	var b strings.Builder
	b.WriteString("Notes;of;the;site\n")
	for i := range 2000 {
		fmt.Fprintf(&b, "a;b;c;d note %d\n", i)
	}
	head := b.Len()
	for i := range 60_000 {
		fmt.Fprintf(&b, "1.%d\t2025-01-31\t25\tA. Field\tfine\n", i%126+1)
	}
	f := openBytes(t, "a.txt", []byte(b.String()))
	if _, sep := f.Tables()[0].src.layout(layoutChoice{}); sep != "tab" {
		t.Errorf("%d bytes of notes before %d of rows make the separator %q", head, b.Len()-head, sep)
	}
}
