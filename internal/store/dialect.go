package store

import (
	"context"
	"database/sql"
	"fmt"
	"regexp"
	"strings"

	"sootline"
)

// dialect is what the two databases do each in its own way. All else is one SQL
// text for both.
type dialect interface {
	// settled notes where the book lies, once it is up to date.
	settled(ctx context.Context) error
	// still reports that the book is not the one any more that was opened.
	still() error
	// version reads the schema's version; 0: there is no book yet.
	version(ctx context.Context, q querier) (int, error)
	// setVersion writes it, in the transaction that brings the book up to date.
	setVersion(tx *Tx, version int) error
	// mustBeEmpty keeps a book from being made inside somebody else's database.
	mustBeEmpty(tx *Tx) error
	// text gives a migration as the database takes it.
	text(migration string) string
	// write runs a transaction that may write; see [Store.Write].
	write(ctx context.Context, reach reach, do func(*Tx) error) error
	// alone keeps all others, until the transaction ends, from what hangs together in the
	// book beside its sites: the names of sites, the journal.
	alone(tx *Tx, what string) error
	// snapshot is how a transaction begins that sees the book as of one instant and
	// waits for nobody who writes.
	snapshot() *sql.TxOptions
	// check asks the database whether what it keeps is sound, and whether its tables
	// are as they were made.
	check(ctx context.Context) error
	// backup copies the book as it stands to a file that is not there yet.
	backup(ctx context.Context, to string) error
	// tryWriting tries whether the book can be written to.
	tryWriting(ctx context.Context) error
	// close gives up what the book's place was held by.
	close() error
}

// reach is what a transaction writes to, and so what nobody else may write to
// meanwhile. The zero value is for rows that hang together with no others.
type reach struct {
	site  sootline.ID // its log, with all that follows from it
	whole bool        // the whole book
}

// opened is a book's place as it was opened: its pools of connections, and what is
// done there in its own way.
type opened struct {
	name        string // by which messages call it
	write, read *sql.DB
	dialect
}

// schemes are how addresses begin that lead to a database of PostgreSQL.
var schemes = []string{"postgres://", "postgresql://"}

// foreign are beginnings of addresses that no book lies at, and which are no file
// names either: who wrote one meant a database.
var foreign = regexp.MustCompile(`^(?i)([a-z][a-z0-9+.-]+://|(file|sqlite|sqlite3|postgres|postgresql|mysql|mariadb):)`)

// InPostgres reports whether a book's name is the address of a database of
// PostgreSQL, and not of a file. An address of any other kind is an error.
func InPostgres(name string) (bool, error) {
	for _, scheme := range schemes {
		if strings.HasPrefix(name, scheme) {
			return true, nil
		}
	}
	if scheme := foreign.FindString(name); scheme != "" {
		return false, sootline.Errorf(sootline.Invalid, "name a file, or a database as postgres://USER@HOST/DATABASE", "a book does not lie at an address that begins with %s", scheme).Do(sootline.Give, "book")
	}
	return false, nil
}

// NameOf gives the name by which messages call a book: the file, or the address
// without what opens it.
func NameOf(name string) string {
	if in, err := InPostgres(name); err != nil || !in {
		return name
	}
	return postgresName(name)
}

const restoreHint = "put a backup in its place"

func notABook(path string) error {
	return sootline.Errorf(sootline.Invalid, "name another file", "%s is not a book", path).Do(sootline.Give, "book").Or("a listing is taken in").Do(sootline.TakeListings)
}

// damaged tells of a damage in one line; SQLite may quote a whole table.
func damaged(path string, err error) error {
	return &sootline.Error{Code: sootline.Damaged, Message: fmt.Sprintf("book %s is damaged: %s", path, clipped(err)), Ways: sootline.Out(restoreHint).Do(sootline.RestoreBackup), Err: err}
}

// clipped gives the beginning of what an error says, in one line.
func clipped(err error) string {
	const most = 160
	what := strings.Join(strings.Fields(err.Error()), " ")
	if len(what) > most {
		what = strings.ToValidUTF8(what[:most], "") + "…"
	}
	return what
}

func diskFull(path string) error {
	return sootline.Errorf(sootline.Unavailable, "make room and do it again", "the disk that holds %s is full; nothing was written", path)
}

// translate turns the drivers' errors into sentences; others pass through.
func translate(path, doing string, err error) error {
	if err == nil || sootline.ErrorCode(err) != "" {
		return err
	}
	if told := translateSQLite(path, doing, err); told != nil {
		return told
	}
	if told := translatePostgres(path, doing, err); told != nil {
		return told
	}
	return err
}
