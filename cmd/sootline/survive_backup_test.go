//go:build linux

package main

import (
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A place that is full or read-only, or a book's disk without room for the copy: one
// sentence, nothing under a name, nothing left, and the book as it was.
func TestSurvivesFullPlace(t *testing.T) {
	b := prepared(t)
	b.readings("big.csv", 20_000, 0)
	b.must("take", "big.csv", "--yes")
	want := b.sound()
	d := newDisk(t, "size=256k")
	a := b.run("book", "backup", "--to", d.file("backups"))
	a.refused(t, exitCouldNot)
	a.hinted(t, "room")
	if there := glob(t, d.file("backups/*"), b.book+".keeping-*"); len(there) > 0 {
		t.Errorf("left are %v", there)
	}
	d.readOnly()
	a = b.run("book", "backup", "--to", d.file("backups"))
	a.refused(t, exitCouldNot)
	a.hinted(t, "writable")
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}

	own := newDisk(t, "size=8m")
	b.copyTo(b.book, own.file("book.db"))
	b.book = own.file("book.db")
	own.fill(300 << 10)
	place := filepath.Join(b.dir, "backups")
	a = b.run("book", "backup", "--to", place)
	a.refused(t, exitCouldNot)
	a.hinted(t, "room")
	own.clear()
	if there := glob(t, own.file("*keeping*"), filepath.Join(place, "*")); len(there) > 0 {
		t.Errorf("left are %v", there)
	}
	b.must("book", "backup", "--to", place)
	b.must("book", "drill", place)
	own.fill(300 << 10)
	a = b.run("book", "drill", place)
	a.refused(t, exitCouldNot)
	a.hinted(t, "")
	own.clear()
	if there := glob(t, own.file("*keeping*")); len(there) > 0 {
		t.Errorf("a drill without room left %v", there)
	}
}

// A backup to a place that is killed on its way leaves nothing under a name, or a
// whole one; the next is kept, and what lies about goes after a day. It is killed by
// progress, when the folder beside the book or the file in the place is there.
func TestSurvivesKilledKeeping(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	b.readings("some.csv", 30_000, 0)
	b.must("take", "some.csv", "--yes")
	place := filepath.Join(b.dir, "backups")
	b.must("book", "backup", "--to", place)
	marks := []string{b.book + ".keeping-*", b.book + ".keeping-*/copy.db*", filepath.Join(place, "*.part")}
	killed := 0
	for n := range kills() / 10 {
		cmd := b.command("book", "backup", "--to", place)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		var err error
		for waiting := true; waiting; {
			select {
			case err = <-ended:
				waiting = false
			default:
				if len(glob(t, marks[n%len(marks)])) > 0 {
					_ = cmd.Process.Kill() // it may have ended
					err = <-ended
					waiting = false
				}
			}
		}
		if err != nil {
			killed++
		}
		removeAll(t, b.book+".keeping-*/*", b.book+".keeping-*") // as after a day
		b.must("book", "drill", place)                           // whatever is the newest is whole
	}
	if killed == 0 {
		t.Error("none was killed on its way")
	}
	t.Logf("%d were killed on their way", killed)
	time.Sleep(time.Second) // a name is of one second
	b.must("book", "backup", "--to", place)
	for _, path := range glob(t, filepath.Join(place, "*")) {
		if name := filepath.Base(path); strings.HasSuffix(name, ".db") {
			b.soundCopy(path, b.sound())
		}
	}
}
