package locks_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"sootline/internal/locks"
)

// Who shares lets others share and nobody alone; who is alone lets nobody; a closed file holds nothing.
func TestTake(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	open := func() *os.File {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	a, b := open(), open()
	defer b.Close()
	for _, step := range []struct {
		file *os.File
		how  locks.How
		want error
	}{
		{a, locks.Shared, nil}, {b, locks.Shared, nil}, {b, locks.Exclusive, locks.ErrHeld},
	} {
		if err := locks.Take(step.file, step.how); !errors.Is(err, step.want) {
			t.Fatalf("%v: %v, want %v", step.how, err, step.want)
		}
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if err := locks.Take(b, locks.Exclusive|locks.Wait); err != nil {
		t.Fatal(err)
	}
	c := open()
	defer c.Close()
	if err := locks.Take(c, locks.Shared); !errors.Is(err, locks.ErrHeld) {
		t.Errorf("beside one that is alone: %v", err)
	}
}
