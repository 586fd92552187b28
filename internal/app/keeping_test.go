package app

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/keep"
	"sootline/internal/pgtest"
)

// TestKeeping follows a schedule of an hour by a clock that the test sets.
func TestKeeping(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	site := addSite(t, a)
	note := func() {
		t.Helper()
		if err := a.add(t.Context(), site, a.entry(site, a.Now(), sootline.ID{}, sootline.Note{Text: "seen"})); err != nil {
			t.Fatal(err)
		}
	}
	folder := t.TempDir()
	good, bad := filepath.Join(folder, "good"), filepath.Join(folder, "away", "bad")
	var told []string
	k := NewKeeping(a, []keep.Place{openPlace(t, good, keep.Storage{}), openPlace(t, bad, keep.Storage{})}, keep.Keys{}, time.Hour, func(line string) { told = append(told, line) })
	a.Closed = k.Soon
	count := func(path string) int {
		files, _ := filepath.Glob(filepath.Join(path, "book-*.db"))
		return len(files)
	}
	step := func(what string, by time.Duration, wantGood, wantBad int) {
		t.Helper()
		time0.pass(by)
		k.Look(t.Context())
		if g, b := count(good), count(bad); g != wantGood || b != wantBad {
			t.Fatalf("%s: %d and %d backups, want %d and %d; told %q", what, g, b, wantGood, wantBad, told)
		}
	}
	step("at its start", 0, 1, 0)
	if len(told) != 1 || !strings.Contains(told[0], "no such file or directory") {
		t.Errorf("of the place that is not there it tells %q", told)
	}
	step("nothing is due", time.Minute, 1, 0)
	if err := os.Mkdir(filepath.Dir(bad), 0o700); err != nil {
		t.Fatal(err)
	}
	step("tried again before its hour", 10*time.Minute, 1, 1)
	step("nothing was written", 49*time.Minute, 1, 1)
	note()
	step("the hour of neither has come", 10*time.Minute, 1, 1)
	step("that of the second", 2*time.Minute, 1, 2)
	step("that of the first", 49*time.Minute, 2, 2)
	note()
	a.Closed()
	step("a visit was closed", time.Minute, 3, 3)
	a.Closed()
	step("and another, with nothing new", time.Minute, 3, 3)
	note()
	time0.pass(-48 * time.Hour)
	step("the clock was set back", 0, 4, 4)
	time0.pass(48 * time.Hour)

	told = nil
	reports, err := a.Backups(k)
	if err != nil || len(reports) != 2 || reports[0].Drill == nil || reports[0].Passed == nil || reports[0].DrillLate() || reports[1].Late() == false {
		t.Errorf("reports %+v, %v", reports, err) // late: nothing was seen for two days of the clock
	}
	step("all is well again", time.Hour, 4, 4)
	if reports, err = a.Backups(k); err != nil || reports[0].Late() || reports[1].Late() {
		t.Errorf("reports %+v, %v", reports, err)
	}
	if len(told) > 0 {
		t.Errorf("told %q", told)
	}
}

// TestKeepingDrills: a drill at the start and then once a day where there is a new
// backup, else once a week; none where the key is elsewhere.
func TestKeepingDrills(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	site := addSite(t, a)
	place := openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{})
	k := NewKeeping(a, []keep.Place{place}, keep.Keys{}, time.Hour, func(line string) { t.Error(line) })
	drills := map[time.Time]bool{}
	look := func(by time.Duration) int {
		t.Helper()
		time0.pass(by)
		k.Look(t.Context())
		reports, err := a.Backups(k)
		if err != nil || reports[0].Passed == nil || reports[0].Late() || reports[0].DrillLate() {
			t.Fatalf("reports %+v, %v", reports, err)
		}
		drills[reports[0].Passed.At] = true
		return len(drills)
	}
	if n := look(0); n != 1 {
		t.Fatal("no drill at the start")
	}
	for range 48 { // a note an hour
		if err := a.add(t.Context(), site, a.entry(site, a.Now(), sootline.ID{}, sootline.Note{Text: "seen"})); err != nil {
			t.Fatal(err)
		}
		look(time.Hour)
	}
	if n := len(drills); n != 3 {
		t.Errorf("%d drills in two days after the first", n-1)
	}
	for range 24 * 12 { // nothing any more
		look(time.Hour)
	}
	if n := len(drills); n != 5 {
		t.Errorf("%d drills in twelve days without anything new", n-3)
	}
	sealed := NewKeeping(a, []keep.Place{openPlace(t, filepath.Join(t.TempDir(), "sealed"), keep.Storage{})}, keep.Keys{To: newKey(t).To}, time.Hour, func(line string) { t.Error(line) })
	sealed.Look(t.Context())
	reports, err := a.Backups(sealed)
	if p := reports[0]; err != nil || p.Drill != nil || p.Drillable || p.DrillLate() || !p.Encrypted || p.Last == nil || p.Late() {
		t.Errorf("without its key: %+v, %v", p, err)
	}
	if len(reports) != 2 || reports[1].Scheduled {
		t.Errorf("the other place is reported as %+v", reports[1:])
	}
}

// TestKeepingWrongKey: a server with another key than the one encrypted to keeps its
// backups, and tells that it cannot open them.
func TestKeepingWrongKey(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	addSite(t, a)
	var told []string
	place := openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{})
	k := NewKeeping(a, []keep.Place{place}, keep.Keys{To: newKey(t).To, With: newKey(t).With}, time.Hour, func(line string) { told = append(told, line) })
	k.Look(t.Context())
	reports, err := a.Backups(k)
	if p := reports[0]; err != nil || p.Late() || !p.DrillLate() || p.Passed != nil || !strings.Contains(p.Drill.Failed, "another key") {
		t.Errorf("reported as %+v, %v", p, err)
	}
	if len(told) != 1 || !strings.Contains(told[0], "another key") {
		t.Errorf("told %q", told)
	}
}

// TestKeepingThins: what is too much goes, what last passed a drill stays.
func TestKeepingThins(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	site := addSite(t, a)
	folder := filepath.Join(t.TempDir(), "backups")
	place := openPlace(t, folder, keep.Storage{})
	k := NewKeeping(a, []keep.Place{place}, keep.Keys{}, 6*time.Hour, func(line string) { t.Error(line) })
	for range 4 * 10 {
		if err := a.add(t.Context(), site, a.entry(site, a.Now(), sootline.ID{}, sootline.Note{Text: "seen"})); err != nil {
			t.Fatal(err)
		}
		k.Look(t.Context())
		time0.pass(6 * time.Hour)
	}
	all, err := keep.List(t.Context(), place)
	if err != nil || len(all) < 8+8 || len(all) > 8+8+2 { // two days of four, and eight days of one
		t.Errorf("after ten days there are %d, %v", len(all), err)
	}
	state, err := keep.ReadState(BackupsFile(a.Book.Path()))
	if err != nil || len(state.Marks) != 1 {
		t.Errorf("%d marks, %v", len(state.Marks), err)
	}
}

// TestKeepingSurvives: what fails or panics is told of, and the next look goes on.
func TestKeepingSurvives(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	addSite(t, a)
	var told []string
	place := openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{})
	k := NewKeeping(a, []keep.Place{panics{place}}, keep.Keys{}, time.Hour, func(line string) { told = append(told, line) })
	k.Look(t.Context())
	if len(told) != 1 || !strings.Contains(told[0], "out of its mind") {
		t.Fatalf("told %q", told)
	}
	k.Places = []keep.Place{place}
	time0.pass(time.Hour)
	k.Look(t.Context())
	if all, err := keep.List(t.Context(), place); err != nil || len(all) != 1 {
		t.Errorf("after it: %+v, %v", all, err)
	}
}

// TestKeepingCannotThin: that older backups stay is told of until they are removed,
// also while nothing new is written.
func TestKeepingCannotThin(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	addSite(t, a)
	folder := filepath.Join(t.TempDir(), "backups")
	place := &stuck{openPlace(t, folder, keep.Storage{}), true}
	k := NewKeeping(a, []keep.Place{place}, keep.Keys{}, time.Hour, func(string) {})
	for n, want := range []string{"not removed: it is stuck", "not removed: it is stuck", ""} {
		place.is = n < 2
		k.Look(t.Context())
		reports, err := a.Backups(k)
		if err != nil || !strings.Contains(reports[0].Failed, want) || reports[0].Late() != (want != "") {
			t.Errorf("look %d: %+v, %v", n, reports[0], err)
		}
		time0.pass(10 * time.Minute)
	}
}

// stuck is a place of which nothing can be swept.
type stuck struct {
	keep.Place
	is bool
}

func (s *stuck) Sweep(ctx context.Context, before time.Time) error {
	if s.is {
		return sootline.Errorf(sootline.Unavailable, "", "it is stuck")
	}
	return s.Place.Sweep(ctx, before)
}

type panics struct{ keep.Place }

func (panics) String() string { panic("out of its mind") }
