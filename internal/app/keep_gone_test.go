package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline/internal/keep"
	"sootline/internal/pgtest"
)

// goneWorld is a book with a schedule of an hour to one folder, which holds a backup.
type goneWorld struct {
	*Keeping
	folder string
	clock  *clock
	told   []string
}

func newGoneWorld(t *testing.T) *goneWorld {
	t.Helper()
	w := &goneWorld{folder: filepath.Join(t.TempDir(), "backups"), clock: clockAt(today)}
	a := newApp(t, "server")
	a.Now = w.clock.now
	addSite(t, a)
	w.Keeping = NewKeeping(a, []keep.Place{openPlace(t, w.folder, keep.Storage{})}, keep.Keys{}, time.Hour, func(line string) { w.told = append(w.told, line) })
	w.look(t, 0, 1)
	if len(w.told) > 0 || w.report(t).Late() {
		t.Fatalf("of a new place it tells %q", w.told)
	}
	return w
}

// look looks after a while, and counts what lies in the folder then.
func (w *goneWorld) look(t *testing.T, after time.Duration, want int) {
	t.Helper()
	w.clock.pass(after)
	w.Look(t.Context())
	if files, _ := filepath.Glob(filepath.Join(w.folder, "book-*")); len(files) != want {
		t.Fatalf("there are %q, want %d; told %q", files, want, w.told)
	}
}

func (w *goneWorld) report(t *testing.T) *PlaceReport {
	t.Helper()
	reports, err := w.App.Backups(w.Keeping)
	if err != nil || len(reports) != 1 {
		t.Fatalf("reports %+v, %v", reports, err)
	}
	return &reports[0]
}

func (w *goneWorld) keptUntil(t *testing.T, want time.Time) {
	t.Helper()
	if began, err := w.App.BackedUp(w.Keeping); err != nil || !began.Equal(want) {
		t.Errorf("kept until %s, %v, want %s", began, err, want)
	}
}

// TestKeepingUnmounted: a place that was used and is not there is not made anew on the
// disk of the book; it is trouble until its disk is there again.
func TestKeepingUnmounted(t *testing.T) {
	pgtest.FileOnly(t)
	w := newGoneWorld(t)
	w.keptUntil(t, today)
	if err := os.Rename(w.folder, w.folder+"-away"); err != nil {
		t.Fatal(err)
	}
	w.keptUntil(t, time.Time{}) // before anybody looked
	w.look(t, time.Minute, 0)
	if _, err := os.Stat(w.folder); err == nil {
		t.Fatal("the folder was made anew")
	}
	if p := w.report(t); !p.Late() || p.Gone == nil || !strings.Contains(p.Failed, "mount its disk") {
		t.Errorf("reported as %+v", p)
	}
	if len(w.told) != 1 || !strings.Contains(w.told[0], "there is no folder "+w.folder+" any more, where backup book-") {
		t.Errorf("told %q", w.told)
	}
	if _, _, err := w.App.KeepBackup(t.Context(), keep.Keys{}, w.Places...); err == nil || !strings.Contains(err.Error(), "any more") {
		t.Errorf("by hand: %v", err)
	}
	if err := os.Rename(w.folder+"-away", w.folder); err != nil {
		t.Fatal(err)
	}
	w.look(t, retryAfter, 1)
	if p := w.report(t); p.Late() || p.Gone != nil {
		t.Errorf("mounted again: %+v", p)
	}
	w.keptUntil(t, today)
}

// TestKeepingEmptied: where earlier backups are gone from a place that is there, a new
// one is made at once; that they are gone is said, and nothing counts as kept for
// phones, until a drill by hand passes.
func TestKeepingEmptied(t *testing.T) {
	pgtest.FileOnly(t)
	w := newGoneWorld(t)
	old := filepath.Join(w.folder, keep.Copy{At: today}.Name())
	if err := os.Rename(old, w.folder+".old"); err != nil {
		t.Fatal(err)
	}
	w.keptUntil(t, time.Time{})
	w.look(t, time.Minute, 1)
	gone := func() {
		t.Helper()
		if p := w.report(t); !p.Late() || p.Gone == nil || !p.Gone.Copy.At.Equal(today) {
			t.Errorf("reported as %+v", p)
		}
		w.keptUntil(t, time.Time{})
	}
	gone()
	if len(w.told) != 1 || !strings.Contains(w.told[0], "is not there any more") {
		t.Errorf("told %q", w.told)
	}
	w.look(t, 7*24*time.Hour, 1) // its own drill passes
	gone()
	d, err := w.App.Drill(t.Context(), w.Places[0], keep.Keys{}, time.Time{})
	if err != nil || d.Gone == nil {
		t.Fatalf("drilled %+v, %v", d, err)
	}
	if p := w.report(t); p.Late() || p.Gone != nil {
		t.Errorf("after a drill by hand: %+v", p)
	}
	w.keptUntil(t, today.Add(time.Minute))
}

// TestKeepingOtherDisk: an empty folder where the disk was is told of, and when the
// disk is there again a backup is due on it.
func TestKeepingOtherDisk(t *testing.T) {
	pgtest.FileOnly(t)
	w := newGoneWorld(t)
	if err := os.Rename(w.folder, w.folder+"-disk"); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(w.folder, 0o700); err != nil {
		t.Fatal(err)
	}
	w.look(t, time.Minute, 1)
	if p := w.report(t); p.Gone == nil {
		t.Fatalf("reported as %+v", p)
	}
	if err := os.RemoveAll(w.folder); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(w.folder+"-disk", w.folder); err != nil {
		t.Fatal(err)
	}
	w.look(t, time.Minute, 2)
	if p := w.report(t); p.Late() || p.Gone != nil {
		t.Errorf("reported as %+v", p)
	}
	w.keptUntil(t, today.Add(2*time.Minute))
}
