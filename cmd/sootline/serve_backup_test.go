package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline/internal/keep"
)

// heard collects what a program says meanwhile.
type heard struct {
	mu   sync.Mutex
	text strings.Builder
}

func (h *heard) Write(b []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.Write(b)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.String()
}

// TestServeBackups starts the server with a place that works, encrypted, and one
// that does not: the first gets a backup and a drill, of the second the log tells,
// and the server answers.
func TestServeBackups(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	folder := t.TempDir()
	book, key, good := filepath.Join(folder, "book.db"), filepath.Join(folder, "key.txt"), filepath.Join(folder, "backups")
	bad := filepath.Join(folder, "not", "mounted")
	recipient, err := keep.MakeKey(key)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out, in := io.Pipe()
	said := &heard{}
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{
			"serve", "--book", book, "--listen", "127.0.0.1:0", "--backup", good, "--backup", bad, "--backup-every", "1m",
			"--backup-recipient", recipient, "--backup-identity", key,
		}, os.Stdin, in, said)
		in.Close()
	}()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		t.Fatal("serve says nothing: " + said.String())
	}
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`).FindString(lines.Text())
	var state keep.State
	for state.Places[good].Passed == nil || state.Places[bad].Failed == "" {
		if state, err = keep.ReadState(book + ".backups"); err != nil {
			t.Fatal(err)
		}
		if len(code) > 0 {
			t.Fatal("the server ended: " + said.String())
		}
		time.Sleep(10 * time.Millisecond)
	}
	if names, _ := filepath.Glob(filepath.Join(good, "book-*.db.age")); len(names) != 1 {
		t.Errorf("kept are %v", names)
	}
	for path, want := range map[string]string{"healthz": "ok", "backups": "The last try failed", "metrics": "sootline_drill_age_seconds", "": "Backups fail or are late"} {
		res, err := http.Get(address + path)
		if err != nil {
			t.Fatal(err)
		}
		text, _ := io.ReadAll(res.Body)
		res.Body.Close()
		if res.StatusCode != http.StatusOK || !strings.Contains(string(text), want) {
			t.Errorf("/%s gives %d and not %q", path, res.StatusCode, want)
		}
	}
	stop()
	if !lines.Scan() || lines.Text() != "Closed." {
		t.Errorf("at the end it says %q", lines.Text())
	}
	if c := <-code; c != exitDone {
		t.Errorf("exit code %d", c)
	}
	if !strings.Contains(said.String(), "Backups: write "+bad) {
		t.Errorf("the log says %q", said.String())
	}
	if info, err := os.Stat(book + ".backups"); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the state has mode %v, %v", info.Mode(), err)
	}
}
