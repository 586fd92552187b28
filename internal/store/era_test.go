package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"sootline"
)

// A book that was put back goes on under new names, and no two of the same backup
// go on alike.
func TestEra(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "book.db"), filepath.Join(dir, "backup.db")
	s := open(t, path)
	add(t, s, readings(siteID("works"), "laptop", 0, 10))
	if s.Era() != "" || s.Station("laptop") != "laptop" {
		t.Errorf("a fresh book is in the era %q", s.Era())
	}
	if err := s.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	eras := map[string]bool{}
	for _, name := range []string{"a.db", "b.db"} {
		to := filepath.Join(dir, name)
		if _, err := Restore(ctx, backup, to, nil); err != nil {
			t.Fatal(err)
		}
		restored := open(t, to)
		if restored.Era() == "" || eras[restored.Era()] || sootline.StationOf(restored.Station("laptop")) != "laptop" {
			t.Errorf("%s is in the era %q", name, restored.Era())
		}
		eras[restored.Era()] = true
	}
}

// Nobody puts a book in the place of one that is open.
func TestRestoreOfAnOpenBook(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "book.db"), filepath.Join(dir, "backup.db")
	s := open(t, path)
	add(t, s, readings(siteID("works"), "laptop", 0, 10))
	if err := s.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, backup, path, nil); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("the restore of an open book: %v", err)
	}
	add(t, s, readings(siteID("works"), "laptop", 100, 1))
}

// A book whose file is another by now takes nothing more.
func TestBookWasReplaced(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db")
	s := open(t, path)
	add(t, s, readings(siteID("works"), "laptop", 0, 10))
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(os.Rename(path, path+".old"), os.WriteFile(path, content, 0o600)); err != nil {
		t.Fatal(err)
	}
	err = s.Write(context.Background(), func(*Tx) error { return nil })
	if sootline.ErrorCode(err) != sootline.Unavailable {
		t.Errorf("a write into a file that was moved away: %v", err)
	}
}

// Who was taken off since a backup stays off when it is put back, and nobody stays
// signed in.
func TestRestoreKeepsPeopleOff(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "book.db"), filepath.Join(dir, "backup.db")
	s, err := Open(ctx, path, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	put := func(person, password string) func(*Tx) error {
		return func(tx *Tx) error {
			p := Person{Name: person, Role: "technician", Password: password, Added: epoch}
			if added, err := tx.AddPerson(p); err != nil || added {
				return err
			}
			return tx.ChangePerson(p)
		}
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(s.Write(ctx, put("A. Tech", "old")))
	must(s.Write(ctx, func(tx *Tx) error {
		return tx.PutPhone(Phone{Station: "p-1", Name: "lost", Person: "A. Tech", Purpose: "phone", Key: "k", Added: epoch})
	}))
	must(s.Backup(ctx, backup))
	must(s.Write(ctx, put("A. Tech", "new")))
	must(s.Write(ctx, func(tx *Tx) error { _, err := tx.DropPhone("p-1"); return err }))
	must(s.Close())
	if _, err := Restore(ctx, backup, path, nil); err != nil {
		t.Fatal(err)
	}
	restored := open(t, path)
	people, err := restored.People(ctx)
	must(err)
	phones, err := restored.Phones(ctx)
	must(err)
	if len(people) != 1 || people[0].Password != "new" || len(phones) != 0 {
		t.Errorf("people %+v, phones %+v", people, phones)
	}
}
