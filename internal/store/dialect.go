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
	"regexp"
	"strings"
	"time"

	"modernc.org/sqlite" // registers the driver "sqlite"
	lib "modernc.org/sqlite/lib"

	"sootline"
)

// Everything that is SQLite's own.

// applicationID marks a SQLite file as a book ("Soot" in ASCII).
const applicationID = 0x536f6f74

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

const restoreHint = "put a backup in its place"

func notABook(path string) error {
	return sootline.Errorf(sootline.Invalid, "name another file", "%s is not a book", path).Do(sootline.Give, "book").Or("a listing is taken in").Do(sootline.TakeListings)
}

func cutShort(path string) error {
	return sootline.Errorf(sootline.Damaged, restoreHint, "book %s was cut short: the file is smaller than it says it is", path).Do(sootline.RestoreBackup)
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

// indexTable is how SQLite names what an error was about, where that is the index.
var indexTable = regexp.MustCompile(`no such (table|column): (station_log|kind_page|entry_block)`)

// readOnly is a transaction that waits for nobody's pen.
var readOnly = &sql.TxOptions{ReadOnly: true}

// translate turns the driver's errors into sentences; others pass through.
func translate(path, doing string, err error) error {
	var fault *sqlite.Error
	if err == nil || sootline.ErrorCode(err) != "" || !errors.As(err, &fault) {
		return err
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
	return err
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
