package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sootline"
)

// older makes the book of version 3 that the Sootline of that time had written
// (testdata/version3.sql, by the sqlite3 shell's .dump): a site of 60 points with
// readings, a correction, what a phone handed in, a photo and a person.
func older(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "older.db")
	dump, err := os.ReadFile("testdata/version3.sql")
	if err != nil {
		t.Fatal(err)
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = db.Exec(string(dump) + fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = 3", applicationID))
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	return path
}

// whole wants all that the older book held: what it exported then, to the byte,
// its person, phone and photo, and an index that finds every entry.
func whole(t *testing.T, s *Store) {
	t.Helper()
	ctx := t.Context()
	check(t, s)
	sites, err := s.Sites(ctx)
	if err != nil || len(sites) != 2 || sites[1].Name != "Works" || sites[1].Entries != 247 || sites[1].Stations != 2 || sites[0].Entries != 2 {
		t.Fatalf("the book lists %+v, %v", sites, err)
	}
	photos := 0
	for _, site := range sites {
		want, err := os.ReadFile("testdata/version3." + strings.ToLower(site.Name) + ".jsonl")
		if err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		for line, err := range s.Lines(ctx, site.ID) {
			if err != nil {
				t.Fatal(err)
			}
			got.Write(line.Text)
			got.WriteByte('\n')
			if found, err := s.Find(ctx, site.ID, line.Entry.ID); err != nil || len(found) != 1 || found[0].Hash != line.Entry.Hash {
				t.Errorf("entry %s: %d found, %v", line.Entry.ID, len(found), err)
			}
			if note, ok := line.Entry.Body.(sootline.Note); ok && note.Photo != "" {
				photo, err := s.Photo(ctx, note.Photo)
				if photos++; err != nil || !bytes.HasPrefix(photo, []byte("\xff\xd8")) {
					t.Errorf("photo %s: %d bytes, %v", note.Photo, len(photo), err)
				}
			}
		}
		if !bytes.Equal(got.Bytes(), want) {
			t.Errorf("the log of %s is not what the older Sootline exported", site.Name)
		}
	}
	person, err := s.Person(ctx, "a. tech")
	phones, wrong := s.Phones(ctx)
	if err := errors.Join(err, wrong); err != nil || photos != 1 || person == nil || person.Role != "manager" || len(phones) != 1 || phones[0].Name != "blue phone" {
		t.Errorf("%d photos, person %+v, phones %+v, %v", photos, person, phones, err)
	}
}

// A book of the version before the index is indexed when it is opened, loses
// nothing, and goes on.
func TestOpensOlder(t *testing.T) {
	path := older(t)
	told := 0
	s, err := Open(t.Context(), path, false, func(done, total int) { told = done*1000/total + total })
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if told != 1000+249 {
		t.Errorf("indexing 249 entries was not told of to its end: %d", told)
	}
	whole(t, s)
	sites, err := s.SitesNamed(t.Context(), "works")
	if err != nil || len(sites) != 1 {
		t.Fatal(sites, err)
	}
	add(t, s, readings(sites[0].ID, "s-2hun2sw2aj", 0, 10))
	if n := follow(t, s, sites[0].ID); n != 257 {
		t.Errorf("the log has %d lines, want 257", n)
	}
	check(t, s)
}

// Indexing that is broken off leaves the book as it was, and is done again.
func TestOpensOlderAfterBreak(t *testing.T) {
	path := older(t)
	for stop := range 4 {
		ctx, cancel := context.WithCancel(t.Context())
		told := 0
		s, err := Open(ctx, path, false, func(int, int) {
			if told == stop {
				cancel()
			}
			told++
		})
		cancel()
		if err == nil {
			t.Fatal("it was opened", s.Close())
		}
	}
	s, err := Open(t.Context(), path, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	whole(t, s)
}

// Two that open an older book at once index it once.
func TestOpensOlderTwice(t *testing.T) {
	path := older(t)
	opened := make(chan error, 4)
	for range cap(opened) {
		go func() {
			s, err := Open(context.Background(), path, false, nil)
			if err == nil {
				err = s.Close()
			}
			opened <- err
		}()
	}
	for range cap(opened) {
		if err := <-opened; err != nil {
			t.Error(err)
		}
	}
	whole(t, open(t, path))
}
