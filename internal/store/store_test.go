package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgconn"

	"sootline"
	"sootline/internal/pgtest"
)

var epoch = time.Date(2024, 3, 1, 9, 0, 0, 0, time.UTC)

func open(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(context.Background(), path, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func siteID(name string) sootline.ID { return sootline.DerivedID(epoch, []byte(name)) }

func readings(site sootline.ID, station string, from, n int) []sootline.Entry {
	entries := make([]sootline.Entry, n)
	for i := range entries {
		at := epoch.Add(time.Duration(from+i) * time.Second)
		entries[i] = sootline.Entry{
			ID: sootline.DerivedID(at, fmt.Append(nil, station, from+i)), Site: site, At: at, Noted: at, Station: station,
			Point: siteID(fmt.Sprint(i % 5000)), Body: sootline.Read{Samples: []float64{float64(20 + i%10)}},
		}
	}
	return entries
}

func add(t testing.TB, s *Store, entries []sootline.Entry) {
	t.Helper()
	err := s.Write(context.Background(), func(tx *Tx) error {
		if err := tx.PutSite(entries[0].Site, "Works"); err != nil {
			return err
		}
		return tx.Append(entries[0].Site, entries[0].Station, func(w *Writer) error {
			for _, e := range entries {
				if err := w.Add(e); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
}

// follow reads a site's log and follows its chains.
func follow(t testing.TB, s *Store, site sootline.ID) int {
	t.Helper()
	n := 0
	ledger := sootline.Ledger{}
	for line, err := range s.Lines(context.Background(), site) {
		if err != nil {
			t.Fatal(err)
		}
		if fault := ledger.Follow(line.Text, &line.Entry); fault != nil {
			t.Fatal(fault)
		}
		n++
	}
	return n
}

func TestWriteAndRead(t *testing.T) {
	s := open(t, pgtest.Book(t))
	site := siteID("works")
	add(t, s, readings(site, "laptop", 0, 3000))
	add(t, s, readings(site, "phone", 5000, 7))
	add(t, s, readings(site, "laptop", 9000, 1))
	if got := follow(t, s, site); got != 3008 {
		t.Errorf("%d lines came back, want 3008", got)
	}
	lines, err := s.SitesNamed(context.Background(), " wORKS ")
	if err != nil || len(lines) != 1 || lines[0].Entries != 3008 || lines[0].Stations != 2 || !lines[0].Last.Equal(epoch.Add(9000*time.Second)) {
		t.Errorf("the list of sites says %+v, %v", lines, err)
	}
}

func TestFailedWriteLeavesNothing(t *testing.T) {
	s := open(t, pgtest.Book(t))
	site := siteID("works")
	add(t, s, readings(site, "laptop", 0, 10))
	err := s.Write(context.Background(), func(tx *Tx) error {
		return tx.Append(site, "laptop", func(w *Writer) error {
			for _, e := range readings(site, "laptop", 100, 5000) {
				if err := w.Add(e); err != nil {
					return err
				}
			}
			return sootline.Errorf(sootline.Invalid, "", "stop here")
		})
	})
	if sootline.ErrorCode(err) != sootline.Invalid {
		t.Fatalf("got %v", err)
	}
	if got := follow(t, s, site); got != 10 {
		t.Errorf("%d lines, want the 10 from before", got)
	}
}

// Two books open on one file stand for two processes.
func TestTwoWriters(t *testing.T) {
	path := pgtest.Book(t)
	a, b := open(t, path), open(t, path)
	site := siteID("works")
	add(t, a, readings(site, "laptop", 0, 1))
	var wg sync.WaitGroup
	for i, s := range []*Store{a, b, a, b} {
		wg.Go(func() {
			for k := range 25 {
				add(t, s, readings(site, "laptop", 1+i*1000+k*10, 4))
			}
		})
	}
	wg.Wait()
	if got := follow(t, a, site); got != 401 {
		t.Errorf("%d lines, want 401", got)
	}
	check(t, a)
	check(t, b)
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "book.db")
	s := open(t, path)
	add(t, s, readings(siteID("works"), "laptop", 0, 30_000))
	whole := filepath.Join(dir, "whole.db")
	if err := s.Backup(context.Background(), whole); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	newer := bytes.Clone(good)
	newer[63] = 99 // user_version, bytes 60 to 63 of the header (SQLite file format, section 1.3)
	other := bytes.Clone(good)
	copy(other[68:72], "abcd") // application_id, bytes 68 to 71
	for name, test := range map[string]struct {
		content []byte
		code    sootline.Code
		says    string
	}{
		"a listing":          {[]byte("point,date,value\n1.1.001,2024-01-01,25\n"), sootline.Invalid, "is not a book"},
		"another database":   {other, sootline.Invalid, "is not a book"},
		"cut short":          {good[:len(good)*2/3], sootline.Damaged, "cut short"},
		"cut within a head":  {good[:60], sootline.Damaged, "cut short"},
		"of a later version": {newer, sootline.Newer, "later Sootline"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "x.db")
			if err := os.WriteFile(path, test.content, 0o600); err != nil {
				t.Fatal(err)
			}
			s, err := Open(context.Background(), path, true, nil)
			if err == nil {
				err = s.Close()
				t.Fatal("it was opened", err)
			}
			if sootline.ErrorCode(err) != test.code || !strings.Contains(err.Error(), test.says) {
				t.Errorf("%q (%s), want %q (%s)", err, sootline.ErrorCode(err), test.says, test.code)
			}
			if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, test.content) {
				t.Errorf("the file was changed (%v)", err)
			}
		})
	}
	if _, err := Open(context.Background(), filepath.Join(dir, "none.db"), false, nil); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("a missing book: %v", err)
	}
	if _, err := Open(context.Background(), dir, true, nil); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a folder: %v", err)
	}
}

func TestBackupAndRestore(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "book.db"), filepath.Join(dir, "backup.db")
	site := siteID("works")
	s := open(t, path)
	add(t, s, readings(site, "laptop", 0, 100))
	if err := s.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	if err := s.Backup(ctx, backup); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("a second backup to the same file: %v", err)
	}
	add(t, s, readings(site, "laptop", 500, 11))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	kept, err := Restore(ctx, backup, path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := follow(t, open(t, path), site); got != 100 {
		t.Errorf("the restored book has %d lines, want 100", got)
	}
	if got := follow(t, open(t, kept), site); got != 111 {
		t.Errorf("the book set aside has %d lines, want 111", got)
	}
}

// Whatever of a book is not as it was written is named by what reads it.
func TestDamageIsFound(t *testing.T) {
	ctx := context.Background()
	entries := func(s *Store) error { _, err := s.Entries(ctx, siteID("works")); return err }
	sites := func(s *Store) error { // of one site: the list itself is there, with the others
		lines, err := s.Sites(ctx)
		if err != nil || len(lines) != 1 || lines[0].ID != siteID("works") || lines[0].Name != "Works" {
			return fmt.Errorf("%v, %w", lines, err)
		}
		return lines[0].Trouble
	}
	check := func(s *Store) error { return s.Check(ctx) }
	for change, read := range map[string]func(*Store) error{
		`UPDATE page SET lines = 'no such thing'`:         entries,
		`UPDATE page SET last = last + 1`:                 entries,
		`UPDATE page SET first = first + 1`:               entries,
		`UPDATE page SET first = 'one'`:                   entries,
		`UPDATE page SET hash = 'AAAAAAAAAAAAAAAAAAAAAA'`: entries,
		`UPDATE page SET hash = 'short'`:                  entries,
		`UPDATE page SET station = 'another'`:             entries,
		`UPDATE page SET began = began - 1`:               entries,
		`UPDATE page SET ended = ended + 1`:               entries,
		`ALTER TABLE page RENAME COLUMN lines TO lined`:   entries,
		`UPDATE site_head SET ended = 'y'`:                sites,
		`UPDATE site SET folded = 'mill'`:                 sites,
		`CREATE INDEX more ON page (last)`:                check,
		`ALTER TABLE site ADD COLUMN more TEXT`:           check,
	} {
		t.Run(change, func(t *testing.T) {
			s := open(t, pgtest.Book(t))
			add(t, s, readings(siteID("works"), "laptop", 0, 100))
			if err := read(s); err != nil {
				t.Fatalf("before the change: %v", err)
			}
			if !spoil(t, s, change) {
				return
			}
			if err := read(s); sootline.ErrorCode(err) != sootline.Damaged || strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v", err)
			}
		})
	}
}

// spoil changes the book behind its back. It tells whether the database let it: PostgreSQL
// itself refuses what is of another type than its column.
func spoil(t *testing.T, s *Store, change string) bool {
	t.Helper()
	_, err := s.write.Exec(change)
	if fault, ok := errors.AsType[*pgconn.PgError](err); ok && slices.Contains([]string{"22P02", "42804"}, fault.Code) {
		return false
	}
	if err != nil {
		t.Fatal(err)
	}
	return true
}

func BenchmarkAppend(b *testing.B) {
	const n = 200_000
	entries := readings(siteID("works"), "laptop", 0, n)
	for b.Loop() {
		s := open(b, pgtest.Book(b))
		add(b, s, entries)
	}
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "entries/s")
}

func BenchmarkEntries(b *testing.B) {
	const n = 200_000
	s := open(b, pgtest.Book(b))
	add(b, s, readings(siteID("works"), "laptop", 0, n))
	for b.Loop() {
		entries, err := s.Entries(context.Background(), siteID("works"))
		if err != nil || len(entries) != n {
			b.Fatal(len(entries), err)
		}
	}
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "entries/s")
}
