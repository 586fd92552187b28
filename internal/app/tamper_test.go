package app

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"fmt"
	mathrand "math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/klauspost/compress/zstd"

	"sootline"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

// whom a kind of tampering may deceive; each stands in docs/methods/chain.md under
// the same name. What is not here must be found by every reader.
var unfindable = map[string][]reader{
	"a chain signed anew":       {stranger, acquaintance}, // the second: of a station that is new to it
	"all chains signed anew":    {stranger},
	"a station taken away":      {stranger, acquaintance},
	"set back to an older head": {stranger, acquaintance},
}

type reader string

const (
	stranger     reader = "a reader who sees the site for the first time"
	acquaintance reader = "a reader whose book took in an earlier export"
	owner        reader = "the book whose pages were changed"
)

// logWorld is a site on which a laptop, its phone and a tablet wrote, and what a
// reader and a forger may hold of it.
type logWorld struct {
	site           sootline.ID
	laptop, tablet *App
	early, log     [][]byte // the laptop's exports, of an earlier day and of the end
	loot           loot
}

func exported(t testing.TB, a *App, site sootline.ID) [][]byte {
	t.Helper()
	var log bytes.Buffer
	if _, err := a.Export(context.Background(), site, &log); err != nil {
		t.Fatal(err)
	}
	return sootline.SplitLines(log.Bytes())
}

func imported(a *App, lines [][]byte) (Imported, error) {
	return a.Import(context.Background(), bytes.NewReader(append(bytes.Join(lines, []byte("\n")), '\n')))
}

func mustImport(t testing.TB, a *App, lines [][]byte) Imported {
	t.Helper()
	in, err := imported(a, lines)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func newLogWorld(t testing.TB) *logWorld {
	w := &logWorld{laptop: newApp(t, "laptop"), tablet: newApp(t, "tablet")}
	clock := today
	tick := func() time.Time { clock = clock.Add(time.Minute); return clock }
	w.laptop.Now, w.tablet.Now = tick, tick
	phone := *w.laptop
	phone.Who.Station = "phone"
	w.site = addSite(t, w.laptop)
	mustImport(t, w.tablet, exported(t, w.laptop, w.site))
	write := func(a *App, n int) {
		for i := range n {
			if _, err := a.AddEntry(context.Background(), w.site, Note{Body: sootline.Note{Text: fmt.Sprint("seen ", i)}}); err != nil {
				t.Fatal(err)
			}
		}
	}
	for range 3 {
		write(w.laptop, 4)
		write(w.tablet, 3)
		write(&phone, 2)
		mustImport(t, w.laptop, exported(t, w.tablet, w.site))
		if w.early == nil {
			w.early = exported(t, w.laptop, w.site)
		}
		mustImport(t, w.tablet, exported(t, w.laptop, w.site))
	}
	w.loot.older = exported(t, w.laptop, w.site)
	write(w.laptop, 2)
	visitor := *w.laptop
	visitor.Who.Station = "visitor"
	write(&visitor, 3) // nobody has pinned it yet
	w.log = exported(t, w.laptop, w.site)
	other := newApp(t, "laptop")
	w.loot.foreign = exported(t, other, addSite(t, other))
	return w
}

// TestTampering: of 1,000 random tamperings, of exports and of the pages of a book,
// each is found by who reads it, changes nothing, or is of a kind that
// docs/methods/chain.md says cannot be found.
func TestTampering(t *testing.T) {
	pgtest.FileOnly(t)
	sums(t)
	inMemory(t)
	w := newLogWorld(t)
	chance := mathrand.New(mathrand.NewPCG(20, 26))
	w.exports(t, chance, w.loot.tamper, 500)
	w.pages(t, chance, w.loot.tamper, 500)
}

// inMemory puts what a test writes into memory, where there is such a place: a
// thousand books each wait for the disk.
func inMemory(t *testing.T) {
	t.Helper()
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		t.Setenv("TMPDIR", "/dev/shm")
	}
}

// exports hands tampered exports to a stranger and to an acquaintance.
func (w *logWorld) exports(t *testing.T, chance *mathrand.Rand, tamper tamperer, n int) {
	empty, known := filepath.Join(t.TempDir(), "empty.db"), filepath.Join(t.TempDir(), "known.db")
	desk := newApp(t, "desk")
	if err := desk.Book.Backup(context.Background(), empty); err != nil {
		t.Fatal(err)
	}
	mustImport(t, desk, w.early)
	if err := desk.Book.Backup(context.Background(), known); err != nil {
		t.Fatal(err)
	}
	tally := newTally(t)
	for range n {
		changed, kind := tamper(chance, slices.Clone(w.log))
		tally.count(stranger, kind, w.deceives(t, opened(t, copied(t, empty), "desk"), changed))
		tally.count(acquaintance, kind, w.deceives(t, opened(t, copied(t, known), "desk"), changed))
	}
	tally.tell()
}

// deceives reports whether a reader takes a tampered export in, is told nothing,
// and yet holds another log than the one that was written.
func (w *logWorld) deceives(t testing.TB, a *App, changed [][]byte) bool {
	defer shut(t, a)
	in, err := imported(a, changed)
	if err != nil {
		if code := sootline.ErrorCode(err); code == "" || code == sootline.Unavailable {
			t.Fatalf("refused for no reason: %v", err)
		}
		return false
	}
	if len(in.Unsigned) > 0 || len(in.Headless) > 0 || in.Gaps > 0 {
		return false
	}
	return w.believed(t, a)
}

// believed reports whether a book that does not hold the true log verifies.
func (w *logWorld) believed(t testing.TB, a *App) bool {
	v, err := a.Verify(context.Background(), w.site)
	if err != nil || len(v.Faults) > 0 {
		return false
	}
	own := fmt.Appendf(nil, `"station":%q`, "desk")
	holds := entryLines(slices.DeleteFunc(exported(t, a, w.site), func(line []byte) bool { return bytes.Contains(line, own) }))
	return !slices.Equal(holds, entryLines(w.log))
}

// entryLines gives the lines of entries, sorted.
func entryLines(lines [][]byte) []string {
	var all []string
	for _, line := range lines {
		if !sootline.IsHeadLine(line) {
			all = append(all, string(line))
		}
	}
	slices.Sort(all)
	return all
}

// pages puts tampered lines into the pages of the laptop's own book.
func (w *logWorld) pages(t *testing.T, chance *mathrand.Rand, tamper tamperer, n int) {
	whole := filepath.Join(t.TempDir(), "whole.db")
	if err := w.laptop.Book.Backup(context.Background(), whole); err != nil {
		t.Fatal(err)
	}
	tally := newTally(t)
	for range n {
		changed, kind := tamper(chance, slices.Clone(w.log))
		path := copied(t, whole)
		deceived := false
		if rewritePages(t, path, changed) {
			a := opened(t, path, "laptop")
			deceived = w.believed(t, a)
			shut(t, a)
		}
		tally.count(owner, kind, deceived)
	}
	tally.tell()
}

// rewritePages puts lines in the place of all pages of a book, a page a station,
// and makes the rest of each page agree. It reports whether the table took them.
func rewritePages(t testing.TB, path string, lines [][]byte) bool {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("DELETE FROM page"); err != nil {
		t.Fatal(err)
	}
	enc, err := zstd.NewWriter(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range pagesOf(lines) {
		if _, err := db.Exec("INSERT INTO page (site, station, first, last, hash, began, ended, lines) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
			page.site, page.station, page.first, page.last, page.hash, page.began, page.ended, enc.EncodeAll(page.text, nil)); err != nil {
			return false
		}
	}
	return true
}

type forgedPage struct {
	site, station, hash       string
	first, last, began, ended int64
	text                      []byte
}

func pagesOf(lines [][]byte) map[string]*forgedPage {
	pages := map[string]*forgedPage{}
	var page *forgedPage
	for _, line := range lines {
		if sootline.IsHeadLine(line) {
			continue
		}
		if e, err := sootline.ParseLine(line); err == nil { // else it goes with the line before
			at := e.At.UnixMilli()
			if page = pages[e.Station]; page == nil {
				page = &forgedPage{site: e.Site.String(), station: e.Station, first: e.Seq, began: at, ended: at}
				pages[e.Station] = page
			}
			page.last, page.hash = e.Seq, e.Hash.String()
			page.began, page.ended = min(page.began, at), max(page.ended, at)
		}
		if page != nil {
			page.text = append(append(page.text, line...), '\n')
		}
	}
	return pages
}

// opened opens a book as a station; it is to be closed.
func opened(t testing.TB, path, station string) *App {
	t.Helper()
	book, err := store.Open(context.Background(), path, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	return &App{
		Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: station}, Now: func() time.Time { return today },
		Random: func() (r [10]byte) { rand.Read(r[:]); return r },
	}
}

func shut(t testing.TB, a *App) {
	t.Helper()
	if err := a.Book.Close(); err != nil {
		t.Error(err)
	}
}

func copied(t testing.TB, path string) string {
	t.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "copy.db")
	if err := os.WriteFile(to, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return to
}

// tally counts what deceived whom.
type tally struct {
	t     *testing.T
	list  string
	tried map[string]int
	cheat map[string]int
}

func newTally(t *testing.T) *tally {
	t.Helper()
	page, err := os.ReadFile("../../docs/methods/chain.md")
	if err != nil {
		t.Fatal(err)
	}
	_, list, found := strings.Cut(string(page), "## What cannot be found")
	if !found {
		t.Fatal("docs/methods/chain.md has no list of what cannot be found")
	}
	return &tally{t: t, list: list, tried: map[string]int{}, cheat: map[string]int{}}
}

func (y *tally) count(who reader, kind string, deceived bool) {
	name := kind + ", to " + string(who)
	y.tried[name]++
	if !deceived {
		return
	}
	y.cheat[name]++
	if !slices.Contains(unfindable[kind], who) {
		y.t.Errorf("%s was not found by %s", kind, who)
	}
	if !strings.Contains(y.list, "**"+kind+"**") {
		y.t.Errorf("docs/methods/chain.md does not list %q among what cannot be found", kind)
	}
}

func (y *tally) tell() {
	y.t.Helper()
	for name, n := range y.tried {
		y.t.Logf("%3d of %3d not found: %s", y.cheat[name], n, name)
	}
}
