package attack

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// What a server keeps by itself: after a visit, by the clock, beside writers, with a place that fails.

// patience is how long a server may take to notice a closed visit and copy a small book.
const patience = 20 * time.Second

// visited opens a visit and closes it.
func (c *caller) visited(site string) {
	c.s.t.Helper()
	open := c.do("POST", "/site/"+site+"/visit", "application/x-www-form-urlencoded",
		[]byte("minutes=240&confirm=responsible&confirm=monitoring&confirm=outputs&confirm=disabled"))
	shut := c.form("/site/"+site+"/visit/close", "left", "normal", "text", "")
	if open.status != 303 || shut.status != 303 {
		c.s.t.Fatalf("no visit: %v, %v", open, shut)
	}
}

// written is a note that was acknowledged, and when.
type written struct {
	text string
	got  time.Time
}

// writers write notes over HTTP until they are told to end.
type writers struct {
	mu   sync.Mutex
	all  []written
	ends atomic.Bool
	wg   sync.WaitGroup
}

func (s *server) writers(n int, site string, rest time.Duration) *writers {
	w := &writers{}
	for i := range n {
		c := s.stranger()
		w.wg.Go(func() {
			for k := 0; !w.ends.Load(); k++ {
				text := fmt.Sprintf("writer-%d-%06d", i, k)
				if _, a := c.add(site, "note", "", map[string]any{"text": text}); a.ok() {
					w.mu.Lock()
					w.all = append(w.all, written{text, time.Now()})
					w.mu.Unlock()
				}
				time.Sleep(rest)
			}
		})
	}
	s.t.Cleanup(w.end)
	return w
}

func (w *writers) end() { w.ends.Store(true); w.wg.Wait() }

// by are the texts that were acknowledged before a moment.
func (w *writers) by(moment time.Time) (texts []string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, n := range w.all {
		if n.got.Before(moment) {
			texts = append(texts, n.text)
		}
	}
	return texts
}

// TestBackupsWhileWriting: a backup that is asked for while four write holds all that was acknowledged before it was asked.
func TestBackupsWhileWriting(t *testing.T) {
	b, place := keeping(t)
	s := b.serve()
	w := s.writers(4, s.stranger().sites()["Mill"], 2*time.Millisecond)
	begun := map[string]time.Time{}
	for range atMost(5, 60) {
		had := len(w.by(time.Now()))
		if !soon(patience, func() bool { return len(w.by(time.Now())) > had+20 }) {
			t.Fatal("the writers cannot write")
		}
		at := time.Now()
		begun[b.backUp(place)] = at
	}
	w.end()
	s.stop()
	for name, at := range begun {
		if texts := w.by(at); len(texts) > 0 {
			b.restored(filepath.Join(place, name)).holdsAll(texts)
		} else {
			t.Errorf("%s: nothing was acknowledged before", name)
		}
	}
	b.holdsAll(w.by(time.Now()))
	t.Logf("%d backups beside %d acknowledged notes", len(begun), len(w.by(time.Now())))
}

// kept is a server that keeps backups in a place, seldom by the clock.
func kept(t *testing.T, more ...string) (s *server, me *caller, site, place string) {
	b := newBox(t)
	b.needs("serve", "--backup", "--backup-every")
	b.mill()
	place = b.place("kept")
	s = b.serve(append([]string{"--backup", place, "--backup-every", "1h"}, more...)...)
	me = s.stranger()
	return s, me, me.sites()["Mill"], place
}

// backsUp closes a visit, and waits for a backup that was not there before; empty where none comes.
func (c *caller) backsUp(site, place string) string {
	c.s.t.Helper()
	before, fresh := backupsIn(place), ""
	time.Sleep(1100 * time.Millisecond) // another second, another name
	c.visited(site)
	soon(patience, func() bool {
		for _, n := range backupsIn(place) {
			if !slices.Contains(before, n) {
				fresh = n
			}
		}
		return fresh != ""
	})
	return fresh
}

func TestServeBacksUpAfterVisit(t *testing.T) {
	s, me, site, place := kept(t)
	for i := range 2 {
		text := fmt.Sprint("note of visit ", i)
		me.add(site, "note", "", map[string]any{"text": text})
		name := me.backsUp(site, place)
		if name == "" {
			t.Fatalf("visit %d was closed, and there is no backup after %v\n%s", i, patience, s.log)
		}
		fresh := s.restored(filepath.Join(place, name))
		fresh.holdsAll([]string{text})
		if n := strings.Count(fresh.exported("Mill"), `"state":"closed"`); n != i+1 {
			t.Errorf("the backup after visit %d holds %d closed visits", i, n)
		}
		if m := modeOf(t, filepath.Join(place, name)); m != 0o600 {
			t.Errorf("%s has mode %v", name, m)
		}
	}
	before := s.state()
	s.kill()
	s.remembers(before)
	again := s.box.serve("--backup", place, "--backup-every", "1h")
	again.remembers(before)
	for _, figure := range []string{"sootline_backup_age_seconds", "sootline_drill_age_seconds"} {
		if !soon(patience, func() bool { return strings.Contains(again.stranger().get("/metrics").body, "\n"+figure) }) {
			t.Errorf("/metrics does not say %s", figure)
		}
	}
	if a := again.stranger().get("/backups"); !a.ok() || !strings.Contains(a.body, place) {
		t.Errorf("the page of backups does not name the place: %v", a)
	}
	if out, code := s.run("book", "restore", filepath.Join(place, backupsIn(place)[0])); code == 0 {
		t.Errorf("a restore behind the server: %s", out)
	}
}

// TestServeBacksUpEachMinute: by the clock, while four write, and after the visit that is closed meanwhile.
func TestServeBacksUpEachMinute(t *testing.T) {
	b := newBox(t)
	b.needs("serve", "--backup", "--backup-every")
	b.mill()
	place := b.place("kept")
	s := b.serve("--backup", place, "--backup-every", "1m")
	me := s.stranger()
	site := me.sites()["Mill"]
	w := s.writers(4, site, 20*time.Millisecond)
	minutes := atMost(1, 5)
	end := time.Now().Add(time.Duration(minutes)*time.Minute + 15*time.Second)
	if me.backsUp(site, place) == "" {
		t.Error("no backup after the visit")
	}
	time.Sleep(time.Until(end))
	w.end()
	names := backupsIn(place)
	if len(names) < minutes+1 {
		t.Errorf("after %d minutes and a visit: %v", minutes, names)
	}
	for _, n := range names {
		// A second less, where the name is of the moment at which the backup was whole.
		b.restored(filepath.Join(place, n)).holdsAll(w.by(begunAt(t, n).Add(-time.Second)))
	}
	b.holdsAll(w.by(time.Now()))
	t.Logf("%d backups beside %d notes", len(names), len(w.by(time.Now())))
	if long { // what nobody wrote to since is not copied again
		time.Sleep(70 * time.Second)
		had := len(backupsIn(place))
		time.Sleep(130 * time.Second)
		if n := len(backupsIn(place)); n != had {
			t.Errorf("%d backups more of a book to which nobody wrote", n-had)
		}
	}
}

// goesOn: the server answers, writes, and is healthy.
func (c *caller) goesOn(site, when string) {
	c.s.t.Helper()
	if _, a := c.add(site, "note", "", map[string]any{"text": "written " + when}); !a.ok() {
		c.s.t.Errorf("%s nothing can be written: %v", when, a)
	}
	for _, path := range []string{"/", "/healthz", "/site/" + site, "/backups"} {
		if a := c.get(path); !a.ok() {
			c.s.t.Errorf("%s: %s: %v", when, path, a)
		}
	}
}

// failsThenHeals closes a visit while a place is broken, looks that it is said and nothing stops, mends it, and looks again.
func (c *caller) failsThenHeals(site, place, how string, broken, mended func()) {
	c.s.t.Helper()
	if c.backsUp(site, place) == "" {
		c.s.t.Fatal("no backup while all is well")
	}
	broken()
	before := string(c.s.state())
	c.visited(site)
	if !soon(patience, func() bool { return string(c.s.state()) != before }) {
		c.s.t.Errorf("%s: the state says nothing", how)
	}
	c.goesOn(site, "with a place that is "+how)
	page := strings.ToLower(c.get("/backups").body)
	if !strings.Contains(page, "fail") && !strings.Contains(page, "could not") && !strings.Contains(page, "not be") && !strings.Contains(page, "full") {
		c.s.t.Errorf("%s: the page of backups says nothing of it", how)
	}
	mended()
	if name := c.backsUp(site, place); name == "" {
		c.s.t.Errorf("%s: mended, and no backup comes\n%s", how, c.s.log)
	} else {
		c.s.restored(filepath.Join(place, name)).holdsAll([]string{"written with a place that is " + how})
	}
	c.s.holdsAll([]string{"written with a place that is " + how})
}

func TestPlaceVanishes(t *testing.T) {
	s, me, site, place := kept(t)
	me.failsThenHeals(site, place, "gone", func() {
		os.Rename(place, place+".aside")
		os.WriteFile(place, []byte("a file, no folder"), 0o600)
	}, func() {
		os.Remove(place)
		os.Rename(place+".aside", place)
	})
	s.stop()
}

func TestPlaceFull(t *testing.T) {
	s, me, site, place := kept(t)
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=2m", "none", place).CombinedOutput(); err != nil {
		t.Skipf("no small disk can be made here: %s", out)
	}
	t.Cleanup(func() { exec.Command("umount", "-l", place).Run() })
	filler := filepath.Join(place, "filler")
	me.failsThenHeals(site, place, "full", func() {
		os.WriteFile(filler, make([]byte, 4<<20), 0o600)
	}, func() {
		if all, _ := os.ReadDir(place); len(all) > len(backupsIn(place))+1 {
			t.Errorf("what failed left a half file: %v", all)
		}
		for _, n := range backupsIn(place) {
			s.restored(filepath.Join(place, n))
		}
		os.Remove(filler)
	})
	os.WriteFile(filler, make([]byte, 4<<20), 0o600)
	if out, code := s.run("book", "backup", "--to", place); code != 3 || strings.Contains(out, "panic") {
		t.Errorf("a backup to a full place: exit %d, %.300s", code, out)
	}
}

// TestServeEncrypts: to a recipient only, so that the machine itself cannot open them; it says how to drill elsewhere.
func TestServeEncrypts(t *testing.T) {
	b := newBox(t)
	b.needs("serve", "--backup-recipient", "--backup-identity")
	b.mill()
	ours, identity := b.ageKey("ours.txt")
	place := b.place("kept")
	s := b.serve("--backup", place, "--backup-every", "1h", "--backup-recipient", ours)
	me := s.stranger()
	name := me.backsUp(me.sites()["Mill"], place)
	if !strings.HasSuffix(name, ".db.age") {
		t.Fatalf("the backup is %q", name)
	}
	b.restored(filepath.Join(place, name), "--identity", identity)
	if a := me.get("/backups"); !strings.Contains(a.body, "book drill") {
		t.Errorf("the page does not say how to drill elsewhere: %v", a)
	}
	s.stop()
	if left := plainCopies(b.dir, b.book); len(left) > 0 {
		t.Errorf("books in clear are left: %v", left)
	}
	again := b.serve("--backup", place, "--backup-every", "1h", "--backup-recipient", ours, "--backup-identity", identity)
	if !soon(patience, func() bool {
		return strings.Contains(again.stranger().get("/metrics").body, "\nsootline_drill_age_seconds")
	}) {
		t.Error("with an identity no drill was passed at the start")
	}
	again.stop()
	if left := plainCopies(b.dir, b.book); len(left) > 0 {
		t.Errorf("a drill leaves books in clear: %v", left)
	}
}

// TestBackupsAreManagers: the page is for managers who see all sites.
func TestBackupsAreManagers(t *testing.T) {
	s, _ := staffed(t)
	s.needs("serve", "--backup")
	s.person("R", "reader", otherWord)
	if a := s.signIn("M", managerWord).get("/backups"); !a.ok() || !strings.Contains(a.body, "--backup") {
		t.Errorf("a manager is not told how to set it up: %v", a)
	}
	tech := s.signIn("T", technicianWord)
	for who, c := range map[string]*caller{"technician": tech, "phone": tech.phone("pocket"), "reader": s.signIn("R", otherWord), "stranger": s.stranger()} {
		if a := c.get("/backups"); a.ok() && a.in() {
			t.Errorf("%s sees the page of backups", who)
		}
	}
}
