package listing

import (
	"archive/zip"
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// struckWorkbook has a row that is struck out, a value of which a part is, and a comment.
func struckWorkbook(t *testing.T) string {
	t.Helper()
	f := excelize.NewFile()
	out, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(err)
	for i, row := range [][]any{{"Point", "Date", "Value"}, {"1.001", "2026-11-13", 26}, {"1.002", "2026-11-13", 27}, {"1.003", "2026-11-13", "28"}} {
		must(f.SetSheetRow("Sheet1", "A"+string(rune('1'+i)), &row))
	}
	must(f.SetCellStyle("Sheet1", "A3", "C3", out))
	must(f.SetCellRichText("Sheet1", "C4", []excelize.RichTextRun{{Text: "37", Font: &excelize.Font{Strike: true}}, {Text: " 28"}}))
	must(f.AddComment("Sheet1", excelize.Comment{Cell: "C2", Paragraph: []excelize.RichTextRun{{Text: "misread, was 37"}}}))
	var b bytes.Buffer
	must(f.Write(&b))
	return b.String()
}

// openSheet is an open spreadsheet with a value that is struck out in part, one wholly, and a comment.
func openSheet(t *testing.T) string {
	t.Helper()
	cell := func(text string) string { return "<table:table-cell><text:p>" + text + "</text:p></table:table-cell>" }
	row := func(cells ...string) string {
		return "<table:table-row>" + strings.Join(cells, "") + "</table:table-row>"
	}
	content := `<office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x" xmlns:style="s"><office:automatic-styles>` +
		`<style:style style:name="out"><style:text-properties style:text-line-through-style="solid"/></style:style>` +
		`<style:style style:name="in"><style:text-properties style:text-line-through-style="none"/></style:style></office:automatic-styles>` +
		`<office:body><office:spreadsheet><table:table table:name="A">` + row(cell("Point"), cell("Date"), cell("Value")) +
		row(cell("1.001"), cell("2026-11-13"), `<table:table-cell table:style-name="in"><office:annotation><text:p>misread</text:p></office:annotation><text:p>26</text:p></table:table-cell>`) +
		row(cell("1.002"), cell("2026-11-13"), `<table:table-cell table:style-name="out"><text:p>27</text:p></table:table-cell>`) +
		row(cell("1.003"), cell("2026-11-13"), cell(`<text:span text:style-name="out">37</text:span> 28`)) +
		`</table:table></office:spreadsheet></office:body></office:document-content>`
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create(odsContent)
	if err == nil {
		_, err = w.Write([]byte(content))
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What is struck out is refused in all formats that can strike out, and comments are told of.
func TestStruckOut(t *testing.T) {
	page := "<table><tr><th>Point<th>Date<th>Value<tr><td>1.001<td>2026-11-13<td>26<tr><td>1.002<td>2026-11-13<td>%s<tr style='text-decoration: Line-Through'><td>1.003<td>2026-11-13<td>28</table>"
	const out = "refused one that is struck out, wholly or in part"
	want := []string{"1.1 2026-11-13 [26]", out, out}
	for name, text := range map[string]string{
		"x.xlsx": struckWorkbook(t), "x.ods": openSheet(t),
		"s.html": strings.Replace(page, "%s", "<s>37</s> 27", 1), "del.html": strings.Replace(page, "%s", "<del>27</del>", 1),
		"span.html": strings.Replace(page, "%s", `<span style="text-decoration:line-through">37</span> 27`, 1),
	} {
		if got := readingsOf(t, name, text, Profile{Kind: KindReadings}); !slices.Equal(got, want) {
			t.Errorf("%s: %q", name, got)
		}
	}
	for name, text := range map[string]string{"x.xlsx": struckWorkbook(t), "x.ods": openSheet(t)} {
		f, err := Open(name, strings.NewReader(text), int64(len(text)), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Notes) != 1 || !strings.HasPrefix(f.Notes[0], "comments on cells are not read: ") || name == "x.xlsx" && !strings.Contains(f.Notes[0], `C2 "misread, was 37"`) {
			t.Errorf("%s: %q", name, f.Notes)
		}
	}
}
