//go:build linux

package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func glob(t *testing.T, patterns ...string) (found []string) {
	t.Helper()
	for _, pattern := range patterns {
		names, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		found = append(found, names...)
	}
	return found
}

func removeAll(t *testing.T, patterns ...string) {
	t.Helper()
	for _, name := range glob(t, patterns...) {
		if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
}

// untouched runs commands on a file that is no sound book: each must refuse it
// in a sentence, and leave every byte as it was.
func (b *bench) untouched(name string, content []byte, codes []int, commands ...[]string) {
	b.t.Helper()
	for _, args := range commands {
		b.write("book.db", string(content))
		a := b.run(args...)
		a.refused(b.t, codes...)
		a.hinted(b.t, "")
		if now, err := os.ReadFile(b.book); err != nil || !bytes.Equal(now, content) {
			b.t.Errorf("%s: %v changed the file (%v)", name, args, err)
		}
		if beside := glob(b.t, b.book+"-*"); len(beside) > 0 {
			b.t.Errorf("%s: %v left %v beside it", name, args, beside)
			removeAll(b.t, b.book+"-*")
		}
		if b.t.Failed() {
			b.t.Fatalf("%s (%d bytes)", name, len(content))
		}
	}
}

var (
	looking = [][]string{{"book", "check"}, {"log", "verify"}}
	writing = [][]string{{"log", "add", "note", "--text", "x"}, {"site", "add", "Mill"}}
)

func TestSurvivesNoBook(t *testing.T) {
	b := newBench(t)
	random := rand.NewChaCha8([32]byte{1})
	noise := make([]byte, 10_000)
	random.Read(noise) //nolint:errcheck // it never fails
	for name, content := range map[string][]byte{
		"a listing":  []byte("point,date,value\n1.001,2024-05-01,25\n"),
		"a workbook": append([]byte("PK\x03\x04"), noise...),
		"noise":      noise,
		"zeros":      make([]byte, 8192),
		"a word":     []byte("SQLite"),
		"an export":  []byte(`{"id":"01890a5d-ac96-774b-bcce-b302099a8057"}` + "\n"),
	} {
		b.untouched(name, content, []int{exitUsage, exitCouldNot}, append(looking, writing...)...)
	}
}

func TestSurvivesCutBook(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	good, err := os.ReadFile(b.book)
	if err != nil {
		t.Fatal(err)
	}
	for size := 0; size <= 4096; size += 64 {
		commands := append(looking, writing[0])
		if size > 0 { // in an empty file, a site may begin a book
			commands = append(commands, writing[1])
		}
		b.untouched("the head alone", good[:size], []int{exitCouldNot, exitUsage}, commands...)
	}
	for _, size := range []int{4097, 5000, 8192, len(good) / 2, len(good) - 4096, len(good) - 1} {
		b.untouched("a part", good[:size], []int{exitCouldNot}, append(looking, writing...)...)
	}
	b.write("book.db", string(good))
	b.sound()
}

// Whatever bit is flipped in a book's file, either nothing that it says is
// changed, or the damage is named.
func TestSurvivesFlippedBits(t *testing.T) {
	t.Parallel()
	b := prepared(t)
	for n := range 30 { // small pages: much for a flip to hit beside the packed lines
		b.must("log", "add", "note", "--text", fmt.Sprint("note ", n), "--by", fmt.Sprintf("T. %c", 'A'+n%5))
	}
	b.sound()
	says := book{b.must("log", "export").out, b.must("site", "list").out}
	good, err := os.ReadFile(b.book)
	if err != nil {
		t.Fatal(err)
	}
	flips := 200
	if testing.Short() {
		flips = 40
	}
	random := rand.New(rand.NewPCG(4, 4))
	found := 0
	for range flips {
		at, bit := random.IntN(len(good)), random.IntN(8)
		bad := bytes.Clone(good)
		bad[at] ^= 1 << bit
		removeAll(t, b.book+"-*")
		b.write("book.db", string(bad))
		if b.names(says) {
			found++
		}
		if t.Failed() {
			t.Fatalf("bit %d of byte %d was flipped", bit, at)
		}
	}
	t.Logf("of %d flips in %d bytes, %d were named as damage; the others changed nothing that the book says", flips, len(good), found)
	if found < flips/10 {
		t.Error("hardly any flip was found")
	}
}

// book is what a book says.
type book struct{ log, sites string }

// names reports whether a damage is named; when none is, the book must say what
// it said, and take another entry.
func (b *bench) names(want book) bool {
	b.t.Helper()
	named := false
	for _, args := range looking {
		if a := b.run(args...); a.code != exitDone {
			named = true
			a.refused(b.t, exitUsage, exitCouldNot)
			a.hinted(b.t, "")
		}
	}
	export := b.run("log", "export")
	if !named {
		if says := (book{export.out, b.run("site", "list").out}); says != want {
			b.t.Errorf("the book is called sound, and says something else:\n%s", cmp.Diff(want.sites+want.log, says.sites+says.log))
		}
		b.must("log", "add", "note", "--text", "it goes on")
		b.sound()
	}
	good := slices.Collect(strings.Lines(want.log))
	for line := range strings.Lines(export.out) {
		if strings.HasSuffix(line, "\n") && !slices.Contains(good, line) { // one broken off is no entry
			b.t.Errorf("an altered entry is printed as good:\n%s", line)
		}
	}
	return named
}
