package paper

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// others skips a test that needs programs which are not ours; scripts/test
// installs them and sets the variable.
func others(t *testing.T) {
	t.Helper()
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to check papers with poppler-utils, qpdf, zbar-tools and python3-openpyxl")
	}
}

func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

func kept(t *testing.T, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A PDF by poppler and qpdf: sound, all type embedded, every figure found, page x
// of y on each page, with its site and as-of; bookmarks; metadata.
func TestPDFByOthers(t *testing.T) {
	others(t)
	const rows = 700
	for _, size := range Sizes() {
		path := kept(t, "sample.pdf", written(t, func(b *bytes.Buffer) error { return WritePDF(b, sample(rows), size) }))
		tool(t, "qpdf", "--check", path) // a warning is an exit status too
		for i, line := range strings.Split(strings.TrimSpace(tool(t, "pdffonts", path)), "\n") {
			if fields := strings.Fields(line); i > 1 && fields[len(fields)-5] != "yes" {
				t.Errorf("type not embedded: %s", line)
			}
		}
		text := tool(t, "pdftotext", "-layout", path, "-")
		for i := range rows {
			for _, want := range []string{fmt.Sprintf("row-%05d", i), fmt.Sprintf("%.2f", float64(i)*1.25)} {
				if !strings.Contains(text, want) {
					t.Fatalf("%s: %s is not on the paper", size.Name, want)
				}
			}
		}
		for _, want := range []string{"Größe Ω works", "≤ 5 → 6 ✓", "Be careful.", "Example Fire Care", "tester"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q is not on the paper", size.Name, want)
			}
		}
		pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
		for i, page := range pages {
			for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(pages)), "As of 2026-01-20 10:00 UTC", "code ABCD-EFGH-IJKL-MNOP", "Größe Ω works", "Still out of use: 1.1.001"} {
				if !strings.Contains(page, want) {
					t.Errorf("%s page %d lacks %q", size.Name, i+1, want)
				}
			}
		}
		contents(t, pages)
		info := tool(t, "pdfinfo", path)
		for _, want := range []string{"Sample, Größe Ω works", "Example Fire Care", map[string]string{"A4": "595.28 x 841.89 pts", "Letter": "612 x 792 pts"}[size.Name], "CreationDate:    Tue Jan 20"} {
			if !strings.Contains(info, want) {
				t.Errorf("%s: pdfinfo lacks %q:\n%s", size.Name, want, info)
			}
		}
		outline(t, path)
	}
}

// contents compares the page numbers of the contents with where the parts begin.
func contents(t *testing.T, pages []string) {
	t.Helper()
	for _, title := range []string{"Words", "Table", "Pictures"} {
		said := 0
		for line := range strings.Lines(pages[0]) {
			if fields := strings.Fields(line); len(fields) == 2 && fields[0] == title {
				fmt.Sscan(fields[1], &said) //nolint:errcheck // 0 is wrong too
			}
		}
		if said < 2 || said > len(pages) {
			t.Errorf("the contents say page %d of %s", said, title)
			continue
		}
		if begins := strings.Fields(pages[said-1]); !strings.Contains(strings.Join(begins[:20], " "), title) {
			t.Errorf("%s does not begin on page %d", title, said)
		}
	}
}

// outline looks for bookmarks and the language in the file, with qpdf.
func outline(t *testing.T, path string) {
	t.Helper()
	var doc struct {
		Outlines []struct{ Title string }
	}
	if err := json.Unmarshal([]byte(tool(t, "qpdf", "--json", "--json-key=outlines", path)), &doc); err != nil {
		t.Fatal(err)
	}
	var titles []string
	for _, o := range doc.Outlines {
		titles = append(titles, o.Title)
	}
	if got := strings.Join(titles, ","); got != "Contents,Words,Table,Pictures" {
		t.Errorf("bookmarks %q", got)
	}
	if !strings.Contains(tool(t, "qpdf", "--qdf", path, "-"), "/Lang (en)") {
		t.Error("the file does not say its language")
	}
}

// A workbook by openpyxl: kinds of cells, frozen head, filter, print area, titles.
func TestXLSXByOthers(t *testing.T) {
	others(t)
	const script = `
import sys, json, datetime, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
sheet = book["Figures"]
row = [c for c in sheet[6]]
print(json.dumps({"sheets": book.sheetnames, "freeze": sheet.freeze_panes, "filter": sheet.auto_filter.ref, "area": "".join(sheet.print_area or []),
  "titles": sheet.print_title_rows, "paper": int(sheet.page_setup.paperSize), "rows": sheet.max_row, "kinds": [c.data_type for c in row],
  "values": [str(c.value) for c in row], "day": row[2].number_format, "formulas": sum(c.data_type == "f" for r in sheet.iter_rows() for c in r),
  "title": book.properties.title}))
`
	path := kept(t, "sample.xlsx", written(t, func(b *bytes.Buffer) error { return WriteXLSX(b, sample(20), Sizes()[0]) }))
	var got struct {
		Sheets, Kinds, Values            []string
		Freeze, Filter, Area, Day, Title string
		Titles                           string
		Rows, Formulas, Paper            int
	}
	if err := json.Unmarshal([]byte(tool(t, "/usr/bin/python3", "-c", script, path)), &got); err != nil {
		t.Fatal(err)
	}
	if strings.Join(got.Sheets, ",") != "about,A heading,Figures" || got.Rows != 21 || got.Formulas != 0 {
		t.Errorf("%+v", got)
	}
	if got.Freeze != "A2" || strings.ReplaceAll(got.Filter, "$", "") != "A1:E21" || !strings.Contains(got.Area, "$A$1:$E$21") || !strings.Contains(got.Titles, "1") || got.Paper != 9 {
		t.Errorf("freeze %s, filter %s, area %s, titles %s, paper %d", got.Freeze, got.Filter, got.Area, got.Titles, got.Paper)
	}
	if strings.Join(got.Kinds, "") != "sndns" || got.Values[0] != "row-00004" || got.Values[1] != "5" || got.Values[2] != "2026-01-16 00:00:00" || got.Values[4] != "=SUM(A1:A9)" {
		t.Errorf("kinds %v, values %v", got.Kinds, got.Values)
	}
	if got.Title != "Sample, Größe Ω works" {
		t.Errorf("title %q", got.Title)
	}
}

// Labels measured on the rendered page: every edge lies where the sheet's table
// says, to half a millimetre, and zbar reads every code.
func TestLabelsByOthers(t *testing.T) {
	others(t)
	sheets, err := LabelSheets()
	if err != nil {
		t.Fatal(err)
	}
	for _, sheet := range sheets {
		t.Run(sheet.Name, func(t *testing.T) {
			skip := min(2, sheet.Across*sheet.Down-1) // a roll has one label a page
			n := sheet.Across*sheet.Down - skip
			path := kept(t, "labels.pdf", written(t, func(b *bytes.Buffer) error { return WriteLabels(b, sample(0), &sheet, someLabels(n), skip, true) }))
			tool(t, "qpdf", "--check", path)
			page := scanned(t, rendered(t, path))
			for i := range sheet.Across * sheet.Down {
				column, row := i%sheet.Across, i/sheet.Across
				x, y := sheet.Left+float64(column)*sheet.StepX, sheet.Top+float64(row)*sheet.StepY
				for _, edge := range []struct {
					name     string
					x, y     float64
					vertical bool
				}{
					{"left", x, y + 0.7, true}, {"right", x + sheet.Width, y + 0.7, true}, {"top", x + 0.7, y, false}, {"bottom", x + 0.7, y + sheet.Height, false},
				} {
					if drawn := page.edge(edge.x, edge.y, edge.vertical); drawn != (i >= skip) && !page.neighbour(&sheet, i, skip) {
						t.Errorf("label %d: edge %s drawn: %v", i, edge.name, drawn)
					}
				}
			}
			args := []string{"-q", "--raw", "--nodbus"}
			for i := range n { // as a phone does, one label at a time
				_, x, y := sheet.Place(skip + i)
				args = append(args, kept(t, fmt.Sprintf("%03d.pgm", i), page.cut(x, y, sheet.Width, sheet.Height)))
			}
			read := strings.Fields(tool(t, "zbarimg", args...))
			if len(read) != n {
				t.Errorf("%d of %d codes are read", len(read), n)
			}
			for i, l := range someLabels(n)[:min(n, len(read))] {
				if read[i] != l.Code {
					t.Errorf("the code of %s reads %s, want %s", l.Number, read[i], l.Code)
				}
			}
		})
	}
}

// scan is a rendered page: shades of grey, so many dots a millimetre.
type scan struct {
	width, height int
	dots          []byte
	perMM         float64
}

func rendered(t *testing.T, pdf string) string {
	base := strings.TrimSuffix(pdf, ".pdf")
	tool(t, "pdftoppm", "-r", "400", "-gray", "-singlefile", pdf, base)
	return base + ".pgm"
}

func scanned(t *testing.T, pgm string) *scan {
	raw, err := os.ReadFile(pgm)
	if err != nil {
		t.Fatal(err)
	}
	s := &scan{perMM: 400 / 25.4}
	var most int
	if _, err := fmt.Sscanf(string(raw[:40]), "P5\n%d %d\n%d\n", &s.width, &s.height, &most); err != nil {
		t.Fatal(err)
	}
	s.dots = raw[len(raw)-s.width*s.height:]
	return s
}

// cut gives a part of the page as a picture of its own.
func (s *scan) cut(x, y, width, height float64) []byte {
	left, top := max(0, int(x*s.perMM)), max(0, int(y*s.perMM))
	right, bottom := min(s.width, int((x+width)*s.perMM)), min(s.height, int((y+height)*s.perMM))
	made := fmt.Appendf(nil, "P5\n%d %d\n255\n", right-left, bottom-top)
	for row := top; row < bottom; row++ {
		made = append(made, s.dots[row*s.width+left:row*s.width+right]...)
	}
	return made
}

// edge looks for ink within half a millimetre of a place, across the edge.
func (s *scan) edge(x, y float64, vertical bool) bool {
	const tolerance = 0.5
	for d := -tolerance; d <= tolerance; d += 0.5 / s.perMM {
		ax, ay := x, y
		if vertical {
			ax += d
		} else {
			ay += d
		}
		px, py := int(math.Round(ax*s.perMM)), int(math.Round(ay*s.perMM))
		if px >= 0 && py >= 0 && px < s.width && py < s.height && s.dots[py*s.width+px] < 250 {
			return true
		}
		if px < 0 || py < 0 || px >= s.width || py >= s.height {
			return true // the edge of the paper is the label's
		}
	}
	return false
}

// neighbour reports whether an unprinted label touches a printed one, whose edge
// is then drawn at the same place.
func (s *scan) neighbour(sheet *LabelSheet, i, skip int) bool {
	return i < skip && i+sheet.Across >= skip || i == skip-1
}
