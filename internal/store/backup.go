package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"sootline"
)

// Backup writes a copy of the book as it stands to a file that must not exist
// yet. The book may be in use meanwhile. The copy appears whole or not at all.
func (s *Store) Backup(ctx context.Context, to string) error {
	if _, err := os.Lstat(to); err == nil {
		return sootline.Errorf(sootline.Conflict, "name a file that does not exist yet", "%s is there already; a backup never overwrites", to)
	}
	part := to + ".part"
	if err := os.RemoveAll(part); err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "write backup %s: %w", to, err)
	}
	if _, err := s.read.ExecContext(ctx, `VACUUM INTO $1`, part); err != nil {
		return errors.Join(translate(to, "write", err), os.RemoveAll(part))
	}
	if err := syncFile(part); err != nil {
		return errors.Join(sootline.Errorf(sootline.Unavailable, "", "write backup %s: %w", to, err), os.RemoveAll(part))
	}
	if err := os.Rename(part, to); err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "write backup %s: %w", to, err)
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

// Restore makes a book from a backup. The backup is checked first. A book that
// is there already is kept beside it under the name that is returned, so that a
// restore can be undone; nobody may have it open.
func Restore(ctx context.Context, backup, to string) (kept string, err error) {
	from, err := Open(ctx, backup, false)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	if err := from.Check(ctx); err != nil {
		return "", fmt.Errorf("backup %s: %w", backup, err)
	}
	part := to + ".restored"
	if err := from.Backup(ctx, part); err != nil {
		return "", err
	}
	if kept, err = setAside(to); err != nil {
		return "", errors.Join(err, os.Remove(part))
	}
	if err := os.Rename(part, to); err != nil {
		return kept, sootline.Errorf(sootline.Unavailable, "", "restore to %s: %w", to, err)
	}
	return kept, nil
}

// setAside moves a book and what SQLite keeps beside it to a free name.
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
	for _, tail := range []string{"", "-wal", "-shm"} {
		if err := os.Rename(path+tail, kept+tail); err != nil && !errors.Is(err, os.ErrNotExist) {
			return "", sootline.Errorf(sootline.Unavailable, "", "set aside %s: %w", filepath.Base(path), err)
		}
	}
	return kept, nil
}

// Check asks the database whether its file is sound. It does not look at what
// the logs say; following the chains does.
func (s *Store) Check(ctx context.Context) error {
	var answer string
	if err := s.read.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&answer); err != nil {
		return translate(s.path, "read", err)
	}
	if answer != "ok" {
		return sootline.Errorf(sootline.Damaged, "put a backup in its place with `sootline book restore BACKUP`", "book %s is damaged: %s", s.path, answer)
	}
	return nil
}
