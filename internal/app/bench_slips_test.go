package app

import (
	"context"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/bench"
	"sootline/internal/check"
	"sootline/internal/store"
)

// beginRun begins a run of that name, whatever is open already.
func beginRun(t *testing.T, a *App, site store.SiteLine, name string) {
	t.Helper()
	if _, err := a.OpenBench(context.Background(), site, BenchOpening{Name: name, All: true, Sure: true}); err != nil {
		t.Fatal(err)
	}
}

// setAt writes that a device was set for the place of that number, in a run.
func setAt(t *testing.T, a *App, site store.SiteLine, run, place, serial string, read int) error {
	t.Helper()
	b, err := a.Bench(context.Background(), site, run)
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.PlaceNamed(place)
	if err != nil {
		t.Fatal(err)
	}
	_, err = a.BenchDone(context.Background(), site, run, BenchGiven{Sure: true, Given: bench.Given{Point: p.Point.ID, Unit: sootline.Unit{Serial: serial}, Read: read}})
	return err
}

func leftTexts(t *testing.T, a *App, site store.SiteLine, run string) string {
	t.Helper()
	b, err := a.Bench(context.Background(), site, run)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, l := range b.Left() {
		texts = append(texts, l.Text)
	}
	return strings.Join(texts, "\n")
}

func wants(t *testing.T, said string, all ...string) {
	t.Helper()
	for _, want := range all {
		if !strings.Contains(said, want) {
			t.Errorf("not said: %q, but\n%s", want, said)
		}
	}
}

func fails(t *testing.T, err error, code sootline.Code, text string) {
	t.Helper()
	if sootline.ErrorCode(err) != code || !strings.Contains(err.Error(), text) {
		t.Errorf("%v; wanted %v: %s", err, code, text)
	}
}

// Two open runs with the same places: the second is asked about, a place that one of them
// did is refused in the other, and both say so where two phones wrote without network.
func TestTwoRunsOfTheSamePlaces(t *testing.T) {
	a, site := benchSite(t, 3)
	ctx := context.Background()
	beginRun(t, a, site, "one")
	_, err := a.OpenBench(ctx, site, BenchOpening{Name: "two"})
	fails(t, err, sootline.Doubtful, "3 of 3 places are in \"one\" too, a run that is open")
	beginRun(t, a, site, "two")
	if err := setAt(t, a, site, "two", "1.1.001", "S1", 1); err != nil {
		t.Fatal(err)
	}
	fails(t, setAt(t, a, site, "one", "1.1.001", "S9", 1), sootline.Conflict, "1.1.001 has its device already, device S1, by run two; take that one back there first")
	fails(t, setAt(t, a, site, "one", "1.1.002", "S1", 2), sootline.Conflict, "device S1 was set for 1.1.001 already, by run two")
	wants(t, leftTexts(t, a, site, "one"), "1.1.001 has no device in this run; run two set device S1 there")
	one, err := a.Bench(ctx, site, "one")
	if err != nil {
		t.Fatal(err)
	}
	if h, _ := one.InHand(false); h.Number != 2 {
		t.Errorf("in hand is %d, which another run has set", h.Number)
	}
	offline(t, a, site, one, "1.1.001", "S9", 1)
	wants(t, leftTexts(t, a, site, "one"), "1.1.001 was done in run two too: device S1")
	wants(t, leftTexts(t, a, site, "two"), "1.1.001 was done in run one too: device S9")
	wants(t, found(t, a, site, check.SetTwice), "2 devices were set at the bench for 1.1.001: device S1", "device S9")
}

// offline writes what a phone writes without network.
func offline(t *testing.T, a *App, site store.SiteLine, b *BenchRun, place, serial string, number int) {
	t.Helper()
	p, err := b.PlaceNamed(place)
	if err != nil {
		t.Fatal(err)
	}
	set := a.entry(site.ID, a.Now(), p.Point.ID, sootline.Addressed{Set: number, Found: number})
	done := a.entry(site.ID, set.At, p.Point.ID, sootline.Benched{Run: b.ID, Outcome: sootline.BenchDone, Unit: sootline.Unit{Serial: serial}, With: []sootline.ID{set.ID}})
	if err := a.add(context.Background(), site.ID, done, set); err != nil {
		t.Fatal(err)
	}
}

// found gives the reasons of the findings of a code.
func found(t *testing.T, a *App, site store.SiteLine, code string) string {
	t.Helper()
	var reasons []string
	for _, f := range check.Register(register(t, a, site.ID), a.Now()) {
		if f.Code == code {
			reasons = append(reasons, f.Reason)
		}
	}
	return strings.Join(reasons, "\n")
}

// A place done twice is found on the register after the run has ended, until one is taken
// back or another device is there.
func TestDoublesOutliveTheRun(t *testing.T) {
	a, site := benchSite(t, 1)
	ctx := context.Background()
	beginRun(t, a, site, "hall")
	if err := setAt(t, a, site, "hall", "1.1.001", "Q2", 1); err != nil {
		t.Fatal(err)
	}
	b, err := a.Bench(ctx, site, "hall")
	if err != nil {
		t.Fatal(err)
	}
	offline(t, a, site, b, "1.1.001", "Q5", 1)
	if _, err := a.CloseBench(ctx, site, "hall", "", true); err != nil {
		t.Fatal(err)
	}
	wants(t, found(t, a, site, check.SetTwice), "2 devices were set at the bench for 1.1.001: device Q2", "device Q5")
	if _, err := a.ReopenBench(ctx, site, "hall"); err != nil { // a run that ended takes nothing back
		t.Fatal(err)
	}
	if _, err := a.BenchUndo(ctx, site, "hall", b.Records[0].Entry.ID, true); err != nil {
		t.Fatal(err)
	}
	if said := found(t, a, site, check.SetTwice); said != "" {
		t.Error(said)
	}
}

// A point removed after its device was set: the run goes on telling of the device, of the
// number that it carries, and of where it went.
func TestPointRemovedDuringRun(t *testing.T) {
	a, site := benchSite(t, 3)
	ctx := context.Background()
	beginRun(t, a, site, "hall")
	if err := setAt(t, a, site, "hall", "1.1.003", "K1", 3); err != nil {
		t.Fatal(err)
	}
	if _, err := a.AddEntry(ctx, site.ID, Note{Point: "1.1.003", Body: sootline.Removed{}}); err != nil {
		t.Fatal(err)
	}
	wants(t, leftTexts(t, a, site, "hall"), "device K1 was set for 1.1.003, which was removed since; it carries 3")
	b, err := a.Bench(ctx, site, "hall")
	if err != nil {
		t.Fatal(err)
	}
	p, err := b.PlaceNamed("1.1.002")
	if err != nil {
		t.Fatal(err)
	}
	look := func(serial string, read int) string {
		l := b.Look(bench.Given{Point: p.Point.ID, Unit: sootline.Unit{Serial: serial}, Read: read})
		return remarkTexts(l.Remarks)
	}
	wants(t, look("K2", 3), "number 3 was set on 1.1.003 (Room 3), device K1, removed since")
	wants(t, look("K1", 2), "device K1 was set for 1.1.003, which was removed since")
	if err := setAt(t, a, site, "hall", "1.1.002", "K1", 2); err != nil {
		t.Fatal(err)
	}
	if said := leftTexts(t, a, site, "hall"); strings.Contains(said, "removed") {
		t.Errorf("K1 is at 1.1.002 now, but\n%s", said)
	}
}

// Nothing said of a device is asked about; a number that nobody read back is told of, and
// stays listed until somebody reads it.
func TestNothingSaidAndNotReadBack(t *testing.T) {
	a, site := benchSite(t, 1)
	ctx := context.Background()
	beginRun(t, a, site, "hall")
	g := given(t, a, site, "", 30)
	g.Read, g.Samples = 0, nil
	_, err := a.BenchDone(ctx, site, "", g)
	fails(t, err, sootline.Doubtful, "nothing was said of the device")
	g.Serial = "S1"
	looked, err := a.BenchDone(ctx, site, "", g)
	if err != nil {
		t.Fatal(err)
	}
	wants(t, remarkTexts(looked.Remarks), "its number was not read back")
	wants(t, leftTexts(t, a, site, "hall"), "1.1.001 was set, and its number was not read back")
	if _, err := a.NoteDevice(ctx, site.ID, DeviceNote{Point: "1.1.001", Found: 1}); err != nil {
		t.Fatal(err)
	}
	if said := leftTexts(t, a, site, "hall"); strings.Contains(said, "read back") {
		t.Error(said)
	}
}

// A number that no device answers to, and a value that no meter shows, are refused at
// every door.
func TestImpossibleFiguresAtTheBench(t *testing.T) {
	a, site := benchSite(t, 1)
	ctx := context.Background()
	beginRun(t, a, site, "hall")
	for _, g := range []BenchGiven{given(t, a, site, "S1", 30, 1e300, 30), given(t, a, site, "S1", -1e10)} {
		g.Sure = true
		_, err := a.BenchDone(ctx, site, "", g)
		fails(t, err, sootline.Conflict, "a sample is more than any meter shows")
	}
	for _, read := range []int{-5, 12345} {
		g := given(t, a, site, "S1", 30)
		g.Read, g.Sure = read, true
		_, err := a.BenchDone(ctx, site, "", g)
		fails(t, err, sootline.Conflict, "a number read back lies between 1 and 9999")
	}
	_, err := TypedSamples("30 1e300 30")
	fails(t, err, sootline.Invalid, "more than any meter shows")
	_, err = a.AddEntry(ctx, site.ID, Note{Point: "1.1.001", Body: sootline.Read{Samples: []float64{1e300}}})
	fails(t, err, sootline.Invalid, "more than any meter shows")
	for _, text := range []string{"0", "-1", "1 5", "15 15 15", "1e1", "+4", "10000", "", "0x2"} {
		if n, err := TypedAddress(text); err == nil {
			t.Errorf("%q is taken as %d", text, n)
		}
	}
	if n, err := TypedAddress(" 014 "); n != 14 || err != nil {
		t.Error(n, err)
	}
}

// A type that cannot show the number before anybody sets it does not carry that; of a
// device of no type nobody knows what it carries.
func TestFromTheBox(t *testing.T) {
	a, site := benchSite(t, 0)
	ctx := context.Background()
	if _, err := a.OpenBench(ctx, site, BenchOpening{Empty: true, From: 64}); err != nil {
		t.Fatal(err)
	}
	b, err := a.Bench(ctx, site, "")
	if err != nil {
		t.Fatal(err)
	}
	for typeName, want := range map[string]int{"Larch": 127, "Ash": 0, "Fenn": 127, "": 0} {
		h, ok := b.HandNew(sootline.BoxDevice{Type: typeName})
		if !ok || h.Stands != want || h.Fresh != (want != 0) {
			t.Errorf("a device of type %q carries %d from its box (%v), and %d is so", typeName, h.Stands, h.Fresh, want)
		}
	}
}

// replaced sets two devices and gives the use cases of replacing them.
func replaced(t *testing.T) (*App, store.SiteLine) {
	t.Helper()
	a, site := benchSite(t, 4)
	beginRun(t, a, site, "hall")
	for i, serial := range []string{"A1", "A2", "A3", "A4"} {
		place := sootline.Ref{Panel: "1", Loop: "1", Number: i + 1}.String()
		if err := setAt(t, a, site, "hall", place, serial, i+1); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := a.CloseBench(context.Background(), site, "hall", "", true); err != nil {
		t.Fatal(err)
	}
	return a, site
}

func given1(serial string, read int) BenchGiven {
	return BenchGiven{Given: bench.Given{Unit: sootline.Unit{Serial: serial}, Read: read}}
}

// A replacement of which nothing is said is asked about, and so is the loss of a serial;
// it is taken back with all that was written with it, and nothing else is.
func TestReplacementIsAskedAndTakenBack(t *testing.T) {
	a, site := replaced(t)
	ctx := context.Background()
	_, _, err := a.ReplaceDevice(ctx, site, Replacement{Place: "1.1.001"})
	fails(t, err, sootline.Doubtful, "nothing was said of the device")
	_, _, err = a.ReplaceDevice(ctx, site, Replacement{Place: "1.1.001", BenchGiven: given1("", 1)})
	fails(t, err, sootline.Doubtful, "no serial was given, and device A1 is written down there")
	if _, err := a.UndoReplacement(ctx, site, "1.1.001"); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("nothing was replaced: %v", err)
	}
	if _, _, err := a.ReplaceDevice(ctx, site, Replacement{Place: "1.1.001", From: "1.1.002", BenchGiven: given1("", 1)}); err != nil {
		t.Fatal(err)
	}
	if undone, err := a.UndoReplacement(ctx, site, "1.1.001"); err != nil || undone.Body.Kind() != sootline.ReplacedKind {
		t.Fatal(undone, err)
	}
	r := register(t, a, site.ID)
	if p := r.Points()[0]; p.Unit.Serial != "A1" || p.Stands.Number != 1 || len(r.Defects()) != 0 || r.Points()[1].Absent() {
		t.Errorf("taken back: %+v, stands %+v, %d defects", p.Unit, p.Stands, len(r.Defects()))
	}
	if _, err := a.UndoReplacement(ctx, site, "1.1.001"); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("taken back twice: %v", err)
	}
}

// A device that is moved carries what it carried where it was.
func TestMovedDeviceCarriesItsNumber(t *testing.T) {
	a, site := replaced(t)
	h, err := a.ReplaceHand(context.Background(), site, "1.1.003", "1.1.002")
	if err != nil || h.Stands != 2 || h.Fresh || strings.Join(h.Steps, "; ") != "switch 1 on" {
		t.Errorf("stands at %d (fresh %v), %v, %v", h.Stands, h.Fresh, h.Steps, err)
	}
}

// A device is not moved from where it is no more; its old place neither holds its serial
// nor its number; a serial that was of another type keeps its type.
func TestDeviceIsAtOnePlace(t *testing.T) {
	a, site := replaced(t)
	ctx := context.Background()
	move := func(from, to string, read int) error {
		_, _, err := a.ReplaceDevice(ctx, site, Replacement{Place: to, From: from, BenchGiven: given1("", read)})
		return err
	}
	if err := move("1.1.002", "1.1.001", 1); err != nil {
		t.Fatal(err)
	}
	fails(t, move("1.1.002", "1.1.004", 4), sootline.Conflict, "device A2 of 1.1.002 is at 1.1.001 now")
	if err := move("1.1.001", "1.1.004", 4); err != nil {
		t.Error(err)
	}
	_, _, err := a.ReplaceDevice(ctx, site, Replacement{Place: "1.1.003", BenchGiven: given1("A2", 3)})
	fails(t, err, sootline.Doubtful, "device A2 is written down at 1.1.004")
	ash := sootline.DerivedID(today, []byte("ash"))
	if err := a.add(ctx, site.ID, a.entry(site.ID, today, ash, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "Ash"}), a.entry(site.ID, today, ash, sootline.Addressed{Wanted: 20})); err != nil {
		t.Fatal(err)
	}
	old := Replacement{Place: "1.1.020", BenchGiven: given1("A1", 20)} // A1 was a Larch, and is nowhere now
	_, _, err = a.ReplaceDevice(ctx, site, old)
	fails(t, err, sootline.Doubtful, "this device is of type Larch, and the place is for type Ash")
	old.Sure = true
	if _, _, err := a.ReplaceDevice(ctx, site, old); err != nil {
		t.Fatal(err)
	}
	if p := register(t, a, site.ID).Point(ash); p.Type != "Larch" {
		t.Errorf("a Larch has become one of type %s", p.Type)
	}
}

// A replacement is to have the number of its place, also where nobody wanted one and
// another was read back: the place keeps its name, and the order of changes its step.
func TestReplacementKeepsThePlacesNumber(t *testing.T) {
	a, site := benchSite(t, 0)
	ctx := context.Background()
	p := sootline.DerivedID(today, []byte("alone"))
	if err := a.add(ctx, site.ID, a.entry(site.ID, today, p, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "Larch"}), a.entry(site.ID, today, p, sootline.Addressed{Found: 60})); err != nil {
		t.Fatal(err)
	}
	x := Replacement{Place: "1.1.060", BenchGiven: given1("N1", 57)}
	x.Sure = true
	if _, _, err := a.ReplaceDevice(ctx, site, x); err != nil {
		t.Fatal(err)
	}
	orders, err := a.OrderNumbers(ctx, site.ID, "")
	if err != nil || len(orders) != 1 || len(orders[0].Moves) != 1 {
		t.Fatalf("%+v, %v", orders, err)
	}
	r, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if q := r.Point(p); q.Wanted != 60 || q.Stands.Number != 57 || q.Ref().Number != 60 {
		t.Errorf("wanted %d, stands at %d, called %s", q.Wanted, q.Stands.Number, q.Ref())
	}
}
