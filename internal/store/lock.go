package store

import (
	"errors"
	"os"
	"runtime"
	"syscall"

	"sootline"
	"sootline/internal/locks"
)

// Whoever has a book open holds a lock beside it, together with all others; who
// puts another file in its place holds it alone. The lock lies in a file of its
// own: SQLite's own locks on the book end when anybody of the same process closes it.

// lock is held until it is closed; nil where the folder takes no lock, as on a
// read-only disk, where nobody puts a book in another's place either.
type lock struct{ file *os.File }

func lockPath(path string) string { return path + "-lock" }

// share takes the lock that all hold who have the book open.
func share(path string) (*lock, error) {
	l, err := take(path, locks.Shared)
	if errors.Is(err, locks.ErrHeld) {
		return nil, sootline.Errorf(sootline.Unavailable, "wait until it is done and do it again", "book %s is being put back from a backup", path)
	}
	return l, err
}

// alone takes the lock that nobody else holds.
func alone(path string) (*lock, error) {
	l, err := take(path, locks.Exclusive)
	if errors.Is(err, locks.ErrHeld) {
		return nil, sootline.Errorf(sootline.Conflict, "end it first, and do it again", "another program has book %s open", path)
	}
	return l, err
}

func take(path string, how locks.How) (*lock, error) {
	for {
		file, err := os.OpenFile(lockPath(path), os.O_RDWR|os.O_CREATE, 0o600)
		if errors.Is(err, os.ErrPermission) || errors.Is(err, syscall.EROFS) || errors.Is(err, syscall.ENOSPC) {
			return nil, nil
		}
		if err != nil {
			return nil, sootline.Errorf(sootline.Unavailable, "its folder must be writable", "lock book %s: %w", path, err)
		}
		if err := locks.Take(file, how); err != nil {
			return nil, errors.Join(err, file.Close())
		}
		if held, err := file.Stat(); err == nil {
			if now, err := os.Stat(lockPath(path)); err == nil && os.SameFile(held, now) {
				return &lock{file}, nil
			}
		}
		if err := file.Close(); err != nil { // somebody discarded it meanwhile
			return nil, err
		}
	}
}

// discard gives the lock up, and leaves no file of it where nobody else holds it.
func (l *lock) discard() error {
	if l == nil {
		return nil
	}
	if locks.Take(l.file, locks.Exclusive) != nil {
		return l.file.Close()
	}
	if runtime.GOOS == "windows" { // there an open file cannot be removed
		return errors.Join(l.file.Close(), drop(l.file.Name()))
	}
	return errors.Join(drop(l.file.Name()), l.file.Close())
}
