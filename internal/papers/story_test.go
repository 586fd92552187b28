package papers

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	world "sootline/internal/worlds/papers"
)

// told is a site on which a story happened.
func told(t *testing.T, s *world.Story) (*app.App, sootline.ID) {
	t.Helper()
	a := newApp(t, "laptop")
	line, err := s.Write(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	return a, line.ID
}

// printedPages prints a paper and reads it by pdftotext, page by page.
func printedPages(t *testing.T, d *paper.Document, size paper.Size) []world.Page {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("there is no pdftotext (poppler-utils)")
	}
	var made bytes.Buffer
	if err := paper.WritePDF(&made, d, size); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(path, made.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	pages, err := world.ReadPDF(path)
	if err != nil {
		t.Fatal(err)
	}
	return pages
}

// storyDay is the end of the day on which a story's paper is made.
func storyDay(s *world.Story) time.Time {
	on := s.Opened
	if on.IsZero() {
		on = today
	}
	return time.Date(on.Year(), on.Month(), on.Day(), 23, 59, 59, 0, time.UTC)
}

// Page one answers a customer's questions, the report says the rest, and neither says what was not shown: of stories that
// another mind drew, on both sizes of paper.
func TestVisitReportAnswers(t *testing.T) {
	for _, shape := range world.Shapes() {
		for seed := range uint64(2) {
			s := world.Draw(shape, seed)
			a, site := told(t, s)
			d := makePaper(t, a, site, Wish{Kind: "visit", On: storyDay(s)})
			for _, size := range paper.Sizes() {
				for _, miss := range s.Judge(printedPages(t, d, size)) {
					t.Errorf("%s %d on %s: %s %s: %s", shape, seed, size.Name, miss.Kind, miss.Asks, miss.Says)
				}
			}
		}
	}
}

// However much there is to tell, page one has what is gravest, how much more there is, and the lines to sign.
func TestPageOneIsOnePage(t *testing.T) {
	s := world.Draw(world.Full, 2)
	a, site := told(t, s)
	for i := range 40 {
		grade := []sootline.DefectGrade{sootline.MinorDefect, sootline.SeriousDefect}[i%2]
		at := s.Closed.Add(-time.Duration(i+1) * time.Second)
		n := app.Note{At: at, Point: s.Points[i].Ref(), Body: sootline.Defect{Nature: sootline.Damage, Grade: grade, Text: strings.Repeat("a long story of damage ", 8+i), Needs: strings.Repeat("work ", 30)}}
		if _, err := a.AddEntry(context.Background(), site, n); err != nil {
			t.Fatal(err)
		}
	}
	d := makePaper(t, a, site, Wish{Kind: "visit", On: storyDay(s), Firm: paper.Firm{Name: "Example Fire Care", Address: []string{"12 Invented Street", "Nowhere", "One more line"}, Phone: "+00"}})
	for _, size := range paper.Sizes() {
		pages := printedPages(t, d, size)
		one := pages[0].Flow
		for _, want := range []string{"racking hides the detector", "more: see Annex I", "smoke doors", "The next visit is due by", "technician", "name, signature"} {
			if !strings.Contains(one, want) {
				t.Errorf("%s: page one lacks %q", size.Name, want)
			}
		}
		if !strings.Contains(pages[1].Flow, "Annexes") {
			t.Errorf("%s: page two does not begin the annexes", size.Name)
		}
	}
}

// The remedial list has each defect, what the readings call for and what is out of use, the gravest first, and room to
// price, agree and tick; a site without record says that it does not know.
func TestRemedialList(t *testing.T) {
	s := world.Draw(world.Full, 1)
	a, site := told(t, s)
	rows := tableOf(makePaper(t, a, site, Wish{Kind: "remedial", On: storyDay(s)}), "To be put right")
	var says []string
	for _, row := range rows {
		says = append(says, strings.Join(row, " | "))
	}
	for i, want := range [][]string{{"racking hides the detector", "clear the racking", s.Defects[1].By.Format(time.DateOnly)}, {"base cracked", "a new base", s.Defects[2].By.Format(time.DateOnly)}} {
		for _, word := range want {
			if i >= len(says) || !strings.Contains(says[i], word) {
				t.Errorf("line %d of %q lacks %q", i+1, says, word)
			}
		}
	}
	if !slices.ContainsFunc(says, func(s string) bool { return strings.Contains(s, "smoke doors") }) {
		t.Errorf("what is out of use is not on it: %q", says)
	}
	if slices.ContainsFunc(says, func(s string) bool { return strings.Contains(s, "glass pressed") }) {
		t.Errorf("what was put right is on it: %q", says)
	}
	late := tableOf(makePaper(t, a, site, Wish{Kind: "remedial", On: storyDay(s).AddDate(1, 1, 0)}), "To be put right")
	if n := len(late) - len(rows); n < len(s.Points)/2 {
		t.Errorf("a year later only %d more, of %d points", n, len(s.Points))
	}
	b, empty := told(t, world.Draw(world.Unrecorded, 1))
	for _, row := range tableOf(makePaper(t, b, empty, Wish{Kind: "remedial"}), "To be put right") {
		if !strings.HasPrefix(row[2], "not tested within its rule") {
			t.Errorf("a site of which nothing is known: %q", row)
		}
	}
}

// A message says what page one says, and fits a screen.
func TestMessage(t *testing.T) {
	for _, shape := range world.Shapes() {
		s := world.Draw(shape, 3)
		a, site := told(t, s)
		text, err := Message(context.Background(), a, site, Wish{On: storyDay(s)})
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(text, "\n"); n > 50 {
			t.Errorf("%s: %d lines", shape, n)
		}
		for _, d := range s.Defects[:min(2, len(s.Defects))] {
			if !strings.Contains(text, d.Says) || !d.By.IsZero() && !strings.Contains(text, d.By.Format(time.DateOnly)) {
				t.Errorf("%s: the message does not say %q by %s:\n%s", shape, d.Says, d.By.Format(time.DateOnly), text)
			}
		}
		for _, miss := range s.Judge([]world.Page{{Lines: text, Flow: text}}) {
			if miss.Kind == world.NotShown {
				t.Errorf("%s: %v\n%s", shape, fmt.Sprint(miss), text)
			}
		}
	}
}

// Fields that the standards list are on the papers that must hold them, and most say how each is known.
func TestFieldsOfTheStandards(t *testing.T) {
	s := world.Draw(world.Full, 1)
	a, site := told(t, s)
	marked := 0
	found := world.Fields(t, s.Site, func(kind string) string {
		var text strings.Builder
		for _, page := range printedPages(t, makePaper(t, a, site, Wish{Kind: kind, On: storyDay(s)}), paper.Sizes()[0]) {
			text.WriteString(page.Lines)
		}
		return text.String()
	})
	for _, f := range found {
		if f.Marked {
			marked++
		}
	}
	if marked < 70 {
		t.Errorf("%d of %d fields say how each is known", marked, len(found))
	}
}

// No other paper says what a visit did not show either. The log quotes what entries say, as the texts of rules.
func TestOtherPapersSayNoMore(t *testing.T) {
	for _, shape := range world.Shapes() {
		s := world.Draw(shape, 1)
		a, site := told(t, s)
		for _, kind := range []string{"servicing", "record", "commissioning", "acceptance", "installation", "modification", "remedial", "alarms", "drift", "visit-list"} {
			d := makePaper(t, a, site, Wish{Kind: kind, On: storyDay(s)})
			for _, miss := range s.Judge(printedPages(t, d, paper.Sizes()[0])) {
				if miss.Kind == world.NotShown {
					t.Errorf("%s, %s: %s: %s", shape, kind, miss.Asks, miss.Says)
				}
			}
		}
	}
}
