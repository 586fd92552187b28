// Package store keeps a book: the log books of any number of sites in one
// SQLite file, or in one schema of a PostgreSQL database. It is the only room that
// knows SQL, and its SQL is one text for both; what differs lies behind dialect.go,
// in dialect_sqlite.go and dialect_postgres.go.
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
	"strings"

	"sootline"
)

// Store is an open book. It may be used by several goroutines, and by several
// programs at once.
type Store struct {
	opened
	path  string // its name in messages
	era   string
	trial trial
}

// Open opens the book of that name, or makes it when create is set and there is
// none, and brings its schema up to date; working is told of it where that takes
// long. The name is that of a file, or the address of a database of PostgreSQL
// (postgres://USER@HOST/DATABASE, in the schema of its search_path, else "sootline").
// It refuses what is no book, a file that was cut short, and a book of a later version.
func Open(ctx context.Context, name string, create bool, working Working) (*Store, error) {
	in, err := InPostgres(name)
	if err != nil {
		return nil, err
	}
	at, err := openFile, error(nil)
	if in {
		at = openPostgres
	}
	place, err := at(ctx, name, create)
	if err != nil {
		return nil, err
	}
	s := &Store{opened: place, path: place.name}
	err = s.migrate(ctx, working)
	if err == nil {
		err = s.settled(ctx)
	}
	if err == nil {
		err = s.readEra(ctx)
	}
	if err != nil {
		return nil, errors.Join(translate(s.path, "open", err), s.Close())
	}
	return s, nil
}

// Path is the name by which messages call the book: its file, or its address
// without what opens it.
func (s *Store) Path() string { return s.path }

// File is the file that the book lies in; empty: it lies in a database of PostgreSQL,
// and nothing can be kept beside it.
func (s *Store) File() string {
	if _, in := s.dialect.(*inFile); in {
		return s.path
	}
	return ""
}

// MayCopy reports why the book cannot be copied to a file.
func (s *Store) MayCopy() error {
	if s.File() == "" {
		return noCopy(s.path)
	}
	return nil
}

// Close closes the book.
func (s *Store) Close() error {
	return errors.Join(s.read.Close(), s.write.Close(), s.dialect.close())
}

// Tx is a transaction that may write. Everything in it arrives together or not
// at all.
type Tx struct {
	ctx  context.Context
	tx   *sql.Tx
	path string
	held sootline.ID // the site whose row was written, so that nobody else writes to it
	in   dialect
}

// Write runs the function in a transaction that nobody else writes beside, and
// commits when it returns nil. On PostgreSQL the function may be run again where it
// met another's writing or the connection broke: what it changes outside of the book it
// must set, not add to.
func (s *Store) Write(ctx context.Context, do func(*Tx) error) error {
	return s.writing(ctx, reach{whole: true}, do)
}

// WriteTo is [Store.Write] for what is read and written of one site alone: on
// PostgreSQL others may write to other sites meanwhile.
func (s *Store) WriteTo(ctx context.Context, site sootline.ID, do func(*Tx) error) error {
	return s.writing(ctx, reach{site: site}, do)
}

// WriteRows is [Store.Write] for rows that hang together with no others: on PostgreSQL
// whoever writes to sites may do so meanwhile.
func (s *Store) WriteRows(ctx context.Context, do func(*Tx) error) error {
	return s.writing(ctx, reach{}, do)
}

func (s *Store) writing(ctx context.Context, reach reach, do func(*Tx) error) error {
	if err := s.still(); err != nil {
		return err
	}
	return s.noteWrite(translate(s.path, "write to", s.dialect.write(ctx, reach, do)))
}

// transact runs the function in a transaction that was begun, and commits with what
// ends it.
func transact(ctx context.Context, path string, tx *sql.Tx, in dialect, do func(*Tx) error) error {
	whole := false
	defer func() {
		if !whole { // it panics, and the pen must not stay taken
			rollback(tx) //nolint:errcheck // the panic goes on
		}
	}()
	err := do(&Tx{ctx: ctx, tx: tx, path: path, in: in})
	whole = true
	if err != nil {
		return errors.Join(translate(path, "write to", err), rollback(tx))
	}
	return nil
}

// hold writes the row of a site, so that until the transaction ends nobody else writes to
// its log, and counts that somebody does. A site that is being added has no row yet.
func (tx *Tx) hold(site sootline.ID) error {
	if tx.held == site {
		return nil
	}
	tx.held = site
	_, err := tx.tx.ExecContext(tx.ctx, "UPDATE site SET written = written + 1 WHERE id = $1", site.String())
	return err
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
