package papers

import (
	"context"
	"crypto/rand"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

var today = time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC)

// newApp opens a book of its own, as a station of its own.
func newApp(t testing.TB, station string) *app.App {
	t.Helper()
	book, err := store.Open(context.Background(), pgtest.Book(t), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	return &app.App{
		Book: book, Who: sootline.Actor{Name: "A. Tech", Role: sootline.Manager, Station: station}, Now: func() time.Time { return today },
		Random: func() (r [10]byte) { rand.Read(r[:]); return r },
	}
}

func files(t testing.TB, contents map[string]string) (folder string) {
	t.Helper()
	folder = t.TempDir()
	for name, content := range contents {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// take takes a file in.
func take(t testing.TB, a *app.App, site sootline.ID, path string) {
	t.Helper()
	in, err := a.Look(context.Background(), site, []string{path}, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := in.Close(); err != nil {
			t.Error(err)
		}
	}()
	if _, err := a.Take(context.Background(), site, in, app.TakeOptions{}); err != nil {
		t.Fatal(err)
	}
}

func addSite(t testing.TB, a *app.App) sootline.ID {
	t.Helper()
	id, err := a.AddSite(context.Background(), app.NewSite{Name: "Works", Zone: "Europe/Paris"})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func register(t testing.TB, a *app.App, site sootline.ID) *sootline.Register {
	t.Helper()
	r, err := a.Register(context.Background(), site, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}
