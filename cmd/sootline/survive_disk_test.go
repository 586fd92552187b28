//go:build linux

package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// disk is a small disk of its own, which may be full or read-only.
type disk struct {
	t    *testing.T
	path string
}

// newDisk mounts one. CI may mount; elsewhere a test that cannot is skipped.
func newDisk(t *testing.T, options string) *disk {
	t.Helper()
	path := t.TempDir()
	if err := syscall.Mount("sootline-test", path, "tmpfs", 0, options); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("CI must be able to mount a small disk: %v", err)
		}
		t.Skipf("a small disk cannot be mounted here (it needs root): %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(path, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return &disk{t, path}
}

func (d *disk) file(name string) string { return filepath.Join(d.path, name) }

// fill fills the disk up, but for some bytes.
func (d *disk) fill(but int64) {
	d.t.Helper()
	f, err := os.Create(d.file("filler"))
	if err != nil {
		d.t.Fatal(err)
	}
	defer f.Close()
	block := make([]byte, 4096)
	for err == nil {
		_, err = f.Write(block)
	}
	info, statErr := f.Stat()
	if !errors.Is(err, syscall.ENOSPC) || statErr != nil {
		d.t.Fatal(err, statErr)
	}
	if err := f.Truncate(max(0, info.Size()-but)); err != nil {
		d.t.Fatal(err)
	}
}

func (d *disk) clear() {
	d.t.Helper()
	if err := os.Remove(d.file("filler")); err != nil {
		d.t.Fatal(err)
	}
}

func (d *disk) readOnly() {
	d.t.Helper()
	if err := syscall.Mount("", d.path, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		d.t.Fatal(err)
	}
}

// A disk that fills up at any place of a take: all is there, or one sentence
// says why not and the book holds what it held.
func TestSurvivesFullDisk(t *testing.T) {
	b := prepared(t)
	const rows = 40_000
	b.readings("big.csv", rows, 3)
	base := b.book
	before := b.sound()
	d := newDisk(t, "size=8m")
	b.book = d.file("book.db")
	for room := int64(64 << 10); ; room += 192 << 10 {
		b.copyTo(base, b.book)
		d.fill(room)
		a := b.run("take", "big.csv", "--yes")
		want := before
		if a.code == exitDone {
			want += rows + 1 // the entry that tells of the take
		} else {
			a.refused(t, exitCouldNot)
			a.hinted(t, "full")
			if left := glob(t, filepath.Join(b.dir, "*.left*"), filepath.Join(b.dir, "*.part")); len(left) > 0 {
				t.Errorf("nothing was taken in, but for %v", left)
			}
		}
		if got := b.sound(); got != want {
			t.Fatalf("%d bytes of room, exit code %d: the log has %d lines, want %d", room, a.code, got, want)
		}
		d.clear()
		if a.code == exitDone && room == 64<<10 {
			t.Fatal("the disk was not full")
		} else if a.code == exitDone {
			return
		}
		b.must("take", "big.csv", "--yes")
		if got := b.sound(); got != before+rows+1 {
			t.Fatalf("with room again, the log has %d lines, want %d", got, before+rows+1)
		}
		removeAll(t, b.book+"*", filepath.Join(b.dir, "big.left*.csv"))
	}
}

// Not a byte is left: nothing can be written, and nothing is harmed.
func TestSurvivesNoRoomAtAll(t *testing.T) {
	b := prepared(t)
	before := b.sound()
	d := newDisk(t, "size=1m")
	b.copyTo(b.book, d.file("book.db"))
	b.book = d.file("book.db")
	d.fill(0)
	for _, args := range append(writing, looking...) {
		a := b.run(args...)
		a.refused(t, exitCouldNot)
		a.hinted(t, "full")
	}
	fresh := d.file("fresh.db")
	b.run("--book", fresh, "site", "add", "Mill").refused(t, exitCouldNot)
	d.clear()
	if got := b.sound(); got != before {
		t.Errorf("the log has %d lines, want %d", got, before)
	}
	b.must("--book", fresh, "site", "add", "Mill")
}

// A copy that does not fit is not there at all.
func TestSurvivesFullDiskForCopies(t *testing.T) {
	b := prepared(t)
	b.readings("big.csv", 20_000, 0)
	b.must("take", "big.csv", "--yes")
	want := b.sound()
	b.must("book", "backup", "backup.db")
	d := newDisk(t, "size=256k")
	for _, args := range [][]string{
		{"book", "backup", d.file("copy")},
		{"log", "export", d.file("copy")},
		{"--book", d.file("copy"), "book", "restore", "backup.db"},
	} {
		a := b.run(args...)
		a.refused(t, exitCouldNot)
		a.hinted(t, "")
		if there := glob(t, d.file("*")); len(there) > 0 {
			t.Errorf("%v left %v", args, there)
			removeAll(t, d.file("*"))
		}
	}
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
	stdout := b.command("log", "export")
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer full.Close()
	var said strings.Builder
	stdout.Stdout, stdout.Stderr = full, &said
	if err := stdout.Run(); err == nil || !sentence.MatchString(said.String()) {
		t.Errorf("export to a full standard output: %v\n%s", err, said.String())
	}
}

// The rows that cannot be used have no room beside their listing: nothing is
// taken in, and nothing is left there.
func TestSurvivesNoRoomForLeftRows(t *testing.T) {
	b := prepared(t)
	before := b.sound()
	d := newDisk(t, "size=1m")
	b.readings("big.csv", 2000, 8000)
	b.copyTo(filepath.Join(b.dir, "big.csv"), d.file("big.csv"))
	d.fill(16 << 10)
	a := b.run("take", d.file("big.csv"), "--yes")
	a.refused(t, exitCouldNot)
	a.hinted(t, "could not be written beside it")
	if left := glob(t, d.file("*.left*"), d.file(".left*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if got := b.sound(); got != before {
		t.Errorf("the log has %d lines, want %d", got, before)
	}
}

func TestSurvivesReadOnlyFolder(t *testing.T) {
	b := prepared(t)
	b.readings("more.csv", 20_000, 1)
	want := b.sound()
	d := newDisk(t, "size=2m")
	own := b.book
	b.copyTo(own, d.file("book.db"))
	b.copyTo(own, d.file("backup.db"))
	b.copyTo(filepath.Join(b.dir, "more.csv"), d.file("more.csv"))
	b.copyTo(own, d.file("killed.db")) // as a killed program leaves it: with a log beside it
	b.copyTo(os.DevNull, d.file("killed.db-wal"))
	b.copyTo(os.DevNull, d.file("killed.db-shm"))
	d.readOnly()
	b.book = d.file("book.db")
	take := []string{"take", "more.csv", "--yes"}
	for _, args := range append(writing, take, append(take, "--book", d.file("killed.db")), []string{"--book", d.file("none.db"), "site", "add", "Mill"}) {
		a := b.run(args...)
		a.refused(t, exitCouldNot)
		a.hinted(t, "writable")
	}
	b.book = own
	b.run("log", "export", d.file("export.jsonl")).refused(t, exitCouldNot)
	for _, args := range [][]string{{"book", "backup", d.file("copy.db")}, {"take", d.file("more.csv"), "--yes"}} {
		a := b.run(args...)
		a.refused(t, exitCouldNot)
		a.hinted(t, "writable")
	}
	b.must("book", "restore", d.file("backup.db")) // a backup is only read
	if got := b.sound(); got != want {
		t.Errorf("the log has %d lines, want %d", got, want)
	}
}
