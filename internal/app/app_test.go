package app

import (
	"bytes"
	"context"
	"crypto/rand"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

var today = time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC)

// newApp opens a book of its own, as a station of its own.
func newApp(t testing.TB, station string) *App {
	t.Helper()
	book, err := store.Open(context.Background(), pgtest.Book(t), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	return &App{
		Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: station}, Now: func() time.Time { return today },
		Random: func() (r [10]byte) { rand.Read(r[:]); return r },
	}
}

func files(t testing.TB, contents map[string]string) (folder string) {
	t.Helper()
	folder = t.TempDir()
	for name, content := range contents {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// take takes files in and gives the outcome.
func take(t testing.TB, a *App, site sootline.ID, paths ...string) *Outcome {
	t.Helper()
	return takeAllowing(t, a, site, nil, paths...)
}

// takeAllowing does so, and has what is known undone in the ways that are allowed.
func takeAllowing(t testing.TB, a *App, site sootline.ID, allow []Effect, paths ...string) *Outcome {
	t.Helper()
	in, err := a.Look(context.Background(), site, paths, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := in.Close(); err != nil {
			t.Error(err)
		}
	}()
	for _, table := range in.Tables {
		for _, q := range table.Questions {
			t.Errorf("%s asks: %s", table.Path, q.Text)
		}
	}
	out, err := a.Take(context.Background(), site, in, TakeOptions{Allow: allow})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func addSite(t testing.TB, a *App) sootline.ID {
	t.Helper()
	id, err := a.AddSite(context.Background(), NewSite{Name: "Works", Zone: "Europe/Paris"})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func register(t testing.TB, a *App, site sootline.ID) *sootline.Register {
	t.Helper()
	r, err := a.Register(context.Background(), site, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

const schedule = `loop,address,type,zone,location,serial,fitted on
1,1,Larch,1,Front door,S1,2023-01-10
1,2,Larch,1,Back door,S2,2023-01-10
1,3,Larch,2,Stairs,S3,
`

func TestScheduleTakenAgain(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	changed := strings.Replace(schedule, "1,Back door", "1,Rear door", 1)
	replaced := strings.Replace(changed, "S1,2023-01-10", "S9,2025-06-01", 1)
	undated := strings.Replace(replaced, "S3,", "S7,", 1)
	folder := files(t, map[string]string{"a.csv": schedule, "b.csv": changed, "c.csv": replaced, "d.csv": undated})
	steps := []struct {
		file string
		want map[sootline.Kind]int
		left int
	}{
		{"a.csv", map[sootline.Kind]int{sootline.FittedKind: 3, sootline.AddressedKind: 3}, 0},
		{"a.csv", map[sootline.Kind]int{}, 0},
		{"b.csv", map[sootline.Kind]int{sootline.MovedKind: 1}, 0},
		{"c.csv", map[sootline.Kind]int{sootline.ReplacedKind: 1}, 0},
		{"d.csv", map[sootline.Kind]int{}, 1}, // another device, and nobody says since when
	}
	for _, step := range steps {
		path := filepath.Join(folder, step.file)
		if n := step.want[sootline.MovedKind] + step.want[sootline.ReplacedKind]; n > 0 { // not without a yes
			if held := take(t, a, site, path).Tables[0]; len(held.Added) != 0 || held.Left != n || len(held.Undoes) != 1 {
				t.Errorf("%s, not allowed: added %v, left %d, undoes %v", step.file, held.Added, held.Left, held.Undoes)
			}
		}
		o := takeAllowing(t, a, site, Effects(), path).Tables[0]
		for kind, n := range step.want {
			if o.Added[kind] != n {
				t.Errorf("%s: %d entries of kind %s, want %d", step.file, o.Added[kind], kind, n)
			}
		}
		if len(o.Added) != len(step.want) || o.Left != step.left {
			t.Errorf("%s: added %v and left %d, want %v and %d", step.file, o.Added, o.Left, step.want, step.left)
		}
	}
	r := register(t, a, site)
	if n := len(r.Points()); n != 3 {
		t.Errorf("%d points, want 3", n)
	}
	p := r.Points()[0]
	if p.Unit.Serial != "S9" || p.LastReset().Why != "replaced" {
		t.Errorf("the first point has unit %q, last reset %q", p.Unit.Serial, p.LastReset().Why)
	}
}

// Rows that share a number become points that share it, also when the schedule
// is taken again; a reading of such a number is nobody's.
func TestSharedNumber(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"schedule.csv": schedule + "1,2,Larch,2,Landing,S4,2023-01-10\n",
		"readings.csv": "point,date,value\n1.002,2025-03-01,25\n1.003,2025-03-01,25\n",
	})
	for range 2 {
		take(t, a, site, filepath.Join(folder, "schedule.csv"))
		if n := len(register(t, a, site).Points()); n != 4 {
			t.Fatalf("%d points, want 4", n)
		}
	}
	o := take(t, a, site, filepath.Join(folder, "readings.csv")).Tables[0]
	if o.Rows != 1 || o.Left != 1 || !strings.Contains(o.Troubles[0].Text, "2 points carry the number") {
		t.Errorf("%d rows taken, %d left: %v", o.Rows, o.Left, o.Troubles)
	}
}

// A day on the site's clock, and the order of one visit's day: what was disabled,
// read, cleaned and restored that day comes out in that order.
func TestDayOnlyDates(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"schedule.csv": schedule,
		"events.csv":   "point,date,what,cause\n1.001,2025-07-01,cleaned,\n1.001,2025-07-01,restored,\n1.001,2025-07-01,disabled,works\n",
		"readings.csv": "point,date,value\n1.001,2025-07-01,33\n1.001,2025-07-01 18:30,25\n",
	})
	take(t, a, site, filepath.Join(folder, "events.csv"), filepath.Join(folder, "readings.csv"), filepath.Join(folder, "schedule.csv"))
	p := register(t, a, site).Points()[0]
	if p.Disabled != nil {
		t.Error("restored on the day it was disabled, and still disabled")
	}
	since := p.SinceReset()
	if len(since) != 1 || since[0].Samples[0] != 25 {
		t.Errorf("readings since the cleaning: %v, want the one at half past six", since)
	}
	if got := p.Readings[0].At; !got.Equal(time.Date(2025, 7, 1, 7, 0, 0, 0, time.UTC)) {
		t.Errorf("nine o'clock in Paris in summer is 07:00 UTC, got %s", got)
	}
}

// Two stations that take the same listing and exchange their logs hold each fact
// once.
func TestTwoStations(t *testing.T) {
	ctx := context.Background()
	a, b := newApp(t, "laptop"), newApp(t, "tablet")
	site := addSite(t, a)
	exchange := func(from, to *App) Imported {
		var log bytes.Buffer
		if _, err := from.Export(ctx, site, &log); err != nil {
			t.Fatal(err)
		}
		in, err := to.Import(ctx, &log)
		if err != nil {
			t.Fatal(err)
		}
		return in
	}
	exchange(a, b)
	folder := files(t, map[string]string{"schedule.csv": schedule, "readings.csv": "point,date,value\n1.001,2025-03-01,25\n1.003,2025-03-01,26\n"})
	for _, each := range []*App{a, b} {
		take(t, each, site, filepath.Join(folder, "schedule.csv"), filepath.Join(folder, "readings.csv"))
	}
	if _, err := b.AddEntry(ctx, site, Note{Point: "1.001", Body: sootline.Cleaned{}}); err != nil {
		t.Fatal(err)
	}
	exchange(a, b)
	exchange(b, a)
	if in := exchange(b, a); in.Added != 0 || in.Gaps != 0 {
		t.Errorf("a second exchange brought %+v", in)
	}
	for _, each := range []*App{a, b} {
		r := register(t, each, site)
		if len(r.Points()) != 3 || r.Readings != 2 || r.Points()[0].LastReset().Why != "cleaned" {
			t.Errorf("station %s: %d points, %d readings, last reset %q", each.Who.Station, len(r.Points()), r.Readings, r.Points()[0].LastReset().Why)
		}
		if v, err := each.Verify(ctx, site); err != nil || len(v.Faults) > 0 || v.Stations != 2 {
			t.Errorf("station %s: %+v, %v", each.Who.Station, v, err)
		}
	}
}

// An import names the site as its log does once both logs are one: by the latest
// name that was not taken back.
func TestImportNamesSite(t *testing.T) {
	ctx := t.Context()
	a, b := newApp(t, "laptop"), newApp(t, "tablet")
	site := addSite(t, a)
	a.Now = func() time.Time { return today.Add(time.Hour) }
	for _, want := range []string{"Old mill", "New mill"} {
		if err := a.SetFacts(ctx, site, sootline.Opened{Name: want}); err != nil {
			t.Fatal(err)
		}
		brings(t, a, b, site, want)
		a.Now = func() time.Time { return today.Add(2 * time.Hour) }
	}
	_, lines, err := a.ReadLog(ctx, site, LogFilter{Kinds: []sootline.Kind{sootline.OpenedKind}, Last: 1})
	if err != nil {
		t.Fatal(err)
	}
	again := func(holds sootline.Entry) (sootline.Corrected, error) {
		c := AsItHolds(holds)
		c.Body = sootline.Opened{Name: "Old mill"}
		return c, nil
	}
	if _, err := a.Correct(ctx, site, Amendment{Entry: lines[0].Entry.ID, Why: "it is not"}, again); err != nil {
		t.Fatal(err)
	}
	brings(t, a, b, site, "Old mill")
}

func brings(t *testing.T, from, to *App, site sootline.ID, name string) {
	t.Helper()
	var log bytes.Buffer
	if _, err := from.Export(t.Context(), site, &log); err != nil {
		t.Fatal(err)
	}
	if in, err := to.Import(t.Context(), &log); err != nil || in.Site != name {
		t.Errorf("the import brings %+v, %v, want the name %q", in, err, name)
	}
	if lines, err := to.Book.SitesNamed(t.Context(), name); err != nil || len(lines) != 1 || lines[0].ID != site {
		t.Errorf("named %q: %v, %v", name, lines, err)
	}
}

// Rows that a file repeats are taken once, and nothing is lost.
func TestRepeatedRows(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	var readings strings.Builder
	readings.WriteString("point,date,value\n")
	for range 2 {
		for i := range 3000 {
			readings.WriteString("1.001," + time.Date(2025, 1, 1, 0, i, 0, 0, time.UTC).Format("2006-01-02 15:04") + ",25\n")
		}
	}
	folder := files(t, map[string]string{"schedule.csv": schedule, "readings.csv": readings.String()})
	take(t, a, site, filepath.Join(folder, "schedule.csv"))
	o := take(t, a, site, filepath.Join(folder, "readings.csv")).Tables[0]
	if o.Rows != 3000 || o.Repeated != 3000 {
		t.Errorf("%d rows taken and %d repeated, want 3000 of each", o.Rows, o.Repeated)
	}
	if n := register(t, a, site).Readings; n != 3000 {
		t.Errorf("%d readings in the book, want 3000", n)
	}
}

// What the filter wrongly takes for a repeat is added after all.
func TestFilterErrs(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"schedule.csv": schedule, "readings.csv": "point,date,value\n1.001,2025-03-01,25\n1.003,2025-03-01,26\n1.003,2025-03-01,26\n1.003,2025-03-01,26\n"})
	take(t, a, site, filepath.Join(folder, "schedule.csv"))
	in, err := a.Look(context.Background(), site, []string{filepath.Join(folder, "readings.csv")}, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var out *Outcome
	err = a.Book.Write(context.Background(), func(tx *store.Tx) error {
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		tk := a.newTaker(site, log, TakeOptions{})
		tk.seen.first = newFilter(firstBits)
		for i := range tk.seen.first {
			tk.seen.first[i] = filterBlock(slices.Repeat([]uint64{^uint64(0)}, 8)) // it says yes to everything
		}
		err = tx.Append(site, a.Who.Station, func(w *store.Writer) error {
			tk.emit = w.Add
			out, err = tk.takeAll(in)
			return err
		})
		if err != nil {
			return err
		}
		return a.settleRepeats(tx, tk)
	})
	if err != nil {
		t.Fatal(err)
	}
	if o := out.Tables[0]; o.Rows != 2 || o.Repeated != 2 || o.Added[sootline.ReadKind] != 2 {
		t.Errorf("%d rows taken, %d repeated, %d entries; want 2 of each", o.Rows, o.Repeated, o.Added[sootline.ReadKind])
	}
	if n := register(t, a, site).Readings; n != 2 {
		t.Errorf("%d readings in the book, want 2", n)
	}
}
