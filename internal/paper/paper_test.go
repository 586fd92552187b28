package paper

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode"

	"golang.org/x/image/font/sfnt"
	"pgregory.net/rapid"

	"sootline/internal/chart"
)

// sample is a document with a block of each kind and a table of so many rows.
func sample(rows int) *Document {
	at := time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC)
	t := Table{
		Title:   "Figures",
		Columns: []Column{{Name: "name"}, {Name: "figure", Right: true}, {Name: "day"}, {Name: "done"}, {Name: "text"}},
		None:    "No figure.",
	}
	for i := range rows {
		t.Rows = append(t.Rows, []Cell{Text(fmt.Sprintf("row-%05d", i)), Number(float64(i)*1.25, 2), Day(at.AddDate(0, 0, -i%3000)), Tick(), Text("=SUM(A1:A9)")})
	}
	picture := chart.Counts{Title: "Counts", Names: []string{"one", "two"}, Months: []chart.Month{{At: at, Parts: []int{3, 2}}}}.Picture()
	card := chart.Card{Name: "1.1.001", Number: "001", Place: "Hall", Switches: []chart.CardSwitch{{Name: "1", Counts: 1, On: true}}, Dials: []chart.CardDial{{Name: "TENS", Last: 15, At: 12}}, Boxes: true}.Picture()
	return &Document{
		Title: "Sample", Site: "Größe Ω works", AsOf: "As of 2026-01-20 10:00 UTC", Made: at, Code: "ABCD-EFGH-IJKL-MNOP", RestsOn: "Rests on 7 entries",
		Firm: Firm{Name: "Example Fire Care", Address: []string{"12 Invented Street"}, Phone: "+00 0"}, Standing: []string{"1.1.001"}, Cautions: []string{"Be careful."},
		Contents: true,
		Parts: []Part{
			{Title: "Words", Blocks: []Block{Heading{"A heading"}, Paragraph{"A paragraph ≤ 5 → 6 ✓."}, List{[]string{"first", "second"}}, Fields{[]Field{{Name: "known", Value: "yes"}, {Name: "open"}}}, Signatures{[]string{"tester"}}}},
			{Title: "Table", Blocks: []Block{t}},
			{Title: "Pictures", Blocks: []Block{Picture{picture}, Cards{[]*chart.Picture{card}}}},
		},
	}
}

func written(t testing.TB, write func(*bytes.Buffer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The same document gives the same bytes, in every format and size.
func TestSameBytes(t *testing.T) {
	for _, size := range Sizes() {
		for name, write := range map[string]func(*bytes.Buffer) error{
			"pdf":  func(b *bytes.Buffer) error { return WritePDF(b, sample(300), size) },
			"xlsx": func(b *bytes.Buffer) error { return WriteXLSX(b, sample(300), size) },
			"html": func(b *bytes.Buffer) error { return WriteHTML(b, sample(300), size) },
			"csv":  func(b *bytes.Buffer) error { return WriteCSV(b, sample(300)) },
			"labels": func(b *bytes.Buffer) error {
				return WriteLabels(b, sample(0), &LabelSheet{Paper: size, Across: 1, Down: 1, Width: 70, Height: 37, StepX: 70, StepY: 37}, someLabels(3), 0, true)
			},
		} {
			first := written(t, write)
			for range 3 {
				if !bytes.Equal(first, written(t, write)) {
					t.Errorf("%s on %s: other bytes", name, size.Name)
					break
				}
			}
		}
	}
}

// The bold type decides what can be printed: the other must have all of it.
func TestTypesAgree(t *testing.T) {
	light, err := sfnt.Parse(regular)
	if err != nil {
		t.Fatal(err)
	}
	g, err := newGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	can := 0
	for r := rune(' '); r <= 0xFFFF; r++ {
		if !g.can(r) {
			continue
		}
		can++
		if i, err := light.GlyphIndex(&g.buffer, r); err != nil || i == 0 {
			t.Errorf("%q (%U) is in the bold type alone", r, r)
		}
	}
	if can < 3000 {
		t.Errorf("only %d letters can be printed", can)
	}
}

func TestStandIns(t *testing.T) {
	for text, want := range map[string]string{
		"plain":              "plain",
		"Größe Ω → ≤ 5 ✓ Łó": "Größe Ω → ≤ 5 ✓ Łó",
		"東京倉庫 二階":            "[Han 6]",
		"hall 東京, room":      "hall [Han 2], room",
		"מסדרון x":           "[Hebrew 6] x",
		"مخزن":               "[Arabic 4]",
		"x\u202ey":           "xy", // a letter that turns the direction is no letter
		"a\tb\nc":            "a b c",
		"🔥":                  "[signs 1]",
	} {
		g, err := newGlyphs()
		if err != nil {
			t.Fatal(err)
		}
		if got := g.printable(text); got != want {
			t.Errorf("%q is printed as %q, want %q", text, got, want)
		}
	}
}

// Whatever a text holds, what is printed has a glyph for each letter.
func TestEveryLetterHasGlyph(t *testing.T) {
	g, err := newGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := g.printable(rapid.String().Draw(t, "text"))
		for _, r := range text {
			if i, err := g.face.GlyphIndex(&g.buffer, r); err != nil || i == 0 || unicode.IsControl(r) {
				t.Fatalf("%q in %q has no glyph", r, text)
			}
		}
	})
}

// A paper that cannot print a letter says so, and where the letters are.
func TestStandInIsSaid(t *testing.T) {
	g, err := newGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	d := sample(1)
	if note := g.look(d); note != "" {
		t.Errorf("a note without need: %s", note)
	}
	d.Parts[0].Blocks = append(d.Parts[0].Blocks, Fields{[]Field{{Name: "place", Value: "東京"}}})
	if note := g.look(d); !strings.Contains(note, "Han") || !strings.Contains(note, "HTML") {
		t.Errorf("the note says %q", note)
	}
}

// No line is wider than asked for, and none loses a letter.
func TestWrap(t *testing.T) {
	p, err := newPress(sample(0), Sizes()[0])
	if err != nil {
		t.Fatal(err)
	}
	p.AddPage()
	p.font(false, body)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zäöß ,.-]{0,300}`).Draw(t, "text")
		width := rapid.Float64Range(5, 180).Draw(t, "width")
		lines := p.wrap(text, width)
		for _, line := range lines {
			if w := p.widthOf(line); w > width+1e-6 && len([]rune(line)) > 1 {
				t.Fatalf("line %q is %v wide, asked for %v", line, w, width)
			}
		}
		if got, want := strings.Join(strings.Fields(strings.Join(lines, "")), ""), strings.Join(strings.Fields(text), ""); got != want {
			t.Fatalf("%q came back as %q", want, got)
		}
	})
}

// One row, none, ten thousand, and one of 20,000 letters: all are written.
func TestLengths(t *testing.T) {
	for _, rows := range []int{0, 1, 10_000} {
		made := written(t, func(b *bytes.Buffer) error { return WritePDF(b, sample(rows), Sizes()[0]) })
		if !bytes.HasPrefix(made, []byte("%PDF-")) {
			t.Errorf("%d rows: no PDF", rows)
		}
	}
	d := sample(1)
	table := d.Parts[1].Blocks[0].(Table)
	table.Rows[0][4] = Text(strings.Repeat("long words ", 2000) + strings.Repeat("x", 5000))
	if made := written(t, func(b *bytes.Buffer) error { return WritePDF(b, d, Sizes()[1]) }); len(made) == 0 {
		t.Error("a very long text: nothing")
	}
}

// CSV reads back, and holds no formula.
func TestCSV(t *testing.T) {
	made := written(t, func(b *bytes.Buffer) error { return WriteCSV(b, sample(5)) })
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(made, []byte("\ufeff"))))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, row := range rows {
		for _, cell := range row {
			if strings.HasPrefix(cell, "=") {
				t.Errorf("a formula: %q", cell)
			}
		}
		found = found || row[0] == "row-00004" && row[1] == "5.00"
	}
	if !found {
		t.Errorf("the last row is missing in %q", made)
	}
}

// Every sheet of labels fits its paper, and its labels do not overlap.
func TestLabelSheets(t *testing.T) {
	sheets, err := LabelSheets()
	if err != nil || len(sheets) < 5 {
		t.Fatalf("%d sheets: %v", len(sheets), err)
	}
	for _, s := range sheets {
		if s.StepX < s.Width || s.StepY < s.Height {
			t.Errorf("%s: labels overlap", s.Name)
		}
		if s.Paper.Name == onRoll {
			if page, x, y := s.Place(7); page != 7 || x != 0 || y != 0 || s.Paper.Width != s.Width {
				t.Errorf("%s: the eighth label is at %d, %v, %v", s.Name, page, x, y)
			}
			continue
		}
		page, x, y := s.Place(s.Across*s.Down + s.Across)
		if page != 1 || math.Abs(x-s.Left) > 1e-9 || math.Abs(y-s.Top-s.StepY) > 1e-9 {
			t.Errorf("%s: the first label of the second row of the second sheet is at %d, %v, %v", s.Name, page, x, y)
		}
	}
	if err := WriteLabels(&bytes.Buffer{}, sample(0), &sheets[0], nil, sheets[0].Across*sheets[0].Down, false); err == nil {
		t.Error("a whole sheet used already is no offset")
	}
}

func someLabels(n int) []Label {
	labels := make([]Label, n)
	for i := range labels {
		labels[i] = Label{Number: fmt.Sprintf("1.2.%03d", i+1), Lines: []string{"Ground floor, corridor", "zone 3", "Larch", "Works"}, Code: fmt.Sprintf("URN:UUID:018F3B6A-0000-7000-8000-%012X", i)}
	}
	return labels
}

// The page is one HTML document that needs nothing else.
func TestHTML(t *testing.T) {
	d := sample(3)
	d.Site = `<script>alert("x")</script>`
	made := string(written(t, func(b *bytes.Buffer) error { return WriteHTML(b, d, Sizes()[0]) }))
	for _, want := range []string{`<html lang="en">`, "row-00002", `<th scope="col">name</th>`, "&lt;script&gt;", `aria-label="to be filled in"`, "<svg"} {
		if !strings.Contains(made, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, bad := range []string{"<script", "http://", "https://", "url("} {
		if strings.Contains(strings.ReplaceAll(made, "http://www.w3.org/2000/svg", ""), bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
}

// Ten thousand labels take less than five seconds (the bench says how long).
func BenchmarkLabels(b *testing.B) {
	sheets, err := LabelSheets()
	if err != nil {
		b.Fatal(err)
	}
	labels := someLabels(10_000)
	for b.Loop() {
		var out bytes.Buffer
		if err := WriteLabels(&out, sample(0), &sheets[0], labels, 0, false); err != nil {
			b.Fatal(err)
		}
	}
}
