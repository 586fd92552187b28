package main

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestFilesAreForTheirOwner: what the program writes of a book, others on the machine may
// neither read nor list.
func TestFilesAreForTheirOwner(t *testing.T) {
	data, folder := t.TempDir(), t.TempDir()
	t.Setenv("XDG_DATA_HOME", data)
	book := filepath.Join(folder, "book.db")
	for _, args := range [][]string{
		{"site", "add", "Mill"},
		{"log", "add", "note", "--text", "seen"},
		{"serve", "person", "add", "M. Manager", "--role", "manager"},
		{"book", "backup", filepath.Join(folder, "kept.db")},
		{"log", "export", filepath.Join(folder, "mill.jsonl")},
		{"book", "restore", filepath.Join(folder, "kept.db")},
	} {
		var said strings.Builder
		if code := run(t.Context(), append(args, "--book", book), strings.NewReader("seven quiet lanterns\n"), io.Discard, &said); code != exitDone {
			t.Fatalf("%v gives %d: %s", args, code, said.String())
		}
	}
	n := 0
	for _, root := range []string{data, folder} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || path == root {
				return err
			}
			info, err := os.Stat(path)
			if err == nil && info.Mode().Perm()&0o077 != 0 {
				t.Errorf("%s is of mode %v", filepath.Base(path), info.Mode())
			}
			n++
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 5 {
		t.Errorf("only %d files were found", n)
	}
}
