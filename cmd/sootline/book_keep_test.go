package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline/internal/keep"
)

// placeWith has a place hold the book of a bench under the names of several instants.
func placeWith(t *testing.T, b *bench, encrypted bool, instants ...time.Time) (place string, open []string) {
	t.Helper()
	place = filepath.Join(b.dir, "backups")
	to := []string{"book", "backup", "--to", place}
	if encrypted {
		key := filepath.Join(b.dir, "key.txt")
		recipient, err := keep.MakeKey(key)
		if err != nil {
			t.Fatal(err)
		}
		to, open = append(to, "--recipient", recipient), []string{"--identity", key}
	}
	b.must(to...)
	made := glob(t, filepath.Join(place, "book-*"))[0]
	text, err := os.ReadFile(made)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(made); err != nil {
		t.Fatal(err)
	}
	for _, at := range instants {
		name := keep.Copy{At: at, Encrypted: encrypted}.Name()
		if err := os.WriteFile(filepath.Join(place, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return place, open
}

// TestBackupAhead: a backup that is dated after now is taken by its time or as a file,
// and else refused with how to name it or another.
func TestBackupAhead(t *testing.T) {
	b := newBench(t)
	b.must("site", "add", "Works", "--loop", "1")
	before, ahead := time.Now().UTC().Add(-time.Hour).Truncate(time.Second), time.Now().UTC().Add(24*time.Hour).Truncate(time.Second)
	place, _ := placeWith(t, b, false, before, ahead)
	for _, command := range []string{"restore", "drill"} {
		a := b.run("book", command, place)
		a.refused(t, exitCouldNot)
		for _, words := range []string{keep.Copy{At: ahead}.Name() + " in " + place + " is dated after now", "a clock was wrong", "--at " + before.Format(time.RFC3339), "--at " + ahead.Format(time.RFC3339)} {
			a.hinted(t, words)
		}
	}
	if left := glob(t, b.book+".keeping-*", b.book+".before-restore-*"); len(left) > 0 {
		t.Errorf("left are %v", left)
	}
	for _, at := range []time.Time{before, ahead} {
		if a := b.must("book", "restore", place, "--at", at.Format(time.RFC3339)); !strings.Contains(a.out, keep.Copy{At: at}.Name()) {
			t.Errorf("restored %s", a.out)
		}
	}
	b.must("book", "restore", filepath.Join(place, keep.Copy{At: ahead}.Name()))
	if err := os.Remove(filepath.Join(place, keep.Copy{At: before}.Name())); err != nil {
		t.Fatal(err)
	}
	a := b.run("book", "restore", place)
	a.hinted(t, "--at "+ahead.Format(time.RFC3339))
}

// TestBackupBad: where the newest backup of a place is bad, a restore and a drill name it
// and an earlier one, which can be put back; plain and encrypted.
func TestBackupBad(t *testing.T) {
	for _, encrypted := range []bool{false, true} {
		for damage, harm := range map[string]func([]byte) []byte{
			"cut short": func(text []byte) []byte { return text[:len(text)/2] },
			"altered": func(text []byte) []byte {
				return append(text[:len(text)/2], bytes.Repeat([]byte{0x55}, len(text)/2)...)
			},
			"no book": func([]byte) []byte { return []byte("nothing of the kind") },
			"empty":   func([]byte) []byte { return nil },
		} {
			t.Run(fmt.Sprint(damage, ", encrypted ", encrypted), func(t *testing.T) {
				b := newBench(t)
				b.must("site", "add", "Works", "--loop", "1")
				early := time.Now().UTC().Add(-2 * time.Hour).Truncate(time.Second)
				late := early.Add(time.Hour)
				place, open := placeWith(t, b, encrypted, early, late)
				name := keep.Copy{At: late, Encrypted: encrypted}.Name()
				text, err := os.ReadFile(filepath.Join(place, name))
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(place, name), harm(text), 0o600); err != nil {
					t.Fatal(err)
				}
				for _, command := range []string{"restore", "drill"} {
					a := b.run(append([]string{"book", command, place}, open...)...)
					a.refused(t, exitCouldNot)
					a.hinted(t, name+" in "+place)
					a.hinted(t, "--at "+early.Format(time.RFC3339))
					if strings.Contains(a.err, ".keeping-") {
						t.Errorf("it names a folder that is gone: %s", a.err)
					}
				}
				b.must(append([]string{"book", "restore", place, "--at", early.Format(time.RFC3339)}, open...)...)
			})
		}
	}
}
