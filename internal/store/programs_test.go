package store

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sootline/internal/pgtest"
)

// perProgram is how many entries each program adds, one a commit.
const perProgram = 50

// Four programs that write to one site as one station lose nothing, write nothing twice, and
// leave one chain, whichever database the book is in.
func TestManyPrograms(t *testing.T) {
	if book := os.Getenv("SOOTLINE_TEST_WRITES"); book != "" {
		writeAsProgram(t, book, os.Getenv("SOOTLINE_TEST_NUMBER"))
		return
	}
	for name, book := range map[string]func(testing.TB) string{"in a file": inFolder, "in PostgreSQL": pgtest.Schema} {
		t.Run(name, func(t *testing.T) {
			path := book(t)
			s := open(t, path)
			add(t, s, readings(siteID("works"), "laptop", 0, 1))
			var programs []*exec.Cmd
			for i := range 4 {
				cmd := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestManyPrograms$")
				cmd.Env = append(os.Environ(), "SOOTLINE_TEST_WRITES="+path, fmt.Sprintf("SOOTLINE_TEST_NUMBER=%d", i+1))
				cmd.Stdout = &strings.Builder{}
				if err := cmd.Start(); err != nil {
					t.Fatal(err)
				}
				programs = append(programs, cmd)
			}
			for _, cmd := range programs {
				if err := cmd.Wait(); err != nil {
					t.Errorf("%v: %s", err, cmd.Stdout)
				}
			}
			if n := follow(t, s, siteID("works")); n != 4*perProgram+1 {
				t.Errorf("%d lines, want %d", n, 4*perProgram+1)
			}
			for program := 1; program <= 4; program++ {
				for _, e := range readings(siteID("works"), "laptop", program*1000, perProgram) {
					if found, err := s.Find(t.Context(), siteID("works"), e.ID); err != nil || len(found) != 1 {
						t.Errorf("program %d: an entry is there %d times, %v", program, len(found), err)
					}
				}
			}
			check(t, s)
		})
	}
}

func inFolder(t testing.TB) string { return filepath.Join(t.TempDir(), "book.db") }

func writeAsProgram(t *testing.T, book, number string) {
	var n int
	if _, err := fmt.Sscan(number, &n); err != nil {
		t.Fatal(err)
	}
	s := open(t, book)
	for _, e := range readings(siteID("works"), "laptop", n*1000, perProgram) {
		err := s.WriteTo(t.Context(), e.Site, func(tx *Tx) error {
			return tx.Append(e.Site, e.Station, func(w *Writer) error { return w.Add(e) })
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
