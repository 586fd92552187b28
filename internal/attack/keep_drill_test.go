package attack

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// A drill has to be red for whatever would make a restore worth less than the book: each way is made here by hand.

const drillFailed = 3

// drilled is a box with a place in which the newest backup is good, and a drill that passed.
func drilled(t *testing.T) (b *box, place, newest string) {
	b, place = keeping(t)
	b.needs("book drill")
	b.said("first")
	b.backUp(place)
	b.said("second")
	newest = filepath.Join(place, b.backUp(place))
	b.passes(place)
	return b, place, newest
}

func (b *box) passes(place string, more ...string) {
	b.t.Helper()
	if out, code := b.run(append([]string{"book", "drill", place}, more...)...); code != 0 {
		b.t.Errorf("drill of a good backup: exit %d, %.400s", code, out)
	}
	b.cleanAfterDrill()
}

// fails looks that a drill fails, and says one of the words that tell why.
func (b *box) fails(what, place string, words ...string) {
	b.t.Helper()
	out, code := b.run("book", "drill", place)
	if code != drillFailed {
		b.t.Errorf("drill of %s: exit %d, %.400s", what, code, out)
	}
	if len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool { return strings.Contains(strings.ToLower(out), w) }) {
		b.t.Errorf("drill of %s does not say why (%v): %.400s", what, words, out)
	}
	b.cleanAfterDrill()
}

// cleanAfterDrill: a drill leaves no restored book behind.
func (b *box) cleanAfterDrill() {
	b.t.Helper()
	left, _ := os.ReadDir(b.path("tmp"))
	for _, e := range left {
		if !strings.HasPrefix(e.Name(), "sootline-uploads-") { // a running server's
			b.t.Errorf("the drill leaves %v", e)
		}
	}
	beside, _ := filepath.Glob(b.book + "*")
	for _, f := range beside {
		if i, err := os.Stat(f); err == nil && i.IsDir() {
			b.t.Errorf("the drill leaves the folder %s", filepath.Base(f))
		}
	}
}

func TestDrillPasses(t *testing.T) {
	b, place, _ := drilled(t)
	before, _, _ := strings.Cut(b.exported("Mill"), `{"head"`)
	b.said("after the backup") // which it need not hold
	b.passes(place)
	if !strings.HasPrefix(b.exported("Mill"), before) {
		t.Error("a drill changed the book")
	}
	s := b.serve()
	b.passes(place)
	if _, a := s.stranger().add(s.stranger().sites()["Mill"], "note", "", map[string]any{"text": "goes on"}); !a.ok() {
		t.Errorf("after a drill beside it the server does not write: %v", a)
	}
}

func TestDrillAtTime(t *testing.T) {
	b, place := keeping(t)
	b.needs("book drill", "--at")
	day := b.story(place)
	at := func(hour int) string { return day.Add(time.Duration(hour) * time.Hour).Format(time.RFC3339) }
	if err := os.Truncate(filepath.Join(place, nameAt(day.Add(18*time.Hour))), 5000); err != nil {
		t.Fatal(err)
	}
	b.passes(place, "--at", at(13))
	b.fails("the newest, which is cut", place)
	if out, code := b.run("book", "drill", place, "--at", at(1)); code == 0 {
		t.Errorf("a drill where no backup is as old: %s", out)
	}
}

func TestDrillOfNothing(t *testing.T) {
	b, _, _ := drilled(t)
	if out, code := b.run("book", "drill", b.place("empty")); code == 0 {
		t.Errorf("a drill of an empty place passes: %s", out)
	}
	if out, code := b.run("book", "drill", b.path("nowhere")); code == 0 {
		t.Errorf("a drill of no place passes: %s", out)
	}
}

func TestDrillOfCut(t *testing.T) {
	b, place, newest := drilled(t)
	whole, _ := os.ReadFile(newest)
	for _, n := range []int{0, 1, 100, 4096, len(whole) / 2, len(whole) - 4096, len(whole) - 1} {
		os.WriteFile(newest, whole[:n], 0o600)
		b.fails("a backup that is cut", place)
	}
	os.WriteFile(newest, whole, 0o600)
	b.passes(place)
}

// TestDrillOfFlips: a flipped bit is found, or it is in bytes that mean nothing: then what is restored is the same to a byte.
func TestDrillOfFlips(t *testing.T) {
	b, place, newest := drilled(t)
	whole, _ := os.ReadFile(newest)
	want := b.restored(newest).exported("Mill")
	r := rand.New(rand.NewPCG(16, 3))
	found := 0
	for n := range atMost(12, 300) {
		text := slices.Clone(whole)
		at := r.IntN(len(text))
		for n%2 == 0 && text[at] == 0 { // most of a small book is empty: half of the flips go elsewhere
			at = r.IntN(len(text))
		}
		text[at] ^= 1 << r.IntN(8)
		os.WriteFile(newest, text, 0o600)
		out, code := b.run("book", "drill", place)
		b.cleanAfterDrill()
		if code == drillFailed {
			found++
			continue
		}
		fresh := newBox(t)
		if _, restores := fresh.run("book", "restore", newest); code != 0 || restores != 0 || fresh.exported("Mill") != want {
			t.Errorf("a flip at byte %d: drill exit %d, %.300s", at, code, out)
		}
	}
	if found == 0 {
		t.Error("no flip was found")
	}
}

// later is a name of a backup newer than all, of a moment that has passed.
func later(t testing.TB, place string) string {
	all := backupsIn(place)
	begins := begunAt(t, all[len(all)-1])
	if now := time.Now().UTC().Truncate(time.Second); now.After(begins) {
		begins = now
	}
	name := nameAt(begins.Add(time.Second))
	time.Sleep(time.Until(begunAt(t, name).Add(1100 * time.Millisecond)))
	return filepath.Join(place, name)
}

func TestDrillOfAnotherBook(t *testing.T) {
	b, place, _ := drilled(t)
	other := newBox(t)
	other.mill()
	from := filepath.Join(other.place("kept"), other.backUp(other.path("kept")))
	if err := copyFile(from, later(t, place)); err != nil {
		t.Fatal(err)
	}
	b.fails("a backup of another book", place, "another book", "other book", "missing", "lack", "site")
}

// TestDrillOfLacking: an older copy stands under a newer name, and lacks what was acknowledged before that name's second.
func TestDrillOfLacking(t *testing.T) {
	b, place, newest := drilled(t)
	b.said("acknowledged before")
	if err := copyFile(newest, later(t, place)); err != nil {
		t.Fatal(err)
	}
	b.fails("a backup that lacks one entry", place, "missing", "lack", "not in", "1 ")
	b.backUp(place)
	b.passes(place)
}

// TestDrillOfOlderCopy: the newest backup's own file holds what an older one held.
func TestDrillOfOlderCopy(t *testing.T) {
	b, place, newest := drilled(t)
	older := filepath.Join(place, backupsIn(place)[0])
	if err := copyFile(older, newest); err != nil {
		t.Fatal(err)
	}
	b.fails("a backup that lacks one entry", place, "missing", "lack", "not in", "1 ")
}

// TestDrillAfterImport: what another book wrote before the backup, and came in after it, is not missing.
func TestDrillAfterImport(t *testing.T) {
	b, place := keeping(t)
	b.needs("book drill")
	other := newBox(t)
	other.must("log", "import", b.write("mill.jsonl", b.exported("Mill")))
	other.must("log", "add", "note", "--site", "Mill", "--text", "written elsewhere")
	out := other.exported("Mill")
	b.backUp(place)
	b.must("log", "import", b.write("elsewhere.jsonl", out))
	b.passes(place)
}

// TestDrillOfLackingSite: the backup has none of a site that was added before it began.
func TestDrillOfLackingSite(t *testing.T) {
	b, place, newest := drilled(t)
	b.must("site", "add", "Quarry", "--loop", "1")
	if err := copyFile(newest, later(t, place)); err != nil {
		t.Fatal(err)
	}
	b.fails("a backup that lacks a site", place, "quarry", "missing", "lack", "not in")
}

func TestDrillOfEncrypted(t *testing.T) {
	b, place := keeping(t)
	b.needs("book drill", "--identity")
	b.needs("book backup", "--recipient")
	ours, identity := b.ageKey("ours.txt")
	_, wrong := b.ageKey("wrong.txt")
	b.said("sealed")
	name := filepath.Join(place, b.backUp(place, "--recipient", ours))
	b.passes(place, "--identity", identity)
	for what, more := range map[string][]string{"no identity": nil, "another identity": {"--identity", wrong}} {
		if out, code := b.run(append([]string{"book", "drill", place}, more...)...); code == 0 || !namesKey(out) {
			t.Errorf("a drill with %s: exit %d, %s", what, code, out)
		}
		b.cleanAfterDrill()
	}
	whole, _ := os.ReadFile(name)
	for _, at := range []int{30, len(whole) / 2, len(whole) - 1} {
		text := slices.Clone(whole)
		text[at] ^= 4
		os.WriteFile(name, text, 0o600)
		if out, code := b.run("book", "drill", place, "--identity", identity); code != drillFailed {
			t.Errorf("a flip at byte %d of %d of an encrypted backup: exit %d, %.300s", at, len(whole), code, out)
		}
		b.cleanAfterDrill()
	}
	if left := plainCopies(b.dir, b.book); len(left) > 0 {
		t.Errorf("drills leave books in clear: %v", left)
	}
}
