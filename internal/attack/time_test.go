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

// TestClockYearsAhead: what was written while the clock was years ahead is shown once it is right again, or was refused.
func TestClockYearsAhead(t *testing.T) {
	b := newBox(t)
	b.mill()
	b.at(time.Now().AddDate(5, 0, 0))
	out, code := b.run("log", "add", "disabled", "--point", "1.001", "--text", "out of use for painting")
	b.at(time.Time{})
	if code != 0 {
		t.Logf("refused: %s", out)
		return
	}
	for _, args := range [][]string{{"log"}, {"judge"}, {"check"}, {"visit", "due"}} {
		if text, _ := b.run(args...); !strings.Contains(text, "painting") && !strings.Contains(text, "1.1.001") {
			t.Errorf("%v says nothing of a point that was taken out of use", args)
		}
	}
	s := b.serve()
	me := s.stranger()
	site := me.sites()["Mill"]
	for _, path := range []string{"/", "/site/" + site, "/site/" + site + "/log"} {
		if a := me.get(path); !regexp.MustCompile(`(?i)still (out of use|disabled)|out of use|disabled|painting`).MatchString(a.body) {
			t.Errorf("page %s says nothing of a point that was taken out of use", strings.ReplaceAll(path, site, "SITE"))
		}
	}
}

var entryID = regexp.MustCompile(`as entry ([0-9a-f-]{36})`)

// TestClockBackBetweenCorrections: the second correction saw the first, so it holds, whatever the clock said.
func TestClockBackBetweenCorrections(t *testing.T) {
	b := newBox(t)
	b.mill()
	id := entryID.FindStringSubmatch(b.must("log", "add", "note", "--text", "one"))
	if id == nil {
		t.Fatal("no id")
	}
	b.must("log", "correct", id[1], "--text", "two", "--why", "first")
	b.at(time.Now().Add(-time.Hour))
	out, code := b.run("log", "correct", id[1], "--text", "three", "--why", "second")
	b.at(time.Time{})
	if code != 0 {
		t.Logf("refused: %s", out)
		return
	}
	if text := b.must("log", "--kind", "note"); !strings.Contains(text, "three") {
		t.Errorf("the second correction, an hour back by the clock, lost to the first:\n%s", text)
	}
}

// TestClockAheadAtCorrection: a correction that was made while the clock was years ahead can be corrected afterwards.
func TestClockAheadAtCorrection(t *testing.T) {
	b := newBox(t)
	b.mill()
	id := entryID.FindStringSubmatch(b.must("log", "add", "note", "--text", "one"))
	b.at(time.Now().AddDate(3, 0, 0))
	out, code := b.run("log", "correct", id[1], "--text", "two", "--why", "ahead")
	b.at(time.Time{})
	if code != 0 {
		t.Logf("refused: %s", out)
		return
	}
	b.must("log", "correct", id[1], "--text", "three", "--why", "second")
	if text := b.must("log", "--kind", "note"); !strings.Contains(text, "three") {
		t.Errorf("the later correction lost to one of a clock ahead:\n%s", text)
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
		{"log"}, {"site", "list"}, {"site", "show"}, {"check"}, {"judge"}, {"visit", "due"}, {"defect", "list"}, {"log", "verify"},
		{"serve", "person", "list"}, {"take", s.path("escapes.csv"), "--dry-run"}, {"paper", "list"},
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
