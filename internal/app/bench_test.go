package app

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/bench"
	"sootline/internal/store"
)

const benchTypes = "name,kind,numbers,low,high,noise,settings\nLarch,optical smoke,1,20,40,0.5,address=switches 7\nFenn,output module,4,,,,\nAsh,heat,1,20,40,0.5,address=dials 9\n"

// benchSite makes a book with a site of so many places of type Larch on loop 1.1,
// whose numbers are wanted and not set, and a clock that goes on by itself.
func benchSite(t testing.TB, places int) (*App, store.SiteLine) {
	t.Helper()
	a := newApp(t, "laptop")
	id := addSite(t, a)
	clock := today
	a.Now = func() time.Time { clock = clock.Add(20 * time.Second); return clock }
	folder := files(t, map[string]string{"types.csv": benchTypes})
	take(t, a, id, filepath.Join(folder, "types.csv"))
	line, err := a.Site(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	var entries []sootline.Entry
	for i := range places {
		p := sootline.DerivedID(today, fmt.Append(nil, "place", i))
		place := sootline.Place{Panel: "1", Loop: "1", Order: i + 1, Location: fmt.Sprintf("Room %d", i+1), Area: fmt.Sprintf("Area %d", i%3)}
		entries = append(entries, a.entry(id, sootline.LongAgo, p, sootline.Fitted{Place: place, Type: "Larch"}),
			a.entry(id, sootline.LongAgo, p, sootline.Addressed{Wanted: i + 1}))
	}
	if len(entries) == 0 {
		entries = append(entries, a.entry(id, today, sootline.ID{}, sootline.LoopFacts{Panel: "1", Loop: "1", First: 1, Last: 126, Unset: 127}))
	}
	if err := a.add(context.Background(), id, entries...); err != nil {
		t.Fatal(err)
	}
	return a, line
}

// given is a device of that serial for what is in hand.
func given(t testing.TB, a *App, site store.SiteLine, serial string, samples ...float64) BenchGiven {
	t.Helper()
	run, err := a.Bench(context.Background(), site, "")
	if err != nil {
		t.Fatal(err)
	}
	h, ok := run.InHand(false)
	if !ok {
		t.Fatal("nothing is in hand")
	}
	g := BenchGiven{Given: bench.Given{Unit: sootline.Unit{Serial: serial}, Read: h.Number, Samples: samples}}
	if h.Place != nil {
		g.Point = h.Place.Point.ID
	}
	return g
}

// A run of three places from its beginning to its end: done, skipped, rejected, taken
// back; the register as set is what the run says.
func TestBenchRun(t *testing.T) {
	a, site := benchSite(t, 3)
	ctx := context.Background()
	run, err := a.OpenBench(ctx, site, BenchOpening{Name: "first floor"})
	if err != nil {
		t.Fatal(err)
	}
	if len(run.Places) != 3 || len(run.Left()) != 3 {
		t.Fatalf("%d places, %v left", len(run.Places), run.Left())
	}
	h, ok := run.InHand(false)
	if !ok || h.Number != 1 || h.Stands != 127 || strings.Join(h.Steps, "; ") != "switches 2, 3, 4, 5, 6, 7 off" {
		t.Fatalf("in hand: number %d, stands %d, %v", h.Number, h.Stands, h.Steps)
	}
	if _, err := a.BenchDone(ctx, site, "", given(t, a, site, "S1", 30, 30, 31)); err != nil {
		t.Fatal(err)
	}
	if err := a.BenchSkip(ctx, site, "", "", "base missing"); err != nil {
		t.Fatal(err)
	}
	if err := a.BenchReject(ctx, site, "", "", sootline.BoxDevice{Unit: sootline.Unit{Serial: "S9"}}, "cracked"); err != nil {
		t.Fatal(err)
	}
	_, err = a.BenchDone(ctx, site, "", given(t, a, site, "s-1", 30))
	if sootline.ErrorCode(err) != sootline.Conflict || !strings.Contains(err.Error(), "was set for 1.1.001 already") {
		t.Errorf("a serial seen before: %v", err)
	}
	if _, err = a.BenchDone(ctx, site, "", given(t, a, site, "S3", 60, 60, 60)); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Errorf("a value far off: %v", err)
	}
	g := given(t, a, site, "S3", 60, 60, 60)
	g.Sure = true
	if _, err := a.BenchDone(ctx, site, "", g); err != nil {
		t.Fatal(err)
	}
	if undone, err := a.BenchUndo(ctx, site, "", sootline.ID{}, false); err != nil || undone.Serial != "S3" {
		t.Fatal(undone.Serial, err)
	}
	r := register(t, a, site.ID)
	if p := r.Points()[2]; p.Stands.Number != 0 || p.Unit.Serial != "" || len(p.Readings) != 0 {
		t.Errorf("what was taken back still stands: %+v %+v", p.Stands, p.Unit)
	}
	if p := r.Points()[0]; p.Stands.Number != 1 || p.Stands.As != sootline.AsSet || p.Unit.Serial != "S1" || len(p.Readings) != 1 {
		t.Errorf("the first device: %+v %+v", p.Stands, p.Unit)
	}
	if _, err := a.CloseBench(ctx, site, "", "", false); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Errorf("ended with places left: %v", err)
	}
	for _, serial := range []string{"S3", "S2"} {
		if _, err := a.BenchDone(ctx, site, "", given(t, a, site, serial, 30, 31, 30)); err != nil {
			t.Fatal(serial, err)
		}
	}
	ended, err := a.CloseBench(ctx, site, "", "", false)
	if err != nil || ended.Closed == nil || len(ended.Left()) != 1 || ended.Left()[0].Kind != bench.LeftRejected {
		t.Fatal(err, ended.Left())
	}
	if _, err := a.BenchDone(ctx, site, "first floor", BenchGiven{}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("set in a run that has ended: %v", err)
	}
}

// Nothing but a loop: serials come one after another, and each makes its place.
func TestBenchOfTheNextOne(t *testing.T) {
	a, site := benchSite(t, 0)
	ctx := context.Background()
	if _, err := a.OpenBench(ctx, site, BenchOpening{Empty: true, From: 10}); err != nil {
		t.Fatal(err)
	}
	for i, typeName := range []string{"Larch", "Fenn", "Larch"} {
		g := BenchGiven{Given: bench.Given{Unit: sootline.Unit{Serial: fmt.Sprint("N", i)}, Type: typeName}}
		if _, err := a.BenchDone(ctx, site, "", g); err != nil {
			t.Fatal(err)
		}
	}
	var numbers []int
	for _, p := range register(t, a, site.ID).Points() {
		numbers = append(numbers, p.Stands.Number)
	}
	if fmt.Sprint(numbers) != "[10 11 15]" {
		t.Errorf("numbers %v: a module of four takes 11 to 14", numbers)
	}
}
