package app

import (
	"context"
	"encoding/csv"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// What a row of a listing says, in the words of the tables of internal/worlds,
// which were written by hand before the readers of listings were told of failures.
const (
	saysPassed  = "passed"
	saysFailed  = "failed"
	saysFault   = "fault"
	saysNoTest  = "not a test"
	saysAsk     = "ask"
	worldsTable = "../worlds/testdata/"
)

// wordsBook takes listings in as a preview does, and gives what they become.
type wordsBook struct {
	t      *testing.T
	app    *App
	site   sootline.ID
	log    *sootline.Log
	danger map[string]string // what is read as a pass and is none: what it is
}

// newWordsBook has forty points on each of two loops.
func newWordsBook(t *testing.T) *wordsBook {
	t.Helper()
	a := newApp(t, "laptop")
	a.Now = func() time.Time { return today.AddDate(2, 0, 0) } // the listings tell of days of 2026
	site, err := a.AddSite(t.Context(), NewSite{Name: "Mill", Zone: "UTC"})
	if err != nil {
		t.Fatal(err)
	}
	var points strings.Builder
	points.WriteString("panel,loop,address,type,zone,location,serial,fitted on\n")
	for loop := range 2 {
		for address := range 40 {
			fmt.Fprintf(&points, "1,%d,%d,Larch,1,Hall,,2023-01-10\n", loop+1, address+1)
		}
	}
	take(t, a, site, filepath.Join(files(t, map[string]string{"points.csv": points.String()}), "points.csv"))
	log, err := a.LogOf(t.Context(), site)
	if err != nil {
		t.Fatal(err)
	}
	return &wordsBook{t, a, site, log, map[string]string{}}
}

// becomes is what a listing becomes.
type becomes struct {
	entries []sootline.Entry
	left    []RowOutcome // rows that are put aside, to be asked about or mended
	blocked bool         // nothing is taken before a question is answered
}

func (w *wordsBook) take(path string) becomes {
	w.t.Helper()
	in, err := w.app.Look(context.Background(), w.site, []string{path}, nil)
	if err != nil {
		return becomes{blocked: true}
	}
	defer in.Close()
	for _, table := range in.Tables {
		if _, blocked := table.Blocking(); blocked || table.Kind == listing.KindUnknown {
			return becomes{blocked: true}
		}
	}
	var got becomes
	t := w.app.newTaker(w.site, w.log, TakeOptions{Row: func(row RowOutcome) error {
		if row.Becomes == RowLeft {
			row.Cells = slices.Clone(row.Cells)
			got.left = append(got.left, row)
		}
		return nil
	}})
	t.stopped = w.t.Context().Err
	t.emit = func(e sootline.Entry) error { got.entries = append(got.entries, e); return nil }
	if _, err := t.takeAll(in); err != nil {
		w.t.Fatalf("%s: %v", path, err)
	}
	return got
}

// says is what some entries say of a test or a fault: of several the most
// dangerous one to believe.
func says(entries []sootline.Entry) string {
	said := saysNoTest
	for i := range entries {
		switch body := entries[i].Body.(type) {
		case sootline.Tested:
			if !body.Failed {
				return saysPassed
			}
			said = saysFailed
		case sootline.Fault, sootline.Defect:
			if said != saysFailed {
				said = saysFault
			}
		}
	}
	return said
}

// one gives what a listing of a single row says.
func (w *wordsBook) one(rows ...[]string) string {
	w.t.Helper()
	var text strings.Builder
	if err := csv.NewWriter(&text).WriteAll(rows); err != nil {
		w.t.Fatal(err)
	}
	path := filepath.Join(w.t.TempDir(), "list.csv")
	if err := os.WriteFile(path, []byte(text.String()), 0o644); err != nil {
		w.t.Fatal(err)
	}
	got := w.take(path)
	if got.blocked || len(got.left) > 0 && len(got.entries) == 0 {
		return saysAsk
	}
	return says(got.entries)
}

// testedIn is the word for a test under a heading of events; eventIn that heading.
var (
	testedIn = map[string]string{"en": "tested", "de": "geprüft", "fr": "testé", "es": "probado", "it": "provato", "nl": "getest"}
	eventIn  = map[string]string{"en": "event", "de": "Ereignis", "fr": "événement", "es": "evento", "it": "evento", "nl": "gebeurtenis"}
	ofEvents = []string{"event", "ereignis", "événement", "evento", "gebeurtenis", "action"}
	besides  = []string{"status", "remark", "bemerkung", "remarque", "état", "observación", "estado", "note", "stato", "opmerking"}
)

// wordScore is how the words of one language are read.
type wordScore struct{ rows, right, asked, wrong, notDone, danger int }

// isDanger is what may never be: a failure, a fault or what is not certain is read
// as a pass.
func isDanger(truth, got string) bool {
	return got == saysPassed && truth != saysPassed && truth != saysNoTest
}

func (s *wordScore) count(truth, got string) {
	s.rows++
	switch {
	case got == truth:
		s.right++
	case isDanger(truth, got):
		s.danger++
	case got == saysPassed:
		s.notDone++
	case got == saysAsk:
		s.asked++
	default:
		s.wrong++
	}
}

// TestScoreWords holds tables of what words of failure mean, made without sight of
// the readers of listings, against the intake. A failure, a fault, or what is not
// certain is never read as a pass. docs/methods/score-words.md shows the rest.
func TestScoreWords(t *testing.T) {
	w := newWordsBook(t)
	scores, listings := map[string]*wordScore{}, map[string]*wordScore{}
	for _, row := range tableOf(t, worldsTable+"failure_words.csv") {
		w.scoreWord(scores, row[0], row[1], row[2], row[3])
	}
	truths, err := filepath.Glob(worldsTable + "failure_listings/*.truth.csv")
	if err != nil || len(truths) == 0 {
		t.Fatal("no listings", err)
	}
	for _, truth := range truths {
		w.scoreListing(listings, truth)
	}
	page := wordsPage(scores, listings)
	const path = "../../docs/methods/score-words.md"
	if *update {
		if err := os.WriteFile(path, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if was, err := os.ReadFile(path); err != nil || string(was) != page {
		t.Errorf("%s is out of date (go test ./internal/app -run ScoreWords -update): %v", path, err)
	}
	w.holdRed(t)
}

// holdRed holds what is read as a pass and is none against the list of what is
// known to be so: nothing may come to it, and what is mended is taken off.
func (w *wordsBook) holdRed(t *testing.T) {
	t.Helper()
	known, certain := map[string]bool{}, 0
	for _, row := range tableOf(t, "testdata/words_read_as_passes.csv") {
		known[row[0]] = true
		if w.danger[row[0]] == "" {
			t.Errorf("%s is no pass any more: take it off testdata/words_read_as_passes.csv", row[0])
		}
	}
	for what, truth := range w.danger {
		if !known[what] {
			t.Errorf("%s is read as a pass, and is %q", what, truth)
		}
		if truth != saysAsk {
			certain++
		}
	}
	if len(w.danger) > 0 && !t.Failed() {
		t.Skipf("red: %d words and rows are read as passes and are none, %d of them certain failures or faults; testdata/words_read_as_passes.csv lists them", len(w.danger), certain)
	}
}

// scoreWord tries a cell alone or, where its column tells how a test went, beside
// the word for one. Beside a test, a remark of failure must not pass either.
func (w *wordsBook) scoreWord(scores map[string]*wordScore, language, heading, cell, truth string) {
	w.t.Helper()
	if scores[language] == nil {
		scores[language] = &wordScore{}
	}
	alone := [][]string{{"point", "date", heading}, {"1.1.001", "2025-01-02", cell}}
	beside := [][]string{{"point", "date", eventIn[language], heading}, {"1.1.001", "2025-01-02", testedIn[language], cell}}
	tries := [][][]string{alone}
	switch folded := strings.ToLower(heading); {
	case slices.Contains(ofEvents, folded):
	case !slices.Contains(besides, folded):
		tries = [][][]string{beside, alone}
	case truth == saysFailed || truth == saysFault:
		tries = append(tries, beside)
	}
	for i, rows := range tries {
		got := w.one(rows...)
		if i == 0 {
			scores[language].count(truth, got)
		}
		if isDanger(truth, got) {
			w.danger[strings.Join(rows[0][2:], "|")+" = "+strings.Join(rows[1][2:], "|")] = truth
		}
		if testing.Verbose() && i == 0 && got != truth && got != saysAsk {
			w.t.Logf("%s: %s = %q is read as %s, and is %q", language, heading, cell, got, truth)
		}
	}
}

// scoreListing holds a whole listing against what is true of its points and days.
func (w *wordsBook) scoreListing(scores map[string]*wordScore, truth string) {
	w.t.Helper()
	base := strings.TrimSuffix(truth, ".truth.csv")
	found, err := filepath.Glob(base + ".[ct][sx][vt]")
	if err != nil || len(found) != 1 {
		w.t.Fatal(truth, found, err)
	}
	got, score, r := w.take(found[0]), &wordScore{}, w.log.Fold(Always)
	scores[filepath.Base(found[0])] = score
	for _, row := range tableOf(w.t, truth) {
		p, err := PointNamed(r, row[0])
		if err != nil {
			w.t.Fatal(truth, err)
		}
		want := strings.Replace(row[2], "none", saysNoTest, 1)
		said := got.at(p, row[1])
		score.count(want, said)
		if isDanger(want, said) {
			w.danger[filepath.Base(found[0])+" "+row[0]+" "+row[1]] = want
		}
		if testing.Verbose() && said != want && said != saysAsk {
			w.t.Logf("%s: %s on %s is read as %s, and is %q", filepath.Base(base), row[0], row[1], said, want)
		}
	}
}

// at is what a listing says of a point on a day.
func (b becomes) at(p *sootline.Point, day string) string {
	var about []sootline.Entry
	for _, e := range b.entries {
		if e.Point == p.ID && e.At.Format(time.DateOnly) == day {
			about = append(about, e)
		}
	}
	if len(about) > 0 {
		return says(about)
	}
	number := regexp.MustCompile(fmt.Sprintf(`(^|\D)0*%d($|\D)`, p.Number()))
	if b.blocked || slices.ContainsFunc(b.left, func(row RowOutcome) bool {
		return number.MatchString(strings.Join(row.Cells[:min(2, len(row.Cells))], " ")) || number.MatchString(row.Cells[min(2, len(row.Cells)-1)])
	}) {
		return saysAsk
	}
	return saysNoTest
}

func tableOf(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatal(path, err)
	}
	return rows[1:]
}

func wordsPage(languages, listings map[string]*wordScore) string {
	var b strings.Builder
	b.WriteString(`# How words of failure in listings are read

Written by ` + "`go test ./internal/app -run ScoreWords -update`" + `; the same test without -update fails when the page is
out of date, and whenever a failure, a fault, or what is not certain is read as a pass. The tables stand in
internal/worlds/testdata. They were written by hand before the readers were told of failures, so that many of their words
are not in the readers' own tables: those are asked about.

A word is tried as the one row of a listing: a result beside the word for a test, an event, remark or status alone.
"Asked" is a row that is put aside with a question or a reason, or a listing of which nothing is taken before a
question is answered. "Wrong otherwise" is anything else that is not so, such as a fault taken for a failed test.

`)
	b.WriteString("| words of | rows | right | asked instead | wrong otherwise | not done, read as a pass | failure, or not certain, read as a pass |\n| --- | --: | --: | --: | --: | --: | --: |\n")
	scoreRows(&b, languages)
	b.WriteString("\n| listing | points and days | right | asked instead | wrong otherwise | not done, read as a pass | failure, or not certain, read as a pass |\n| --- | --: | --: | --: | --: | --: | --: |\n")
	scoreRows(&b, listings)
	return b.String()
}

func scoreRows(b *strings.Builder, scores map[string]*wordScore) {
	for _, name := range slices.Sorted(maps.Keys(scores)) {
		s := scores[name]
		fmt.Fprintf(b, "| %s | %d | %d | %d | %d | %d | %d |\n", name, s.rows, s.right, s.asked, s.wrong, s.notDone, s.danger)
	}
}
