package wires

import (
	"bytes"
	"os"
	"path/filepath"
)

// Growing is a file to which something else adds. The test fails where the program changed it.
type Growing struct {
	*Voice

	Path string

	wrote []byte // since the file began
}

// NewGrowing begins a file in a folder.
func NewGrowing(t T, folder string, seed uint64) *Growing {
	t.Helper()
	g := &Growing{Path: filepath.Join(folder, "panel.log")}
	g.Voice = newVoice(0, seed, g.out)
	if err := os.WriteFile(g.Path, nil, 0o600); err != nil {
		t.Fatalf("no file that grows: %v", err)
	}
	t.Cleanup(func() {
		if now, err := os.ReadFile(g.Path); err != nil || !bytes.Equal(now, g.wrote) {
			t.Errorf("the file that grows was changed by somebody else: %d bytes instead of %d, %v", len(now), len(g.wrote), err)
		}
	})
	return g
}

func (g *Growing) out(b []byte) error {
	f, err := os.OpenFile(g.Path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	g.wrote = append(g.wrote, b...)
	if _, err = f.Write(b); err != nil {
		return err
	}
	return f.Close()
}

// Rotate renames the file, with .1 behind its name, and begins a new one.
func (g *Growing) Rotate() error {
	g.mu.Lock()
	defer g.mu.Unlock()
	if err := os.Rename(g.Path, g.Path+".1"); err != nil {
		return err
	}
	g.wrote = nil
	return os.WriteFile(g.Path, nil, 0o600)
}

// Restart empties the file in place.
func (g *Growing) Restart() error {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.wrote = nil
	return os.Truncate(g.Path, 0)
}
