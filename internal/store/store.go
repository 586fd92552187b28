// Package store keeps a book: the log books of any number of sites in one
// SQLite file. It is the only room that knows SQL, and its SQL is written so
// that PostgreSQL takes it unchanged; what differs lies in dialect.go.
//
// A log is kept as pages, each a run of consecutive entries of one station as
// compressed lines of the export format. A page is written once and never
// changed. Reading a site's log is reading its pages. The site's name, by which
// people ask for it, lies beside them, and an index that can be rebuilt from the
// pages: where an entry is by its id, which pages hold a kind, and how far each
// station has come. So an entry is found and a line added without reading a log.
package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"

	"sootline"
)

// Store is an open book. It may be used by several goroutines; one writes at a
// time, in this process and in others.
type Store struct {
	path  string
	write *sql.DB // one connection
	read  *sql.DB
	file  os.FileInfo // of the book as it was opened
	lock  *lock
	era   string
	trial trial
}

// Open opens the book in the file, or makes it when create is set and there is
// none, and brings its schema up to date; working is told of it where that takes
// long. It refuses a file that is no book, one that was cut short, and a book of
// a later version.
func Open(ctx context.Context, path string, create bool, working Working) (*Store, error) {
	if err := lookAt(path, create); err != nil {
		return nil, err
	}
	held, err := share(path)
	if err != nil {
		return nil, err
	}
	s, err := openHeld(ctx, path, held, working)
	if err != nil {
		return nil, errors.Join(err, held.discard())
	}
	return s, nil
}

func openHeld(ctx context.Context, path string, held *lock, working Working) (*Store, error) {
	// SQLite gives what it keeps beside a book the modes of the book.
	if made, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600); err == nil {
		err = made.Close()
		if err != nil {
			return nil, cannotWrite(path, err)
		}
	}
	write, err := sql.Open("sqlite", dsn(path))
	if err != nil {
		return nil, translate(path, "open", err)
	}
	read, err := sql.Open("sqlite", dsn(path))
	if err != nil {
		return nil, errors.Join(translate(path, "open", err), write.Close())
	}
	write.SetMaxOpenConns(1)
	read.SetMaxOpenConns(4)
	s := &Store{path: path, write: write, read: read}
	if err := s.migrate(ctx, working); err != nil {
		return nil, errors.Join(translate(path, "open", err), s.Close())
	}
	if err := s.readEra(ctx); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	if s.file, err = os.Stat(path); err != nil {
		return nil, errors.Join(sootline.Errorf(sootline.Unavailable, "", "open book %s: %w", path, err), s.Close())
	}
	s.lock = held
	return s, nil
}

// Path is the file of the book.
func (s *Store) Path() string { return s.path }

// Close closes the book.
func (s *Store) Close() error {
	held := s.lock
	s.lock = nil // closing twice is no mistake
	return errors.Join(s.read.Close(), s.write.Close(), held.discard())
}

// lookAt says in one sentence what is wrong with the file, before SQLite does in
// its own words.
func lookAt(path string, create bool) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist) && create:
		return os.MkdirAll(filepath.Dir(path), 0o700)
	case errors.Is(err, os.ErrNotExist):
		return sootline.Errorf(sootline.NotFound, "make one", "there is no book at %s", path).Do(sootline.AddSite).Or("or see an invented one").Do(sootline.MakeDemo)
	case err != nil:
		return sootline.Errorf(sootline.Unavailable, "", "open book %s: %w", path, err)
	case info.IsDir():
		return sootline.Errorf(sootline.Invalid, "name a file, for example "+filepath.Join(path, "book.db"), "%s is a folder, not a book", path)
	case info.Size() == 0 && create:
		return nil
	case info.Size() == 0:
		return sootline.Errorf(sootline.Damaged, restoreHint, "book %s is empty: there is nothing in the file", path)
	}
	return lookInto(path, create)
}

// Tx is a transaction that may write. Everything in it arrives together or not
// at all.
type Tx struct {
	ctx  context.Context
	tx   *sql.Tx
	path string
}

// Write runs the function in a transaction that holds the book's one pen from
// its start, and commits when it returns nil.
func (s *Store) Write(ctx context.Context, do func(*Tx) error) error {
	if s.file != nil { // it is open, and not being brought up to date
		if err := s.still(); err != nil {
			return err
		}
	}
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return s.noteWrite(translate(s.path, "write to", err))
	}
	whole := false
	defer func() {
		if !whole { // it panics, and the pen must not stay taken
			rollback(tx) //nolint:errcheck // the panic goes on
		}
	}()
	err = do(&Tx{ctx: ctx, tx: tx, path: s.path})
	whole = true
	if err != nil {
		return errors.Join(s.noteWrite(translate(s.path, "write to", err)), rollback(tx))
	}
	return s.noteWrite(translate(s.path, "write to", tx.Commit()))
}

func rollback(tx *sql.Tx) error {
	if err := tx.Rollback(); !errors.Is(err, sql.ErrTxDone) {
		return err
	}
	return nil
}

// querier is what *sql.DB and *sql.Tx have in common.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// fold gives text the spelling by which it is searched.
func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// SameName reports whether two names are searched as one.
func SameName(a, b string) bool { return fold(a) == fold(b) }
