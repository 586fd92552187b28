package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// paging makes a pager for a screen of five rows, whose other program writes into a file.
func paging(t *testing.T, program string) (p *pager, tty, paged string) {
	t.Helper()
	folder := t.TempDir()
	tty, paged = filepath.Join(folder, "tty"), filepath.Join(folder, "paged")
	f, err := os.Create(tty)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	script := filepath.Join(folder, "show")
	if err := os.WriteFile(script, []byte("#!/bin/sh\n"+strings.ReplaceAll(program, "PAGED", paged)+"\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	return &pager{tty: f, rows: 5, command: []string{script}}, tty, paged
}

func held(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return string(text)
}

// What fits the screen goes to the terminal; what does not goes whole to the other program, once.
func TestPager(t *testing.T) {
	for _, lines := range []int{0, 1, 5, 6, 300} {
		p, tty, paged := paging(t, "cat > PAGED")
		var all strings.Builder
		for range lines {
			all.WriteString("a line\n")
			if n, err := p.Write([]byte("a line\n")); n != 7 || err != nil {
				t.Fatal(n, err)
			}
		}
		if err := p.end(); err != nil {
			t.Fatal(err)
		}
		want := [2]string{all.String(), ""}
		if lines > 5 {
			want = [2]string{"", all.String()}
		}
		if got := [2]string{held(t, tty), held(t, paged)}; got != want {
			t.Errorf("%d lines: to the terminal %d bytes, to the pager %d, want %d and %d", lines, len(got[0]), len(got[1]), len(want[0]), len(want[1]))
		}
	}
}

// Whoever has seen enough ends the command, and no error is told.
func TestPagerIsLeft(t *testing.T) {
	p, _, paged := paging(t, "head -1 > PAGED")
	for range 100_000 {
		if _, err := p.Write([]byte("a line\n")); err != nil {
			t.Fatal(err)
		}
	}
	if err := p.end(); err != nil || held(t, paged) != "a line\n" {
		t.Errorf("%v, %q", err, held(t, paged))
	}
}

// PAGER says which program; none where it is empty, cat or not there.
func TestPagerCommand(t *testing.T) {
	for said, want := range map[string]string{"": "", "cat": "", "nosuchprogram -x": "", "sh -c": "sh -c"} {
		t.Setenv("PAGER", said)
		if got := strings.Join(pagerCommand(), " "); got != want {
			t.Errorf("PAGER=%q gives %q, want %q", said, got, want)
		}
	}
}

// Output that goes to no terminal has no pager, and --no-pager takes it from one.
func TestNoPager(t *testing.T) {
	s := &session{}
	if p := s.pagerFor(&strings.Builder{}); p != nil {
		t.Error("text in memory has a pager")
	}
	f, err := os.CreateTemp(t.TempDir(), "")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if p := s.pagerFor(f); p != nil {
		t.Error("a file has a pager")
	}
}
