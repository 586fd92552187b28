package store

import (
	"path/filepath"
	"testing"

	"sootline/internal/pgtest"
)

// A program that copies the write-ahead log adds tables of its own, which are no
// damage; any other table is.
func TestCheckKnowsForeignTables(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "book.db"))
	ctx := t.Context()
	for _, c := range []struct {
		text string
		ok   bool
	}{
		{`CREATE TABLE _litestream_seq (id INTEGER PRIMARY KEY, seq INTEGER); CREATE TABLE _litestream_lock (id INTEGER)`, true},
		{`CREATE UNIQUE INDEX _litestream_by ON _litestream_lock (id)`, true},
		{`CREATE TABLE litestream (id INTEGER)`, false},
	} {
		if _, err := s.write.ExecContext(ctx, c.text); err != nil {
			t.Fatal(err)
		}
		if err := s.Check(ctx); (err == nil) != c.ok {
			t.Errorf("after %s the check says %v", c.text, err)
		}
	}
}

// The mark of a book tells what was written to it, and a photo that is not the one
// its name says is found.
func TestMark(t *testing.T) {
	s := open(t, pgtest.Book(t))
	ctx := t.Context()
	site := siteID("Works")
	add(t, s, readings(site, "laptop", 0, 3))
	before, err := s.Mark(ctx)
	if err != nil || len(before.Ends) != 1 || before.Ends[0].Site != site || before.Ends[0].Seq != 3 || before.Photos != 0 {
		t.Fatalf("mark %+v, %v", before, err)
	}
	hash, there, err := s.HashAt(ctx, site, "laptop", 3)
	if err != nil || !there || hash != before.Ends[0].Hash {
		t.Errorf("the hash of line 3 is %v, %v, %v", hash, there, err)
	}
	if _, there, err := s.HashAt(ctx, site, "laptop", 4); err != nil || there {
		t.Errorf("line 4 is there: %v, %v", there, err)
	}
	err = s.Write(ctx, func(tx *Tx) error {
		return tx.PutPhoto(PhotoHash([]byte("a picture")), []byte("a picture"))
	})
	if err != nil {
		t.Fatal(err)
	}
	if after, err := s.Mark(ctx); err != nil || after.Photos != 1 {
		t.Errorf("mark %+v, %v", after, err)
	}
}
