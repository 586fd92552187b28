//go:build linux

package main

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"sootline/internal/store"
)

// kills is how often a program is killed, in all.
func kills() int {
	if testing.Short() {
		return 20
	}
	return 200
}

// killAt starts a command, kills it (SIGKILL) once it has made so many writes,
// and tells what it had said, how many writes were seen and whether it had ended
// well before. Writes, not the clock: it is killed alike on a busy machine.
func (b *bench) killAt(writes int64, cmd *exec.Cmd) (out string, seen int64, done bool) {
	b.t.Helper()
	var said bytes.Buffer
	cmd.Stdout = &said
	if err := cmd.Start(); err != nil {
		b.t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for {
		select {
		case err := <-ended:
			return said.String(), seen, err == nil
		default:
		}
		if seen = max(seen, writesOf(cmd.Process.Pid)); seen >= writes {
			_ = cmd.Process.Kill() // it may have ended
			err := <-ended
			return said.String(), seen, err == nil
		}
		time.Sleep(20 * time.Microsecond)
	}
}

// never is more writes than a command makes.
const never = int64(1) << 62

// writesOf gives how many system calls that write a process has made (proc(5),
// /proc/PID/io); 0 once it has ended.
func writesOf(pid int) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/io", pid))
	if err != nil {
		return 0
	}
	_, after, _ := strings.Cut(string(text), "syscw: ")
	count, _, _ := strings.Cut(after, "\n")
	n, err := strconv.ParseInt(count, 10, 64)
	if err != nil {
		return 0
	}
	return n
}

// writes runs a command to its end, and gives how many writes it makes.
func (b *bench) writes(args ...string) int64 {
	b.t.Helper()
	_, n, done := b.killAt(never, b.command(args...))
	if !done {
		b.t.Fatalf("%q did not end well", args)
	}
	if n < 4 {
		b.t.Fatalf("%q makes %d writes: nothing to kill it at", args, n)
	}
	return n
}

// A take that is killed at any instant has taken in everything or nothing.
func TestSurvivesKilledTake(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	const rows, bad = 30_000, 40
	const adds = rows + 1 // the entry that tells of the take too
	b.readings("big.csv", rows, bad)
	before := b.sound()
	base := filepath.Join(b.dir, "base.db")
	b.copyTo(b.book, base)
	whole := b.book
	b.book = filepath.Join(b.dir, "warm.db")
	b.copyTo(base, b.book)
	typical := b.writes("take", "big.csv", "--yes")
	b.book = whole
	random := rand.New(rand.NewPCG(1, 1))
	all, none, unsaid := 0, 0, 0
	for n := range kills() * 3 / 5 {
		b.book = filepath.Join(b.dir, fmt.Sprintf("killed-%d.db", n))
		b.copyTo(base, b.book)
		after := random.Int64N(typical * 21 / 20)
		if n%2 == 1 { // half of the kills go to the end, where it commits and tidies up
			after = typical*3/4 + after/4
		}
		_, _, done := b.killAt(after, b.command("take", "big.csv", "--yes"))
		switch got := b.sound(); {
		case got == before+adds:
			all++
			if !done {
				unsaid++
			}
		case got == before && !done:
			none++
		default:
			t.Fatalf("killed after %d writes: the log has %d lines, want %d or %d (ended: %v)", after, got, before, before+adds, done)
		}
		removeAll(t, b.book+"*", filepath.Join(b.dir, "big.left*.csv"))
	}
	t.Logf("a take makes %d writes; killed: %d had taken in nothing, %d everything, of which %d had not said so yet", typical, none, all, unsaid)
	if none == 0 {
		t.Error("no kill came before the end")
	}
	b.afterKills(base, before+adds, bad)
}

// afterKills: the next take works, and leaves no part of its own behind.
func (b *bench) afterKills(base string, want, bad int) {
	b.t.Helper()
	removeAll(b.t, filepath.Join(b.dir, ".left-*.part"))
	b.copyTo(base, b.book)
	b.must("take", "big.csv", "--yes")
	if got := b.sound(); got != want {
		b.t.Errorf("the next take: the log has %d lines, want %d", got, want)
	}
	if left := glob(b.t, filepath.Join(b.dir, "big.left*.csv")); len(left) != 1 {
		b.t.Errorf("%d rows cannot be used, and lie in the files %v", bad, left)
	}
	if parts := glob(b.t, filepath.Join(b.dir, "*.part")); len(parts) > 0 {
		b.t.Errorf("parts are left behind: %v", parts)
	}
}

// A program that is killed while it moves pages from the write-ahead log to the
// file may leave a file that says it is longer than it is (the first page goes
// first). The log beside it makes it whole.
func TestSurvivesHalfMovedLog(t *testing.T) {
	b := prepared(t)
	b.readings("some.csv", 8000, 0)
	want := b.sound() + 8000 + 1                               // the entry that tells of the take
	reader, err := store.Open(t.Context(), b.book, false, nil) // whoever closes last moves the pages
	if err != nil {
		t.Fatal(err)
	}
	if _, err := reader.Sites(t.Context()); err != nil {
		t.Fatal(err)
	}
	b.must("take", "some.csv", "--yes")
	killed := filepath.Join(b.dir, "killed.db")
	b.copyTo(b.book, killed)
	b.copyTo(b.book+"-wal", killed+"-wal")
	if err := reader.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(b.book)
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(killed, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	info, statErr := f.Stat()
	_, err = f.WriteAt(whole[:4096], 0)
	if err := errors.Join(statErr, err, f.Close()); err != nil || info.Size() >= int64(len(whole)) {
		t.Fatalf("the file has %d of %d bytes already (%v)", info.Size(), len(whole), err)
	}
	b.book = killed
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
}

// A program that is killed when it has only just begun to make a book leaves a
// file without a table, which the next one goes on with.
func TestSurvivesBarelyBegunBook(t *testing.T) {
	b := newBench(t)
	db, err := sql.Open("sqlite", b.book)
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.Exec("PRAGMA journal_mode = WAL")
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(b.book); err != nil || info.Size() == 0 {
		t.Fatalf("there is nothing to go on with: %v", err)
	}
	b.must("site", "add", "Works")
	b.sound()
}

// What `log add` has acknowledged is there, whenever the next one is killed.
func TestSurvivesKilledNotes(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	want := b.sound()
	random := rand.New(rand.NewPCG(2, 2))
	acknowledged := map[string]bool{}
	interrupted := 0
	typical := b.writes("log", "add", "note", "--text", "first")
	for n := range kills() * 2 / 5 {
		for k := range 3 { // two that may end, and one that is killed
			after := never
			if k == 2 {
				after = random.Int64N(typical * 21 / 20)
			}
			out, _, ended := b.killAt(after, b.command("log", "add", "note", "--text", fmt.Sprint("note ", n)))
			if said := added.FindStringSubmatch(out); said != nil {
				acknowledged[said[1]] = true
			} else if !ended {
				interrupted++
			}
		}
		ids, _ := b.entries("Works")
		if got := b.sound(); got != len(ids) || got < want {
			t.Fatalf("kill %d: the log has %d lines and %d entries; it had %d", n, got, len(ids), want)
		}
		for id := range acknowledged {
			if !ids[id] {
				t.Fatalf("kill %d: entry %s was acknowledged and is not there", n, id)
			}
		}
		want = len(ids)
	}
	t.Logf("%d notes were acknowledged, %d runs killed before they said anything", len(acknowledged), interrupted)
	if len(acknowledged) == 0 || interrupted == 0 {
		t.Error("the kills came all too early or all too late")
	}
}

// Indexing a book of the version before the index, or rebuilding an index, may be
// killed at any instant: nothing is lost, and the next open goes on.
func TestSurvivesKilledIndexing(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	b.readings("some.csv", 30_000, 0)
	b.must("take", "some.csv", "--yes")
	want := b.sound()
	older := filepath.Join(b.dir, "older.db")
	b.copyTo(b.book, older)
	unindexed(t, older)
	typical := b.writes("book", "index")
	random := rand.New(rand.NewPCG(5, 5))
	killed := 0
	for n := range kills() / 5 {
		removeAll(t, b.book+"*")
		b.copyTo(older, b.book)
		command := b.command("log", "verify")
		if n%2 == 1 {
			b.must("log", "verify")
			command = b.command("book", "index")
		}
		if _, _, done := b.killAt(random.Int64N(typical*21/20), command); !done {
			killed++
		}
		if got := b.sound(); got != want {
			t.Fatalf("kill %d: the log has %d lines, want %d", n, got, want)
		}
	}
	if killed == 0 {
		t.Error("no kill came before the end")
	}
	t.Logf("indexing makes %d writes; it was killed %d times", typical, killed)
}

// unindexed makes a book what it was in version 3.
func unindexed(t *testing.T, path string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.Exec("DROP TABLE station_log; DROP TABLE kind_page; DROP TABLE entry_block; DROP INDEX site_folded; DROP TABLE head; DROP TABLE unsigned; DROP TABLE era; DROP TABLE scope; DROP TABLE phone_site; DROP TABLE token; DROP TABLE invitation; DROP TABLE passkey; DROP TABLE site_head; DROP TABLE site_said; ALTER TABLE site DROP COLUMN written; PRAGMA user_version = 3")
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
}

// A killed backup or restore harms neither the book nor the next attempt.
func TestSurvivesKilledBackup(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	b.readings("some.csv", 30_000, 0)
	b.must("take", "some.csv", "--yes")
	var want int
	backup := filepath.Join(b.dir, "backup.db")
	random := rand.New(rand.NewPCG(3, 3))
	backing := b.writes("book", "backup", backup)
	restoring := b.writes("book", "restore", backup)
	want = b.sound()
	removeAll(t, backup, b.book+".before-restore-*")
	for n := range kills() / 10 {
		if _, _, done := b.killAt(random.Int64N(backing*21/20), b.command("book", "backup", backup)); !done && len(glob(t, backup)) > 0 {
			b.soundCopy(backup, want, want+1) // it was killed between the rename and its last word
		} else if !done {
			b.must("book", "backup", backup)
		}
		want = b.soundCopy(backup, want, want+1) // the first backup of an era pins the stations of the one before
		if _, _, done := b.killAt(random.Int64N(restoring*21/20), b.command("book", "restore", backup)); !done {
			b.must("book", "restore", backup)
		}
		if got := b.sound(); got != want {
			t.Fatalf("kill %d: the restored book has %d lines, want %d", n, got, want)
		}
		removeAll(t, backup, b.book+".before-restore-*")
		if stray := glob(t, filepath.Join(b.dir, "*.part"), filepath.Join(b.dir, "*.restored*")); len(stray) > 0 {
			t.Fatalf("left behind: %v", stray)
		}
	}
}

// soundCopy wants a copy of the book to be sound; the copy itself is not opened.
func (b *bench) soundCopy(path string, want ...int) int {
	b.t.Helper()
	book := b.book
	defer func() { b.book = book }()
	b.book = filepath.Join(b.dir, "copy.db")
	b.copyTo(path, b.book)
	got := b.sound()
	if !slices.Contains(want, got) {
		b.t.Fatalf("%s has %d lines, want %v", path, got, want)
	}
	removeAll(b.t, b.book+"*")
	return got
}
