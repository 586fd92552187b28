package store

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
)

// again lets the next question try anew, as three seconds later.
func (s *Store) again() { s.trial.at = time.Time{} }

// What is tried is a commit of the book, and a file that leaves nothing behind.
func TestWritableWrites(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	add(t, s, readings(siteID("Works"), "s-a", 0, 3))
	before := version(t, s)
	if err := s.Writable(t.Context()); err != nil {
		t.Fatal(err)
	}
	if version(t, s) == before {
		t.Error("no commit reached the book")
	}
	if _, err := os.Stat(path + "-room"); err == nil {
		t.Error("the file of the trial was left")
	}
	before = version(t, s)
	if err := s.Writable(t.Context()); err != nil || version(t, s) != before {
		t.Errorf("it is tried again at once: %v", err)
	}
	s.noteWrite(diskFull(path)) //nolint:errcheck // it gives back what it was given
	if err := s.Writable(t.Context()); err != nil || version(t, s) == before {
		t.Errorf("after a write that failed it is not tried anew: %v", err)
	}
}

// version changes with each commit of another connection (PRAGMA data_version).
func version(t *testing.T, s *Store) (n int) {
	t.Helper()
	s.read.SetMaxOpenConns(1)
	if err := s.read.QueryRow("PRAGMA data_version").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

// A book that was moved, a folder that takes no file, and a disk without room are told.
func TestWritableTells(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, path string){
		"the file was replaced": func(t *testing.T, path string) {
			if err := os.Rename(path, path+".old"); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, nil, 0o600); err != nil {
				t.Fatal(err)
			}
		},
		"nothing can be made beside it": func(t *testing.T, path string) {
			if err := os.MkdirAll(path+"-room/x", 0o700); err != nil {
				t.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "book.db")
			s := open(t, path)
			if err := s.Writable(t.Context()); err != nil {
				t.Fatal(err)
			}
			spoil(t, path)
			s.again()
			if err := s.Writable(t.Context()); sootline.ErrorCode(err) != sootline.Unavailable {
				t.Errorf("got %v", err)
			}
		})
	}
}

// Who holds the pen is writing: that is no trouble, and nobody waits for the end of it.
func TestWritableWhileOthersWrite(t *testing.T) {
	path := pgtest.Book(t)
	s, other := open(t, path), open(t, path)
	for name, writer := range map[string]*Store{"this program": s, "another": other} {
		held, release := make(chan bool), make(chan bool)
		done := make(chan error)
		go func() {
			done <- writer.Write(context.Background(), func(*Tx) error { held <- true; <-release; return nil })
		}()
		<-held
		began := time.Now()
		s.again()
		if err := s.Writable(t.Context()); err != nil {
			t.Errorf("while %s writes: %v", name, err)
		}
		if took := time.Since(began); took > 20*time.Second { // it waits half a second; a busy machine is let be
			t.Errorf("while %s writes, the answer takes %v", name, took)
		}
		close(release)
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
}
