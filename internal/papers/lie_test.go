package papers

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// TestWhatTheRecordFillsIsNotOverridden: "90 of 90" was printed under a code that
// verifies. No field that the record fills takes a word of somebody else, on any
// paper; facts of the site live in its log alone.
func TestWhatTheRecordFillsIsNotOverridden(t *testing.T) {
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	refused, marked := 0, 0
	for _, kind := range Kinds() {
		plain := fieldsOf(makePaper(t, a, site, Wish{Kind: kind.Name, Point: "1.001"}))
		for name, says := range plain {
			if strings.Contains(name, ": ") && says == "" || strings.HasPrefix(name, "signature of ") {
				continue // a column, or a line to sign on
			}
			d, err := Make(context.Background(), a, site, Wish{Kind: kind.Name, On: today, Point: "1.001", Fields: map[string]string{name: "90 of 90"}})
			if err == nil {
				if got := fieldsOf(d)[name]; says != "" || got != "90 of 90 (added by hand by A. Tech)" {
					t.Errorf("%s: %q said %q, and then %q", kind.Name, name, says, got)
				}
				marked++
				continue
			}
			refused++
			if sootline.ErrorCode(err) != sootline.Invalid {
				t.Errorf("%s, %q: %v", kind.Name, name, err)
			}
		}
	}
	if refused < 30 || marked < 20 {
		t.Errorf("%d fields refused, %d marked: the test looked at too few", refused, marked)
	}
}

// TestProblemsAreNeverBlankWhileADefectIsOpen on every paper that has them.
func TestProblemsAreNeverBlankWhileADefectIsOpen(t *testing.T) {
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	for _, kind := range []string{"visit", "servicing", "commissioning", "acceptance", "modification", "record", "pack"} {
		told := tableOf(makePaper(t, a, site, Wish{Kind: kind}), "Problems: defects not closed")
		if len(told) != 2 || told[0][0] != "1.1.003" && told[1][0] != "1.1.003" {
			t.Errorf("%s tells of %v", kind, told)
		}
	}
	name := register(t, a, site).OpenDefects()
	for _, d := range name {
		for _, step := range []sootline.Body{sootline.Mended{}, sootline.Retested{}} {
			if _, err := a.StepDefect(context.Background(), site, d.ID.String(), app.Note{Body: step}); err != nil {
				t.Fatal(err)
			}
		}
	}
	after := makePaper(t, a, site, Wish{Kind: "visit", From: today.AddDate(0, 0, -5)})
	if open, closed := tableOf(after, "Problems: defects not closed"), tableOf(after, "Defects closed since the visit before"); len(open) != 0 || len(closed) != 2 {
		t.Errorf("open %v, closed %v", open, closed)
	}
}

// TestMendingIsWork: where no visit is written down, days on which a defect was
// mended and tried again are days with work, and a retest of a failed test is a test.
func TestMendingIsWork(t *testing.T) {
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	failed, err := a.AddEntry(context.Background(), site, app.Note{Point: "1.002", At: today.AddDate(0, 0, -30), Body: sootline.Tested{Failed: true}})
	if err != nil {
		t.Fatal(err)
	}
	on := time.Date(today.Year(), today.Month(), today.Day()-1, 9, 0, 0, 0, time.UTC)
	for i, step := range []sootline.Body{sootline.Mended{Text: "new base"}, sootline.Retested{Text: "alarm on smoke"}} {
		if _, err := a.StepDefect(context.Background(), site, failed.ID.String(), app.Note{At: on.Add(time.Duration(i) * time.Minute), Body: step}); err != nil {
			t.Fatal(err)
		}
	}
	has := fieldsOf(makePaper(t, a, site, Wish{Kind: "servicing"}))
	if has["date of the visit"] != on.Format(time.DateOnly) || !strings.HasPrefix(has["devices tested at this visit"], "1 of ") {
		t.Errorf("visit of %q, tested %q", has["date of the visit"], has["devices tested at this visit"])
	}
}

// TestAcceptanceCountsEachDeviceByItsKind: every device stood as a smoke detector.
func TestAcceptanceCountsEachDeviceByItsKind(t *testing.T) {
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	ctx := context.Background()
	if _, err := a.AddEntry(ctx, site, app.Note{Point: "1.002", At: today.AddDate(0, 0, -1), Body: sootline.Replaced{Type: "Nobody knows"}, Sure: true}); err != nil {
		t.Fatal(err)
	}
	got := tableOf(makePaper(t, a, site, Wish{Kind: "record"}), "Devices by their kind")
	want := [][]string{{"kind not known", "1", "1", "0"}, {"call point", "1", "0", "0"}, {"smoke", "1", "1", "0"}}
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		if !slices.Equal(got[i], want[i]) {
			t.Errorf("%v, want %v", got[i], want[i])
		}
	}
	if has := fieldsOf(makePaper(t, a, site, Wish{Kind: "record"})); has["all smoke detectors checked"] != "1 of 1, 100.0 %; the kind of 1 other device is not known" {
		t.Errorf("smoke detectors: %q", has["all smoke detectors checked"])
	}
}

// TestModificationKnowsChanges: a change written down stands on the certificate,
// with the points that it touches and those not tested since.
func TestModificationKnowsChanges(t *testing.T) {
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	ctx := context.Background()
	day := time.Date(2025, 12, 10, 6, 0, 0, 0, time.UTC)
	if _, err := a.NoteChange(ctx, site, sootline.Moment{At: day}, "new cause and effect", []string{"1.001", "1.002"}); err != nil {
		t.Fatal(err)
	}
	d := makePaper(t, a, site, Wish{Kind: "modification"})
	has := fieldsOf(d)
	if has["what was changed"] != "2025-12-10: new cause and effect" || has["devices touched by the change, all tested"] != "1 of 2, 50.0 %" {
		t.Errorf("%q, %q", has["what was changed"], has["devices touched by the change, all tested"])
	}
	if rows := tableOf(d, "Changes of configuration"); len(rows) != 1 || rows[0][3] != "1.1.001, 1.1.002" || rows[0][4] != "1.1.001" {
		t.Errorf("%v", rows)
	}
}

// tableOf gives the rows of a paper's table of that title.
func tableOf(d *paper.Document, title string) [][]string {
	var rows [][]string
	for _, part := range d.Parts {
		for _, block := range part.Blocks {
			t, ok := block.(paper.Table)
			if !ok || t.Title != title {
				continue
			}
			rows = rows[:0]
			for _, row := range t.Rows {
				var cells []string
				for _, cell := range row {
					cells = append(cells, cell.String())
				}
				rows = append(rows, cells)
			}
		}
	}
	return rows
}
