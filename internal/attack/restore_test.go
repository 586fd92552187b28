package attack

import (
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// trio is three stations with a book each, what was acknowledged, and the copies that were kept.
type trio struct {
	t       *testing.T
	r       *rand.Rand
	boxes   [3]*box
	holds   [3]map[string]bool // texts of notes that the book holds
	backups [3][]copyOf
	asides  []copyOf
	said    int
	trail   []string
	faults  []string
}

// copyOf is a backup, or a book that a restore put aside.
type copyOf struct {
	file  string
	holds map[string]bool
}

func newTrio(t *testing.T, seed uint64, dir string) *trio {
	w := &trio{t: t, r: rand.New(rand.NewPCG(seed, 16))}
	for i := range w.boxes {
		w.boxes[i] = boxIn(t, filepath.Join(dir, fmt.Sprint(seed), fmt.Sprint(i)))
		w.holds[i] = map[string]bool{}
	}
	w.boxes[0].must("site", "add", "Mill", "--loop", "1")
	w.pass(0, 1)
	w.pass(0, 2)
	return w
}

func (w *trio) fault(format string, args ...any) {
	w.faults = append(w.faults, fmt.Sprintf(format, args...)+" [after "+strings.Join(w.trail, ", ")+"]")
}

func (w *trio) note(i int) {
	w.said++
	text := fmt.Sprintf("note%04d-%d", w.said, i)
	w.trail = append(w.trail, fmt.Sprintf("note %d", i))
	if out, code := w.boxes[i].run("log", "add", "note", "--text", text); code != 0 {
		w.fault("station %d cannot write: %.150s", i, out)
		return
	}
	w.holds[i][text] = true
}

func (w *trio) backup(i int) {
	file := w.boxes[i].path(fmt.Sprintf("backup-%d.db", len(w.backups[i])))
	w.trail = append(w.trail, fmt.Sprintf("backup %d", i))
	if out, code := w.boxes[i].run("book", "backup", file); code != 0 {
		w.fault("no backup: %.150s", out)
		return
	}
	w.backups[i] = append(w.backups[i], copyOf{file, maps.Clone(w.holds[i])})
}

func (w *trio) restore(i int) {
	if len(w.backups[i]) == 0 {
		w.backup(i)
		return
	}
	from := w.backups[i][w.r.IntN(len(w.backups[i]))]
	w.trail = append(w.trail, fmt.Sprintf("restore %d from %s", i, filepath.Base(from.file)))
	before, _ := filepath.Glob(w.boxes[i].book + ".before-restore-*")
	if out, code := w.boxes[i].run("book", "restore", from.file); code != 0 {
		w.fault("no restore: %.150s", out)
		return
	}
	after, _ := filepath.Glob(w.boxes[i].book + ".before-restore-*")
	for _, f := range after {
		if !slices.Contains(before, f) && !strings.HasSuffix(f, "-wal") && !strings.HasSuffix(f, "-shm") {
			w.asides = append(w.asides, copyOf{f, w.holds[i]})
		}
	}
	w.holds[i] = maps.Clone(from.holds)
}

// pass exports from one book and imports into another.
func (w *trio) pass(from, to int) {
	w.trail = append(w.trail, fmt.Sprintf("pass %d to %d", from, to))
	if w.passFrom(w.boxes[from], to, fmt.Sprintf("station %d", from)) {
		maps.Copy(w.holds[to], w.holds[from])
	}
}

func (w *trio) passFrom(from *box, to int, name string) bool {
	file := from.path("pass.jsonl")
	os.Remove(file)
	if out, code := from.run("log", "export", file); code != 0 {
		w.fault("%s has no export: %.150s", name, out)
		return false
	}
	if out, code := w.boxes[to].run("log", "import", file); code != 0 {
		w.fault("the export of %s is refused at station %d: %.150s", name, to, out)
		return false
	}
	return true
}

// settle brings everything together that any book or copy still holds, then looks.
func (w *trio) settle() {
	w.trail = append(w.trail, "settle")
	union := map[string]bool{}
	for i := range w.boxes {
		maps.Copy(union, w.holds[i])
	}
	copies := slices.Concat(w.backups[0], w.backups[1], w.backups[2], w.asides)
	for n, c := range copies {
		maps.Copy(union, c.holds)
		fresh := boxIn(w.t, w.boxes[0].path(fmt.Sprintf("fresh-%d", n)))
		if out, code := fresh.run("book", "restore", c.file); code != 0 {
			w.fault("%s cannot be restored: %.150s", filepath.Base(c.file), out)
			continue
		}
		w.passFrom(fresh, 0, filepath.Base(c.file))
	}
	for _, p := range [][2]int{{1, 0}, {2, 0}, {0, 1}, {0, 2}} {
		w.passFrom(w.boxes[p[0]], p[1], fmt.Sprintf("station %d", p[0]))
	}
	for i, b := range w.boxes {
		w.look(i, b, union)
	}
}

func (w *trio) look(i int, b *box, union map[string]bool) {
	if out, code := b.run("log", "verify"); code != 0 {
		w.fault("verify at station %d: %.200s", i, out)
	}
	out, _ := b.run("log", "--kind", "note")
	var lost []string
	for text := range union {
		if strings.Count(out, text) != 1 {
			lost = append(lost, text)
		}
	}
	if len(lost) > 0 {
		slices.Sort(lost)
		w.fault("station %d lacks or doubles %d of %d acknowledged: %v", i, len(lost), len(union), lost[:min(3, len(lost))])
	}
}

// run does random things in a random order, then settles.
func (w *trio) run(steps int) {
	restores := 0
	for range steps {
		i := w.r.IntN(3)
		switch n := w.r.IntN(10); {
		case n < 4:
			w.note(i)
		case n < 6 && len(w.backups[i]) < 2:
			w.backup(i)
		case n < 8 && restores < 3:
			restores++
			w.restore(i)
		default:
			w.pass(i, (i+1+w.r.IntN(2))%3)
		}
	}
	w.settle()
}

// TestOrdersConverge: whatever the order of note, backup, restore, export and import over three stations, all come to
// the union of what any book or copy still holds, every export is accepted everywhere, and every log verifies.
func TestOrdersConverge(t *testing.T) {
	orders, red := atMost(50, 1000), 0
	dir := t.TempDir()
	for seed := range orders {
		w := newTrio(t, uint64(seed), dir)
		w.run(12)
		if len(w.faults) > 0 {
			if red++; red <= 3 {
				t.Errorf("order %d: %d faults, the first: %s", seed, len(w.faults), w.faults[0])
			}
		}
		os.RemoveAll(filepath.Join(dir, fmt.Sprint(seed)))
	}
	if red > 0 {
		t.Errorf("%d of %d orders did not converge", red, orders)
	}
}

// TestRestoreBehindServer: a restore while the server has the book open is refused, or the server notices. Nothing that
// is acknowledged afterwards may be missing in the book.
func TestRestoreBehindServer(t *testing.T) {
	b := newBox(t)
	b.mill()
	b.must("book", "backup", b.path("old.db"))
	s := b.serve()
	me := s.stranger()
	site := me.sites()["Mill"]
	me.add(site, "note", "", map[string]any{"text": "before"})
	out, code := b.run("book", "restore", b.path("old.db"))
	t.Logf("restore behind the server: exit %d, %.200s", code, out)
	acknowledged := me.acknowledge(site, 20)
	s.stop()
	b.holdsAll(acknowledged)
	if code != 0 {
		b.holdsAll([]string{"before"})
	}
}

// acknowledge writes notes and returns the texts of those that were acknowledged.
func (c *caller) acknowledge(site string, n int) []string {
	var out []string
	for i := range n {
		text := fmt.Sprintf("later-%03d-%s", i, uuid7(time.Now())[24:])
		if _, a := c.add(site, "note", "", map[string]any{"text": text}); a.ok() {
			out = append(out, text)
		}
	}
	return out
}

func (b *box) holdsAll(texts []string) {
	b.t.Helper()
	log, lost := b.exported("Mill"), 0
	for _, text := range texts {
		if strings.Count(log, `"`+text+`"`) != 1 {
			lost++
		}
	}
	if lost > 0 {
		b.t.Errorf("%d of %d acknowledged notes are not in the book once", lost, len(texts))
	}
}

// TestFileChangedBehindServer: another file that is put in the book's place by hand is noticed too.
func TestFileChangedBehindServer(t *testing.T) {
	b := newBox(t)
	b.mill()
	b.must("book", "backup", b.path("old.db"))
	s := b.serve()
	me := s.stranger()
	site := me.sites()["Mill"]
	me.add(site, "note", "", map[string]any{"text": "before"})
	for _, suffix := range []string{"", "-wal", "-shm"} {
		os.Rename(b.book+suffix, b.path("aside.db")+suffix)
	}
	if err := copyFile(b.path("old.db"), b.book); err != nil {
		t.Fatal(err)
	}
	acknowledged := me.acknowledge(site, 20)
	s.stop()
	b.holdsAll(acknowledged)
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	if _, err := io.Copy(out, in); err != nil {
		return err
	}
	return out.Close()
}

// TestTwoServers: a second server of the same book is refused, or what both acknowledge is there once.
func TestTwoServers(t *testing.T) {
	b := newBox(t)
	b.mill()
	s := b.serve()
	first := s.stranger()
	site := first.sites()["Mill"]
	var second []string
	if c := b.command("serve", "--listen", "127.0.0.1:0"); c.Start() == nil {
		defer func() { c.Process.Kill(); c.Wait() }()
		second = first.acknowledge(site, 10)
	}
	acknowledged := append(second, first.acknowledge(site, 10)...)
	s.stop()
	b.holdsAll(acknowledged)
}

// told is what the server tells a phone beside its entries and the time.
func (c *caller) told(site string) string {
	out := ""
	for _, a := range []answer{c.json("POST", "/site/"+site+"/visit/entries", `{"entries":[]}`), c.get("/site/" + site + "/visit/done")} {
		var got map[string]json.RawMessage
		json.Unmarshal([]byte(a.body), &got)
		for _, key := range slices.Sorted(maps.Keys(got)) {
			if !slices.Contains([]string{"now", "kept", "refused", "entries", "done"}, key) {
				out += key + "=" + string(got[key]) + " "
			}
		}
	}
	return out
}

// TestPhoneLearnsOfRestore: a phone can tell that the server lost what it had acknowledged, to hand it in again.
func TestPhoneLearnsOfRestore(t *testing.T) {
	s, site := staffed(t)
	p := s.signIn("T", technicianWord).phone("pocket")
	s.must("book", "backup", s.path("old.db"))
	mine := note("handed in, then lost")
	if got, a := p.handIn(site, mine); len(got.Kept) != 1 {
		t.Fatal(a)
	}
	before := p.told(site)
	s.stop()
	s.must("book", "restore", s.path("old.db"))
	again := s.box.serve()
	p.movedTo(again)
	if after := p.told(site); after == before {
		t.Errorf("nothing that the server tells a phone is another after a restore: %q", after)
	}
	if got, a := p.handIn(site, mine); len(got.Kept) != 1 && a.ok() {
		t.Errorf("what was lost is not taken again: %v", a)
	}
}
