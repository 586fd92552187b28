package app

import (
	"database/sql"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline/internal/keep"
	"sootline/internal/pgtest"
)

// TestDrillOfDamagedBook: where the open book has the same fault as the backup, the
// drill says so and does not blame the place.
func TestDrillOfDamagedBook(t *testing.T) {
	pgtest.FileOnly(t)
	a := newApp(t, "server")
	site := addSite(t, a)
	if _, err := a.KeepPhoto(t.Context(), site, []byte(headOfPhoto+"picture")); err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", "file:"+a.Book.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("UPDATE photo SET content = x'00'"); err != nil {
		t.Fatal(err)
	}
	place := openPlace(t, filepath.Join(t.TempDir(), "backups"), keep.Storage{})
	kept, _, err := a.KeepBackup(t.Context(), keep.Keys{}, place)
	if err != nil {
		t.Fatal(err)
	}
	_, err = a.Drill(t.Context(), place, keep.Keys{}, time.Time{})
	if err == nil || !strings.Contains(err.Error(), kept.Name()) || !strings.Contains(err.Error(), "the same fault as the open book") || !strings.Contains(sentenceOf(err), "not to blame") {
		t.Errorf("the drill says %v", err)
	}
}
