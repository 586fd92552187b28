package app

import (
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"filippo.io/age"

	"sootline"
	"sootline/internal/gateway"
	"sootline/internal/keep"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

// clock is a clock that a test sets.
type clock struct{ ms atomic.Int64 }

func clockAt(at time.Time) *clock {
	c := &clock{}
	c.ms.Store(at.UnixMilli())
	return c
}

func (c *clock) now() time.Time        { return time.UnixMilli(c.ms.Load()).UTC() }
func (c *clock) pass(by time.Duration) { c.ms.Add(by.Milliseconds()) }

func openPlace(t testing.TB, text string, storage keep.Storage) keep.Place {
	t.Helper()
	place, err := keep.Open(text, storage)
	if err != nil {
		t.Fatal(err)
	}
	return place
}

func newKey(t testing.TB) keep.Keys {
	t.Helper()
	key, err := age.GenerateX25519Identity()
	if err != nil {
		t.Fatal(err)
	}
	return keep.Keys{To: []age.Recipient{key.Recipient()}, With: []age.Identity{key}}
}

// acknowledged is what the writers were told is kept, by its site.
type acknowledged struct {
	mu     sync.Mutex
	notes  []sootline.ID
	photos []string
	most   int // notes, until more are allowed
}

// allow lets the writers write so many more, and waits until a fifth is there.
func (a *acknowledged) allow(t *testing.T, more int) {
	t.Helper()
	a.mu.Lock()
	before := len(a.notes)
	a.most = before + more
	a.mu.Unlock()
	for { // by progress, and not by time
		if notes, _ := a.so(); len(notes) >= before+more/5 {
			return
		}
		if t.Failed() {
			t.FailNow()
		}
		time.Sleep(time.Millisecond)
	}
}

func (a *acknowledged) may() bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	return len(a.notes) < a.most
}

func (a *acknowledged) so() (notes []sootline.ID, photos []string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	return slices.Clone(a.notes), slices.Clone(a.photos)
}

// write writes notes and photos until the context ends, with the book opened anew.
func (a *acknowledged) write(ctx context.Context, t *testing.T, path string, site sootline.ID, station string, now func() time.Time) {
	book, err := store.Open(context.Background(), path, false, nil)
	if err != nil {
		t.Error(err)
		return
	}
	defer book.Close() //nolint:errcheck // the test looks at what it acknowledged
	w := newActor(book, station, now)
	for n := 0; ctx.Err() == nil; n++ {
		if !a.may() {
			time.Sleep(time.Millisecond)
			continue
		}
		id := sootline.NewID(now(), w.Random())
		form := *w
		form.Form = id
		if err := form.add(context.Background(), site, form.entry(site, now(), sootline.ID{}, sootline.Note{Text: fmt.Sprint(station, n)})); err != nil {
			t.Error(err)
			return
		}
		hash := ""
		if n%5 == 0 {
			if hash, err = w.KeepPhoto(context.Background(), site, fmt.Appendf([]byte(headOfPhoto), "%s%d", station, n)); err != nil {
				t.Error(err)
				return
			}
		}
		a.mu.Lock()
		if a.notes = append(a.notes, id); hash != "" {
			a.photos = append(a.photos, hash)
		}
		a.mu.Unlock()
	}
}

func newActor(book *store.Store, station string, now func() time.Time) *App {
	return &App{
		Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: station}, Now: now,
		Random: func() (r [10]byte) { rand.Read(r[:]); return r },
	}
}

// TestKeptWhileWriting keeps a backup each minute, by a clock that the test sets,
// while four writers write, each with the book opened for itself. Each backup is
// put back: it must be sound, and hold all that was acknowledged before it began.
func TestKeptWhileWriting(t *testing.T) {
	pgtest.FileOnly(t)
	t.Run("folder", func(t *testing.T) {
		keptWhileWriting(t, keep.Keys{}, openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{}))
	})
	t.Run("encrypted", func(t *testing.T) {
		keptWhileWriting(t, newKey(t), openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{}))
	})
	t.Run("bucket", func(t *testing.T) {
		endpoint, buckets := gateway.Start(t)
		if err := os.Mkdir(filepath.Join(buckets, "backups"), 0o700); err != nil {
			t.Fatal(err)
		}
		storage := keep.Storage{Endpoint: endpoint, KeyID: gateway.KeyID, Secret: gateway.Secret, Region: "us-east-1"}
		keptWhileWriting(t, newKey(t), openPlace(t, "s3://backups/works", storage))
	})
}

func keptWhileWriting(t *testing.T, keys keep.Keys, place keep.Place) {
	t.Helper()
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	site := addSite(t, a)
	acked := &acknowledged{}
	ctx, stop := context.WithCancel(t.Context())
	var writers sync.WaitGroup
	for n := range 4 {
		writers.Go(func() { acked.write(ctx, t, a.Book.Path(), site, fmt.Sprint("writer", n), time0.now) })
	}
	defer writers.Wait()
	defer stop()
	k := NewKeeping(a, []keep.Place{place}, keys, time.Minute, func(line string) { t.Error(line) })
	meanwhile := 0
	for minute := range 10 {
		acked.allow(t, 150)
		notes, photos := acked.so()
		time0.pass(time.Minute)
		k.Look(t.Context())
		later, _ := acked.so()
		meanwhile += len(later) - len(notes)
		all, err := keep.List(t.Context(), place)
		if err != nil || len(all) != minute+1 || !all[0].At.Equal(time0.now().Truncate(time.Second)) {
			t.Fatalf("after minute %d there are %+v, %v", minute, all, err)
		}
		holdsAll(t, place, all[0], keys, site, notes, photos)
	}
	if meanwhile == 0 {
		t.Error("nobody wrote while backups were made")
	}
	t.Logf("%d entries were acknowledged while backups were made", meanwhile)
}

// holdsAll puts a backup back, and looks for all that was acknowledged.
func holdsAll(t *testing.T, place keep.Place, kept keep.Copy, keys keep.Keys, site sootline.ID, notes []sootline.ID, photos []string) {
	t.Helper()
	ctx, folder := t.Context(), t.TempDir()
	file, path := filepath.Join(folder, "fetched.db"), filepath.Join(folder, "book.db")
	if err := keep.Fetch(ctx, place, kept, file, keys.With); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Restore(ctx, file, path, nil); err != nil {
		t.Fatal(err)
	}
	book, err := store.Open(ctx, path, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close() //nolint:errcheck // it is only read
	if err := book.Check(ctx); err != nil {
		t.Error(err)
	}
	v, err := newActor(book, "elsewhere", time.Now).Verify(ctx, site)
	if err != nil || len(v.Faults) > 0 {
		t.Errorf("%s: %v, %v", kept.Name(), v.Faults, err)
	}
	has, err := book.Has(ctx, site, notes...)
	if err != nil || len(has) != len(notes) {
		t.Errorf("%s holds %d of %d entries that were acknowledged before it began, %v", kept.Name(), len(has), len(notes), err)
	}
	for _, hash := range photos {
		if photo, err := book.Photo(ctx, hash); err != nil || photo == nil {
			t.Errorf("%s lacks photo %s: %v", kept.Name(), hash, err)
		}
	}
}

// TestDrill has backups pass, and damages them in every way that it must find.
func TestDrill(t *testing.T) {
	pgtest.FileOnly(t)
	a, time0 := newApp(t, "server"), clockAt(today)
	a.Now = time0.now
	site := addSite(t, a)
	folder := filepath.Join(t.TempDir(), "backups")
	place := openPlace(t, folder, keep.Storage{})
	note := func(a *App, text string) {
		if err := a.add(t.Context(), site, a.entry(site, a.Now(), sootline.ID{}, sootline.Note{Text: text})); err != nil {
			t.Fatal(err)
		}
	}
	kept := func(a *App) string {
		time0.pass(time.Minute)
		c, trouble, err := a.KeepBackup(t.Context(), keep.Keys{}, place)
		if err != nil || trouble != nil {
			t.Fatal(err, trouble)
		}
		return filepath.Join(folder, c.Name())
	}
	note(a, "one")
	first := kept(a)
	for range 200 {
		note(a, "more")
	}
	last := kept(a)
	note(a, "after it")
	d, err := a.Drill(t.Context(), place, keep.Keys{}, time.Time{})
	if err != nil || !d.Known || !d.Compared || d.Since != 1 || d.Before != 0 || d.Lines != 202 || d.Sites != 1 {
		t.Errorf("drilled %+v, %v", d, err)
	}
	d, err = a.Drill(t.Context(), place, keep.Keys{}, time0.now().Add(-time.Minute))
	if err != nil || d.Known || d.Since != 201 || d.Lines != 2 {
		t.Errorf("the earlier one: %+v, %v", d, err)
	}
	whole, _ := os.ReadFile(last)
	older, _ := os.ReadFile(first)
	flipped := slices.Clone(whole)
	for i := range flipped[len(flipped)/2:] {
		flipped[len(flipped)/2+i] ^= 0x55
	}
	other := newApp(t, "elsewhere")
	addSite(t, other)
	otherFile := filepath.Join(t.TempDir(), "other.db")
	if _, err := other.Backup(t.Context(), otherFile); err != nil {
		t.Fatal(err)
	}
	foreign, _ := os.ReadFile(otherFile)
	for name, c := range map[string]struct {
		text []byte
		says string
	}{
		"an earlier one under its name": {older, "lacks 200 lines"},
		"cut short":                     {whole[:len(whole)/2], "cut short"},
		"half of it altered":            {flipped, "damaged"},
		"another book":                  {foreign, "lacks 202 lines"},
		"no book":                       {[]byte("nothing of the kind"), "not a book"},
	} {
		if err := os.WriteFile(last, c.text, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := a.Drill(t.Context(), place, keep.Keys{}, time.Time{})
		if err == nil || !strings.Contains(err.Error(), c.says) || sootline.ErrorHint(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
		reports, err := a.Backups(nil)
		if err != nil || len(reports) != 1 || reports[0].Drill.Failed == "" || !reports[0].DrillLate() || reports[0].Passed == nil {
			t.Errorf("%s is reported as %+v, %v", name, reports, err)
		}
	}
	left, _ := filepath.Glob(a.Book.Path() + asideMark + "*")
	if len(left) > 0 {
		t.Errorf("left beside the book: %v", left)
	}
}

// TestDrillFork: a book whose chain was written anew after a backup is told of.
func TestDrillFork(t *testing.T) {
	pgtest.FileOnly(t)
	a := newApp(t, "server")
	site := addSite(t, a)
	place := openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{})
	copied := filepath.Join(t.TempDir(), "copy.db")
	if _, err := a.Backup(t.Context(), copied); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"a", "b"} {
		if err := a.add(t.Context(), site, a.entry(site, today, sootline.ID{}, sootline.Note{Text: text})); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := a.KeepBackup(t.Context(), keep.Keys{}, place); err != nil {
		t.Fatal(err)
	}
	book, err := store.Open(t.Context(), copied, false, nil) // as who copies a file by hand, and works in it
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close() //nolint:errcheck // it is thrown away
	forked := newActor(book, "server", a.Now)
	if err := forked.add(t.Context(), site, forked.entry(site, today, sootline.ID{}, sootline.Note{Text: "x"})); err != nil {
		t.Fatal(err)
	}
	if _, err := forked.Drill(t.Context(), place, keep.Keys{}, time.Time{}); err == nil || !strings.Contains(err.Error(), "different lines of station") {
		t.Errorf("the drill says %v", err)
	}
}
