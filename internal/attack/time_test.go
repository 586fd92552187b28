package attack

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// faces is what each face says that names a disablement, by command or page.
func (b *box) faces(word string) map[string]bool {
	says := map[string]bool{}
	for _, args := range [][]string{{"log"}, {"judge"}, {"check"}, {"visit", "due"}, {"site", "show"}} {
		text, _ := b.run(args...)
		says[strings.Join(args, " ")] = strings.Contains(text, word)
	}
	s := b.serve()
	defer s.stop()
	me := s.stranger()
	site := me.sites()["Mill"]
	for _, path := range []string{"/", "/site/" + site, "/site/" + site + "/log", "/api/v1/sites/" + site + "/findings"} {
		says["page "+strings.ReplaceAll(path, site, "SITE")] = strings.Contains(me.get(path).body, word)
	}
	return says
}

// TestClockYearsAhead: what was written while the clock was years ahead is named by every face that names the same entry
// of a clock that was right; or it was refused.
func TestClockYearsAhead(t *testing.T) {
	right, ahead := newBox(t), newBox(t)
	right.mill()
	right.must("log", "add", "disabled", "--point", "1.001", "--text", "for painting")
	ahead.mill()
	ahead.at(time.Now().AddDate(5, 0, 0))
	out, code := ahead.run("log", "add", "disabled", "--point", "1.001", "--text", "for painting")
	ahead.at(time.Time{})
	if code != 0 {
		t.Logf("refused: %s", out)
		return
	}
	control, got, n := right.faces("painting"), ahead.faces("painting"), 0
	for face, names := range control {
		if names {
			n++
		}
		if names && !got[face] {
			t.Errorf("%s says nothing of a point that was taken out of use while the clock was ahead", face)
		}
	}
	if n < 3 {
		t.Errorf("only %d faces name a disablement at all: this test shows nothing", n)
	}
}

var entryID = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`)

// lastOf corrects a reading twice, each under a clock of its own, and returns what the work list says of it.
func lastOf(t *testing.T, first, second time.Duration) (string, bool) {
	b := newBox(t)
	b.mill()
	day := time.Now().AddDate(0, 0, -3).Format(time.DateOnly)
	id := entryID.FindString(b.must("log", "add", "read", "--point", "1.001", "--value", "25", "--at", day))
	for i, d := range []time.Duration{first, second} {
		b.at(time.Now().Add(d))
		if out, code := b.run("log", "correct", id, "--value", []string{"31", "33"}[i], "--why", "typed wrong"); code != 0 {
			t.Logf("refused: %s", out)
			return "", false
		}
	}
	b.at(time.Time{})
	return b.must("judge", "1.001"), true
}

// TestClockBetweenCorrections: the second correction saw the first, so it holds, whatever the clocks said.
func TestClockBetweenCorrections(t *testing.T) {
	for name, clocks := range map[string][2]time.Duration{
		"right": {0, 0}, "an hour back at the second": {0, -time.Hour}, "years ahead at the first": {3 * 365 * 24 * time.Hour, 0},
	} {
		t.Run(strings.ReplaceAll(name, " ", "-"), func(t *testing.T) {
			if text, ok := lastOf(t, clocks[0], clocks[1]); ok && !strings.Contains(text, "33 in") {
				t.Errorf("the second correction lost to the first:\n%.200s", text)
			}
		})
	}
}

// TestFileModes: the book, what lies beside it and what is made of it are their owner's alone, and say so under any umask.
func TestFileModes(t *testing.T) {
	b := newBox(t)
	b.mill()
	s := b.serve()
	me := s.stranger()
	me.add(me.sites()["Mill"], "note", "", map[string]any{"text": "x"})
	b.must("book", "backup", b.path("kept.db"))
	b.must("log", "export", b.path("mill.jsonl"))
	bad := b.write("bad.csv", "point,date,value\n1.001,2025-09-02,26\n1.099,2025-09-02,26\n")
	b.run("take", bad, "--yes")
	b.modes(t, "book.db", "book.db-wal", "book.db-shm", "kept.db", "mill.jsonl", "bad.left.csv", "data/sootline/station")
	s.stop()
	b.must("book", "restore", b.path("kept.db"))
	b.modes(t, "book.db", "book.db.before-restore-1")
}

func (b *box) modes(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		i, err := os.Stat(b.path(name))
		if err != nil {
			t.Errorf("%s is not there", name)
			continue
		}
		if i.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s: %v", name, i.Mode().Perm())
		}
	}
}

// TestTerminalEscapes: no stored text moves the terminal.
func TestTerminalEscapes(t *testing.T) {
	s, site := staffed(t)
	m := s.signIn("M", managerWord)
	evil := "\x1b[2J\x1b]0;owned\x07\u009b31m\u202egnp\r\x08over"
	body, _ := os.ReadFile(s.path("schedule.csv"))
	s.write("escapes.csv", strings.Replace(string(body), "Front", "Fro"+evil+"nt", 1))
	m.add(site, "note", "", map[string]any{"text": "say " + evil})
	m.add(site, "cleaned", "1.1.001", map[string]any{"text": evil})
	m.add(site, "opened", "", map[string]any{"name": "Mill", "remark": evil})
	m.json("POST", "/api/v1/sites", map[string]any{"id": uuid7(time.Now()), "name": "Bad" + evil})
	s.run("take", s.path("escapes.csv"), "--yes", "--site", "Mill")
	for _, args := range [][]string{
		{"log"},
		{"site", "list"},
		{"site", "show"},
		{"check"},
		{"judge"},
		{"visit", "due"},
		{"defect", "list"},
		{"log", "verify"},
		{"serve", "person", "list"},
		{"take", s.path("escapes.csv"), "--dry-run"},
		{"paper", "list"},
	} {
		if args[0] != "serve" && (args[0] != "site" || args[1] != "list") {
			args = append(args, "--site", "Mill")
		}
		out, _ := s.run(args...)
		if i := strings.IndexAny(out, "\x1b\x07\u009b\u202e\r\x08"); i >= 0 {
			t.Errorf("%v prints %q", args[:2], out[max(0, i-10):min(len(out), i+20)])
		}
	}
}

// TestHealthOnFullDisk: /healthz does not say ok while nothing can be written.
func TestHealthOnFullDisk(t *testing.T) {
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=2m", "none", dir).CombinedOutput(); err != nil {
		t.Skipf("no small disk can be made here: %s", out)
	}
	t.Cleanup(func() { exec.Command("umount", "-l", dir).Run() })
	b := boxIn(t, dir)
	b.mill()
	s := b.serve()
	me := s.stranger()
	site := me.sites()["Mill"]
	if a := me.get("/healthz"); !a.ok() {
		t.Fatalf("healthz: %v", a)
	}
	full, _ := os.Create(filepath.Join(dir, "full"))
	for block := make([]byte, 4096); ; {
		if _, err := full.Write(block); err != nil {
			break
		}
	}
	full.Close()
	wrote := true
	for i := 0; i < 60 && wrote; i++ {
		_, a := me.add(site, "note", "", map[string]any{"text": fmt.Sprint("long ", strings.Repeat("x", 4000))})
		wrote = a.ok()
	}
	if a := me.get("/healthz"); !wrote && a.ok() {
		t.Errorf("nothing can be written, and healthz says %v", a)
	}
	if a := me.get("/site/" + site); !a.ok() {
		t.Errorf("reading does not go on: %v", a)
	}
	os.Remove(filepath.Join(dir, "full"))
	if _, a := me.add(site, "note", "", map[string]any{"text": "room again"}); !a.ok() {
		t.Errorf("with room again nothing is written: %v", a)
	}
}
