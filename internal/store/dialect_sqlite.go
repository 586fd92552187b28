package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"modernc.org/sqlite" // registers the driver "sqlite"
	lib "modernc.org/sqlite/lib"

	"sootline"
)

// A book in a file of SQLite's. See also backup.go, health.go and lock.go.

// inFile is what is done where a book lies in a file.
type inFile struct {
	path        string
	pen, reader *sql.DB
	file        os.FileInfo // of the book as it was opened; nil until it is
	lock        *lock
}

// applicationID marks a SQLite file as a book ("Soot" in ASCII).
const applicationID = 0x536f6f74

// openFile opens the book in a file, or makes the file.
func openFile(_ context.Context, path string, create bool) (at opened, err error) {
	if err := lookAt(path, create); err != nil {
		return at, err
	}
	held, err := share(path)
	if err != nil {
		return at, err
	}
	write, read, err := connectFile(path)
	if err != nil {
		return at, errors.Join(err, held.discard())
	}
	return opened{path, write, read, &inFile{path: path, pen: write, reader: read, lock: held}}, nil
}

func connectFile(path string) (write, read *sql.DB, err error) {
	// SQLite gives what it keeps beside a book the modes of the book.
	if made, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600); err == nil {
		if err := made.Close(); err != nil {
			return nil, nil, cannotWrite(path, err)
		}
	}
	if write, err = sql.Open("sqlite", dsn(path)); err != nil {
		return nil, nil, translate(path, "open", err)
	}
	if read, err = sql.Open("sqlite", dsn(path)); err != nil {
		return nil, nil, errors.Join(translate(path, "open", err), write.Close())
	}
	write.SetMaxOpenConns(1)
	read.SetMaxOpenConns(4)
	return write, read, nil
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

func (d *inFile) close() error {
	held := d.lock
	d.lock = nil // closing twice is no mistake
	return held.discard()
}

// alone is asked of who holds the file's one pen.
func (d *inFile) alone(*Tx, string) error { return nil }

func (d *inFile) text(migration string) string { return migration }

// snapshot is a transaction that waits for nobody's pen.
func (d *inFile) snapshot() *sql.TxOptions { return &sql.TxOptions{ReadOnly: true} }

// write runs a transaction that holds the file's one pen from its start.
func (d *inFile) write(ctx context.Context, _ reach, do func(*Tx) error) error {
	tx, err := d.pen.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := transact(ctx, d.path, tx, d, do); err != nil {
		return err
	}
	return tx.Commit()
}

// version is the schema's version of the open book, 0 for an empty file.
func (d *inFile) version(ctx context.Context, q querier) (version int, err error) {
	if err := q.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil || version == 0 {
		return 0, err
	}
	var id int
	if err := q.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return 0, err
	}
	if id != applicationID {
		return 0, notABook(d.path)
	}
	return version, nil
}

func (d *inFile) setVersion(tx *Tx, version int) error {
	if _, err := tx.tx.ExecContext(tx.ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	_, err := tx.tx.ExecContext(tx.ctx, fmt.Sprintf("PRAGMA user_version = %d", version))
	return err
}

func (d *inFile) mustBeEmpty(tx *Tx) error {
	var tables int
	if err := tx.tx.QueryRowContext(tx.ctx, "SELECT COUNT(*) FROM sqlite_master").Scan(&tables); err != nil {
		return err
	}
	if tables > 0 {
		return notABook(tx.path)
	}
	return nil
}

// dsn puts the pragmas where every connection of a pool gets them; by Exec only
// one would. The wait for another process's pen comes first, so that it holds
// for the rest. Immediate transactions do not fail when they turn from reading
// to writing.
func dsn(path string) string {
	pragmas := []string{"busy_timeout(30000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "cache_size(-16384)"}
	query := url.Values{"_pragma": pragmas, "_txlock": {"immediate"}}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + query.Encode()
}

// untouched opens a file that is not to be touched. Where no write-ahead log lies
// beside it nobody is writing, and SQLite is told so: it would make one.
func untouched(path string) string {
	query := url.Values{"mode": {"ro"}, "_pragma": {"busy_timeout(30000)"}}
	if _, err := os.Stat(path + "-wal"); errors.Is(err, os.ErrNotExist) {
		query.Set("immutable", "1")
	}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + query.Encode()
}

// fileMark begins every file of SQLite.
const fileMark = "SQLite format 3\x00"

// LooksLikeABook reads how a file begins, and tells whether it may be a book.
func LooksLikeABook(file io.Reader) bool {
	var begin [len(fileMark)]byte
	_, err := io.ReadFull(file, begin[:])
	return err == nil && string(begin[:]) == fileMark
}

// lookInto reads the file's head (SQLite file format, section 1.3): that it is
// SQLite, not shorter than the head says it is, and a book of a version that is
// known. SQLite itself would write to the file before it came to the last two.
//
// With a write-ahead log beside it the file may be anything that a killed
// program left half moved from the log to the file; SQLite then puts it right.
func lookInto(path string, create bool) error {
	err := lookOnce(path, create)
	// What is read while another program closes the book may be half old and
	// half new; what is wrong stays wrong.
	for try := 0; err != nil && try < 3; try++ {
		time.Sleep(20 * time.Millisecond)
		err = lookOnce(path, create)
	}
	return err
}

func lookOnce(path string, create bool) error {
	f, err := os.Open(path)
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "look at who may read the file", "open book %s: %w", path, err)
	}
	defer f.Close()
	var head [100]byte
	n, err := io.ReadFull(f, head[:])
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return sootline.Errorf(sootline.Unavailable, "", "read book %s: %w", path, err)
	}
	if !strings.HasPrefix(string(head[:n]), fileMark[:min(n, len(fileMark))]) {
		return notABook(path)
	}
	if n < len(head) {
		return cutShort(path)
	}
	if wal, err := os.Stat(path + "-wal"); err == nil && wal.Size() > 0 {
		return nil
	}
	info, err := f.Stat() // after the head: the file only grows
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "read book %s: %w", path, err)
	}
	page := int64(binary.BigEndian.Uint16(head[16:]))
	if page == 1 {
		page = 65536
	}
	if pages := int64(binary.BigEndian.Uint32(head[28:])); info.Size() < page*pages {
		return cutShort(path)
	} else if pages == 1 && create {
		return nil // perhaps a book that was about to be made; a look at its tables tells
	}
	if id := binary.BigEndian.Uint32(head[68:]); id != applicationID {
		return notABook(path)
	}
	return known(path, int(binary.BigEndian.Uint32(head[60:])))
}

func cutShort(path string) error {
	return sootline.Errorf(sootline.Damaged, restoreHint, "book %s was cut short: the file is smaller than it says it is", path).Do(sootline.RestoreBackup)
}

// indexTable is how SQLite names what an error was about, where that is the index.
var indexTable = regexp.MustCompile(`no such (table|column): (site_head|station_log|kind_page|entry_block)`)

// translateSQLite turns an error of SQLite's into a sentence; nil: it is none that
// has one.
func translateSQLite(path, doing string, err error) error {
	var fault *sqlite.Error
	if !errors.As(err, &fault) {
		return nil
	}
	if fault.Code() == lib.SQLITE_IOERR_SHMSIZE { // no room for the index of the write-ahead log
		return diskFull(path)
	}
	switch fault.Code() & 0xff {
	case lib.SQLITE_NOTADB:
		return notABook(path)
	case lib.SQLITE_ERROR: // the statements are fixed: an error in one is a table that is not as it was made
		if indexTable.MatchString(err.Error()) {
			return indexDamaged(path, err)
		}
		return damaged(path, err)
	case lib.SQLITE_CORRUPT:
		return damaged(path, err)
	case lib.SQLITE_CONSTRAINT: // what is written is new by the pages; only the index can say that it is there
		return indexDamaged(path, err)
	case lib.SQLITE_FULL:
		return diskFull(path)
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		return sootline.Errorf(sootline.Unavailable, "wait until it is done and do it again", "another program is writing to book %s", path)
	case lib.SQLITE_READONLY, lib.SQLITE_CANTOPEN, lib.SQLITE_PERM:
		return sootline.Errorf(sootline.Unavailable, "the file and its folder must be writable, else name another", "cannot %s book %s: %w", doing, path, err).Do(sootline.Give, "book")
	case lib.SQLITE_IOERR:
		return sootline.Errorf(sootline.Unavailable, "look at the disk: it may be full or failing; nothing was written", "cannot %s book %s: %w", doing, path, err)
	}
	return nil
}

// tryCommit writes the version of the schema as it stands, which SQLite does by writing
// the first page of the file (OP_SetCookie): a commit as any other, that changes nothing.
// A connection that others keep waiting is not waited for.
func tryCommit(ctx context.Context, conn *sql.Conn, path string) error {
	const patience, usual = "PRAGMA busy_timeout = 200", "PRAGMA busy_timeout = 30000"
	if _, err := conn.ExecContext(ctx, patience); err != nil {
		return translate(path, "write to", err)
	}
	defer conn.ExecContext(context.WithoutCancel(ctx), usual) //nolint:errcheck // it sets a number in memory
	var version int
	if err := conn.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return translate(path, "read", err)
	}
	_, err := conn.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", version))
	var fault *sqlite.Error
	if errors.As(err, &fault) && fault.Code()&0xff == lib.SQLITE_BUSY {
		return nil // another program is writing
	}
	return translate(path, "write to", err)
}
