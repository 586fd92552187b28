package keep

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"sootline"
	"sootline/internal/locks"
)

// folder is a place on a disk of this machine, or of another that is mounted here.
type folder string

const partEnds = ".part"

func (f folder) String() string { return string(f) }

func (f folder) Names(context.Context) ([]Named, error) {
	files, err := os.ReadDir(string(f))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, sootline.Errorf(sootline.NotFound, "name another place", "there is no folder %s", f)
	}
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "look at its disk and who may read it", "read folder %s: %w", f, err)
	}
	var all []Named
	for _, file := range files {
		if info, err := file.Info(); err == nil && info.Mode().IsRegular() {
			all = append(all, Named{file.Name(), info.Size()})
		}
	}
	return all, nil
}

// Put writes beside the name and gives it the name when it is whole and on the
// disk. A folder that is not there is made, those above it are not: a disk that is
// not mounted must not be mistaken for a new place.
func (f folder) Put(_ context.Context, name string, content io.Reader) error {
	if err := os.Mkdir(string(f), 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return cannotWrite(string(f), err)
	}
	path := filepath.Join(string(f), name)
	if _, err := os.Lstat(path); err == nil {
		return isThere(name, f)
	}
	f.dropAbandoned()
	part, err := os.CreateTemp(string(f), name+".*"+partEnds) // mode 0600
	if err != nil {
		return cannotWrite(path, err)
	}
	_ = flock(part) // without one it is given up after a day, see Sweep
	from := &failing{from: content}
	_, err = io.Copy(part, from)
	err = errors.Join(err, part.Sync(), part.Close())
	if err == nil {
		err = errors.Join(os.Rename(part.Name(), path), syncFolder(string(f)))
	}
	switch {
	case err == nil:
		return nil
	case from.err != nil:
		err = sootline.Errorf(sootline.Unavailable, "", "read what was to go to %s: %w", path, from.err)
	default:
		err = cannotWrite(path, err)
	}
	if gone := os.Remove(part.Name()); gone != nil && !errors.Is(gone, fs.ErrNotExist) {
		err = errors.Join(err, gone)
	}
	return err
}

func isThere(name string, place Place) error {
	return sootline.Errorf(sootline.Conflict, "wait a second and do it again", "%s is in %s already; a backup never overwrites", name, place)
}

// syncFolder writes the names in a folder to the disk; on Windows a folder has no such call.
func syncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	dir, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

func (f folder) Open(_ context.Context, name string) (io.ReadCloser, error) {
	file, err := os.Open(filepath.Join(string(f), name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, notThere(name, f)
	}
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "look at its disk and who may read it", "read %s in %s: %w", name, f, err)
	}
	return file, nil
}

func notThere(name string, place Place) error {
	return sootline.Errorf(sootline.NotFound, "look which there are", "there is no %s in %s", name, place)
}

func (f folder) Remove(_ context.Context, name string) error {
	if err := os.Remove(filepath.Join(string(f), name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return sootline.Errorf(sootline.Unavailable, "look at its disk and who may write to it", "remove %s from %s: %w", name, f, err)
	}
	return nil
}

func (f folder) Sweep(_ context.Context, before time.Time) error {
	files, err := os.ReadDir(string(f))
	if err != nil {
		return sootline.Errorf(sootline.Unavailable, "look at its disk and who may read it", "read folder %s: %w", f, err)
	}
	for _, file := range files {
		info, gone := file.Info()
		if gone != nil || !begunFor(file.Name()) || !info.ModTime().Before(before) {
			continue
		}
		err = errors.Join(err, f.Remove(context.Background(), file.Name()))
	}
	return err
}

// dropAbandoned removes what was begun by programs that are no more, as killed ones:
// who writes a part holds its lock. What cannot be removed takes room, and is Sweep's.
func (f folder) dropAbandoned() {
	files, err := os.ReadDir(string(f))
	if err != nil {
		return
	}
	for _, file := range files {
		if !begunFor(file.Name()) {
			continue
		}
		part, err := os.OpenFile(filepath.Join(string(f), file.Name()), os.O_RDWR, 0)
		if err != nil {
			continue
		}
		if flock(part) == nil {
			_ = os.Remove(part.Name())
		}
		_ = part.Close()
	}
}

// flock takes the lock of a file that nobody else holds; it ends when the file is
// closed.
func flock(file *os.File) error {
	return locks.Take(file, locks.Exclusive)
}

// begunFor tells whether a file was begun for a copy and has no name of its own yet.
func begunFor(name string) bool {
	rest, part := strings.CutSuffix(name, partEnds)
	end := strings.LastIndexByte(rest, '.')
	if !part || end < 0 {
		return false
	}
	_, ok := ParseName(rest[:end])
	return ok
}
