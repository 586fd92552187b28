package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"sootline"
)

// Backup writes a copy of the book as it stands to a file that must not exist
// yet. The book may be in use meanwhile. The copy appears whole or not at all.
func (s *Store) Backup(ctx context.Context, to string) error { return s.backup(ctx, to) }

func (d *inFile) backup(ctx context.Context, to string) error {
	if _, err := os.Lstat(to); err == nil {
		return sootline.Errorf(sootline.Conflict, "name a file that does not exist yet", "%s is there already; a backup never overwrites", to)
	}
	part := to + ".part"
	if _, err := os.Lstat(part); err == nil { // of a backup that was killed
		if err := os.Remove(part); err != nil {
			return cannotWrite(to, err)
		}
	}
	if _, err := d.reader.ExecContext(ctx, `VACUUM INTO $1`, part); err != nil {
		return errors.Join(translate(to, "write", err), drop(part))
	}
	err := errors.Join(os.Chmod(part, 0o600), syncFile(part))
	if err == nil {
		err = os.Rename(part, to)
	}
	if err != nil {
		return errors.Join(cannotWrite(to, err), drop(part))
	}
	return nil
}

func cannotWrite(path string, err error) error {
	return sootline.Errorf(sootline.Unavailable, "its folder must be writable and have room", "write %s: %w", path, err)
}

// drop removes what was begun, if it was.
func drop(part string) error {
	if err := os.Remove(part); !errors.Is(err, os.ErrNotExist) && !errors.Is(err, syscall.EROFS) {
		return err
	}
	return nil
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// MayRestore reports why a backup cannot be put in the place of a book of that name.
func MayRestore(name string) error {
	in, err := InPostgres(name)
	if err != nil || !in {
		return err
	}
	return sootline.Errorf(sootline.Invalid, "put the database back by its own means; or put the backup in a file, export each site's log from there and import it",
		"a backup is a file, and book %s lies in a database", NameOf(name))
}

// Restore makes a book from a backup, which it only reads. The copy is checked
// before it becomes the book, and indexed where an earlier version made it. A book that is there already is kept beside it
// under the name that is returned, so that a restore can be undone; nobody may
// have it open.
func Restore(ctx context.Context, backup, to string, working Working) (kept string, err error) {
	if err := MayRestore(to); err != nil {
		return "", err
	}
	if err := lookAt(backup, false); err != nil {
		return "", err
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
		return "", cannotWrite(to, err)
	}
	held, err := alone(to)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, held.discard()) }()
	part := to + ".restored"
	if err := copyBook(ctx, backup, part, working); err != nil {
		return "", errors.Join(err, dropBook(part))
	}
	if err := carryPeople(ctx, to, part); err != nil {
		return "", errors.Join(err, dropBook(part))
	}
	if kept, err = setAside(to); err != nil {
		return "", errors.Join(err, dropBook(part))
	}
	if err := errors.Join(os.Rename(part, to), drop(lockPath(part))); err != nil {
		return kept, cannotWrite(to, err)
	}
	return kept, nil
}

// copyBook copies a book that nobody writes to, in the place of what a killed
// restore may have left there, and checks the copy.
func copyBook(ctx context.Context, from, to string, working Working) error {
	if err := dropBook(to); err != nil {
		return cannotWrite(to, err)
	}
	for _, tail := range []string{"", "-wal"} {
		if err := copyFile(from+tail, to+tail); err != nil && !(tail != "" && errors.Is(err, os.ErrNotExist)) {
			return cannotWrite(to, err)
		}
	}
	book, err := Open(ctx, to, false, working)
	if err != nil {
		return err
	}
	err = book.check(ctx)
	if err == nil {
		err = book.Write(ctx, func(tx *Tx) error { return tx.beginEra(time.Now()) })
	}
	if err := errors.Join(err, book.Close()); err != nil {
		return fmt.Errorf("copy of %s: %w", from, err)
	}
	return nil
}

// carryPeople gives the copy the people and phones of the book that it is to
// replace: who was taken off since the backup stays off, and a password changed
// since stays changed. Nobody stays signed in. Where the book that is there cannot
// be read, the copy keeps its own.
func carryPeople(ctx context.Context, from, to string) error {
	there, err := os.Stat(from)
	copied, err2 := Open(ctx, to, false, nil)
	if err2 != nil {
		return err2
	}
	if err != nil || there.Size() == 0 || lookInto(from, false) != nil {
		return errors.Join(copied.signAllOut(ctx), copied.Close())
	}
	err = copied.takePeople(ctx, from)
	if err != nil { // it cannot be read, or an earlier version made it
		err = copied.signAllOut(ctx)
	}
	return errors.Join(err, copied.Close())
}

// signAllOut ends what the backup may hold and was ended since.
func (s *Store) signAllOut(ctx context.Context) error { return s.Write(ctx, (*Tx).signAllOut) }

func (tx *Tx) signAllOut() error {
	_, err := tx.tx.ExecContext(tx.ctx, "DELETE FROM session; DELETE FROM signed_in; DELETE FROM token; DELETE FROM invitation; DELETE FROM passkey")
	return err
}

// peopleTables are the tables of who may come in, and by what. What is bound stays
// bound, and what was ended stays ended.
func peopleTables() []string {
	return []string{"person", "person_mark", "person_factor", "phone", "phone_mark", "phone_site", "scope", "token", "invitation", "passkey", "security_event"}
}

// takePeople takes people and phones from another book of the same schema.
func (s *Store) takePeople(ctx context.Context, from string) error {
	conn, err := s.write.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close() //nolint:errcheck // it goes back to its pool
	if _, err := conn.ExecContext(ctx, "ATTACH DATABASE $1 AS there", from); err != nil {
		return err
	}
	taking := "BEGIN IMMEDIATE; DELETE FROM session; DELETE FROM signed_in;"
	for _, table := range peopleTables() {
		taking += fmt.Sprintf(" DELETE FROM %[1]s; INSERT INTO %[1]s SELECT * FROM there.%[1]s;", table)
	}
	_, err = conn.ExecContext(ctx, taking+" COMMIT")
	if err != nil {
		_, ended := conn.ExecContext(ctx, "ROLLBACK")
		err = errors.Join(err, ended)
	}
	_, detached := conn.ExecContext(ctx, "DETACH DATABASE there")
	return errors.Join(err, detached)
}

func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}

// dropBook removes a book and what SQLite keeps beside it.
func dropBook(path string) error {
	return errors.Join(drop(path), drop(path+"-wal"), drop(path+"-shm"), drop(lockPath(path)))
}

// setAside moves a book and what SQLite keeps beside it to a free name. The
// book itself goes last: if the program is killed on the way, no log of the old
// book lies beside the new one, and the next restore moves the rest.
func setAside(path string) (kept string, err error) {
	if _, err := os.Lstat(path); errors.Is(err, os.ErrNotExist) {
		return "", nil
	}
	for n := 1; ; n++ {
		kept = fmt.Sprintf("%s.before-restore-%d", path, n)
		if _, err := os.Lstat(kept); errors.Is(err, os.ErrNotExist) {
			break
		}
	}
	for _, tail := range []string{"-wal", "-shm", ""} {
		if err := os.Rename(path+tail, kept+tail); err != nil && !errors.Is(err, os.ErrNotExist) {
			return "", sootline.Errorf(sootline.Unavailable, "", "set aside %s: %w", filepath.Base(path), err)
		}
	}
	return kept, nil
}

// check asks SQLite whether the file is sound, and looks whether its tables are as
// they were made.
func (d *inFile) check(ctx context.Context) error {
	var answer string
	if err := d.reader.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&answer); err != nil {
		return translate(d.path, "read", err)
	}
	if answer != "ok" {
		return damaged(d.path, errors.New(answer))
	}
	return d.checkSchema(ctx)
}

// checkSchema compares the tables with those of a new book.
func (d *inFile) checkSchema(ctx context.Context) (err error) {
	fresh, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, fresh.Close()) }()
	fresh.SetMaxOpenConns(1) // each connection would have a memory of its own
	for _, name := range migrationNames() {
		text, err := migrations.ReadFile(name)
		if err != nil {
			return err
		}
		if _, err := fresh.ExecContext(ctx, string(text)); err != nil {
			return fmt.Errorf("migration %s: %w", name, err)
		}
	}
	want, err := schema(ctx, fresh)
	if err != nil {
		return err
	}
	got, err := schema(ctx, d.reader)
	if err != nil {
		return translate(d.path, "read", err)
	}
	if got != want {
		return damaged(d.path, errors.New("its tables are not as they were made"))
	}
	return nil
}

// schema tells all that a database says of its tables, but where they lie in
// the file. Tables that replicate the book by continuous copying of its write-ahead
// log adds to it (_litestream_seq and _litestream_lock, by the tool of that name) are
// not the book's, and no damage.
func schema(ctx context.Context, q querier) (text string, err error) {
	err = q.QueryRowContext(ctx, `
		SELECT GROUP_CONCAT(said, ';') FROM (
			SELECT type || ' ' || name || ' ' || tbl_name || ' ' || COALESCE(sql, '') AS said FROM sqlite_master
			WHERE tbl_name NOT LIKE '\_litestream\_%' ESCAPE '\' ORDER BY name)`).Scan(&text)
	return text, err
}
