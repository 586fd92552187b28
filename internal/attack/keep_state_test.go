package attack

import (
	"encoding/json"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// What is known of backups, in the file beside the book, outlives kills and restores.

// TestKeptBackupKilled: after a kill at any byte, each file under the name of a backup is whole, and the state is there.
func TestKeptBackupKilled(t *testing.T) {
	b := newBox(t)
	b.needs("book backup", "--to")
	fill(t, b)
	place := b.place("kept")
	b.backUp(place)
	size := bytesIn(place)
	killing(t, killShare(), func(t *testing.T, r *rand.Rand) bool {
		before, known := b.state(), backupsIn(place)
		from := bytesIn(place)
		more := 1 + r.Int64N(size)
		came := killedAt(b.command("book", "backup", "--to", place), func() bool { return bytesIn(place) >= from+more })
		b.remembers(before)
		for _, name := range backupsIn(place) {
			if !slices.Contains(known, name) {
				if n := b.restored(filepath.Join(place, name)).reads(); n != 12000 {
					t.Errorf("a killed backup stands under its name and holds %d readings", n)
				}
			}
		}
		b.sound()
		time.Sleep(time.Second)
		b.backUp(place)
		if all, _ := os.ReadDir(place); len(all) > len(backupsIn(place))+1 {
			t.Errorf("killed backups leave more and more: %v", all)
		}
		return came
	})
}

// bytesIn is the size of all files below a folder.
func bytesIn(dir string) (n int64) {
	filepath.WalkDir(dir, func(_ string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() {
			if i, err := d.Info(); err == nil {
				n += i.Size()
			}
		}
		return nil
	})
	return n
}

// moments of a state file: whatever in it is a time or the name of a backup.
var moments = regexp.MustCompile(`book-\d{8}T\d{6}Z\.db|\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d`)

func (b *box) state() []byte {
	text, _ := os.ReadFile(b.book + ".backups")
	return text
}

// remembers: the state is JSON, for nobody else to read, and no older than it was.
func (b *box) remembers(before []byte) {
	b.t.Helper()
	now := b.state()
	if !json.Valid(now) {
		b.t.Errorf("the state is no JSON: %.200q", now)
	}
	if m := modeOf(b.t, b.book+".backups"); m != 0o600 {
		b.t.Errorf("the state has mode %v", m)
	}
	if was, is := latest(before), latest(now); is < was || was == "" {
		b.t.Errorf("the state knew %q, and now %q", was, is)
	}
}

func latest(state []byte) string {
	last := ""
	for _, m := range moments.FindAllString(string(state), -1) {
		digits := strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' {
				return r
			}
			return -1
		}, m)
		last = max(last, digits)
	}
	return last
}

// TestRestoreKeepsState: what is known of backups is not put back with an older book.
func TestRestoreKeepsState(t *testing.T) {
	b, place := keeping(t)
	first := b.backUp(place)
	time.Sleep(time.Second)
	b.said("more")
	b.backUp(place)
	before := b.state()
	b.must("book", "restore", filepath.Join(place, first))
	b.remembers(before)
	b.lacksAll("more")
}
