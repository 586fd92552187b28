package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sootline/internal/pgtest"
)

// The commands that concern a book work on one in PostgreSQL, or say the way out; no file is
// made in its name, and its password is not shown.
func TestBookInPostgres(t *testing.T) {
	b := newBench(t)
	if err := os.Mkdir(filepath.Join(b.dir, "kept"), 0o700); err != nil {
		t.Fatal(err)
	}
	b.book = strings.Replace(pgtest.Schema(t), "postgres@", "postgres:not-shown@", 1)
	answers := []answer{
		b.must("site", "add", "Works", "--loop", "1"), b.must("log", "add", "note", "--site", "Works", "--text", "begun"),
		b.must("book", "check"), b.must("book", "index"), b.must("log", "export", "works.jsonl", "--site", "Works"),
	}
	if said := answers[2].out; !strings.Contains(said, "are as they were made") || !strings.Contains(said, "3 lines of 1 station") {
		t.Errorf("the check says %s", said)
	}
	for _, args := range [][]string{
		{"book", "backup", "b.db"},
		{"book", "backup", "--to", "kept"},
		{"book", "restore", "works.jsonl"},
		{"book", "restore", "kept"},
		{"serve", "--backup", "kept"},
	} {
		a := b.run(args...)
		a.refused(t, exitUsage, exitCouldNot)
		answers = append(answers, a)
		if !strings.Contains(a.err, "lies in a database") {
			t.Errorf("%v: %s", args, a.err)
		}
	}
	for _, a := range answers {
		if strings.Contains(a.out+a.err, "not-shown") {
			t.Errorf("%v shows the password: %s%s", a.args, a.out, a.err)
		}
	}
	left, err := os.ReadDir(b.dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range left {
		if !slices.Contains([]string{"data", "kept", "works.jsonl"}, file.Name()) {
			t.Errorf("%s was made", file.Name())
		}
	}
	b.book = "mysql://h/d"
	b.run("site", "add", "Works").refused(t, exitUsage, exitCouldNot)
}
