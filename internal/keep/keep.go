// Package keep keeps copies of one file elsewhere: in a folder, or in object
// storage that speaks the S3 protocol; under names that tell when, encrypted to
// whom it may concern, fewer of them the older they are. It knows nothing of what
// the file holds, nor of fire detection.
//
// A [Place] is where copies are kept. [Put] brings one there, [Fetch] brings one
// back, [List] and [Choose] tell which there are, [Thin] removes what is too much.
// What came of it is remembered by a [State], which is a file of its own.
package keep

import (
	"bufio"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"syscall"
	"time"

	"filippo.io/age"

	"sootline"
)

// Place is somewhere that files are kept by name. Its errors are sentences.
type Place interface {
	// String gives the place, the same for all who name it; no secret is in it.
	String() string
	// Names lists what there is, with sizes, in no order.
	Names(ctx context.Context) ([]Named, error)
	// Put keeps what the reader gives, of unknown length. It appears under its name
	// when it is whole, or not at all, and never in the place of another.
	Put(ctx context.Context, name string, content io.Reader) error
	// Open gives what is kept under a name.
	Open(ctx context.Context, name string) (io.ReadCloser, error)
	// Remove removes it.
	Remove(ctx context.Context, name string) error
	// Sweep removes what was begun before an instant and never came to its end.
	Sweep(ctx context.Context, before time.Time) error
}

// Named is a file of a place.
type Named struct {
	Name string
	Size int64 // bytes
}

// Put brings a file to a place, under the name of an instant, encrypted to the
// recipients where there are any.
func Put(ctx context.Context, place Place, file string, at time.Time, to []age.Recipient) (Copy, error) {
	in, err := os.Open(file)
	if err != nil {
		return Copy{}, sootline.Errorf(sootline.Unavailable, "", "read %s: %w", file, err)
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return Copy{}, sootline.Errorf(sootline.Unavailable, "", "read %s: %w", file, err)
	}
	content := io.Reader(in)
	if len(to) > 0 {
		if content, err = age.EncryptReader(in, to...); err != nil {
			return Copy{}, sootline.Errorf(sootline.Invalid, "name other recipients", "the backup cannot be encrypted: %w", err)
		}
	}
	counted := &counter{from: content}
	ctx, cancel := context.WithTimeout(ctx, patience(info.Size()))
	defer cancel()
	kept := Copy{At: at.UTC().Truncate(time.Second), Encrypted: len(to) > 0}
	if err := place.Put(ctx, kept.Name(), counted); err != nil {
		return Copy{}, err
	}
	kept.Size = counted.n
	return kept, nil
}

// patience is how long a file of so many bytes may be on its way: an hour, and
// what a line of 100 kB a second needs.
func patience(size int64) time.Duration {
	return time.Hour + time.Duration(size/100_000)*time.Second
}

type counter struct {
	from io.Reader
	n    int64
}

func (c *counter) Read(b []byte) (int, error) {
	n, err := c.from.Read(b)
	c.n += int64(n)
	return n, err
}

// Fetch brings a copy back into a file that must not exist yet.
func Fetch(ctx context.Context, place Place, kept Copy, file string, with []age.Identity) error {
	ctx, cancel := context.WithTimeout(ctx, patience(kept.Size))
	defer cancel()
	in, err := place.Open(ctx, kept.Name())
	if err != nil {
		return err
	}
	return errors.Join(writeOpened(in, kept.Name(), place.String(), file, with), in.Close())
}

// Sealed tells whether a file is encrypted; what cannot be read is not.
func Sealed(file string) bool {
	in, err := os.Open(file)
	if err != nil {
		return false
	}
	defer in.Close()
	begin, err := bufio.NewReader(in).Peek(len(ageMark))
	return err == nil && string(begin) == ageMark
}

// Decrypt writes what an encrypted file holds into another, which must not exist yet.
func Decrypt(from, to string, with []age.Identity) error {
	in, err := os.Open(from)
	if err != nil {
		return sootline.Errorf(sootline.NotFound, "name another file", "read %s: %w", from, err)
	}
	defer in.Close()
	return writeOpened(in, from, "", to, with)
}

// ageMark begins every encrypted file (C2SP age specification, version line; from memory).
const ageMark = "age-encryption.org/v1\n"

// writeOpened writes what a copy holds, decrypted where it is encrypted.
func writeOpened(in io.Reader, name, where, file string, with []age.Identity) (err error) {
	content, err := opened(in, name, with)
	if err != nil {
		return err
	}
	out, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return cannotWrite(file, err)
	}
	from := &failing{from: content}
	_, err = io.Copy(out, from)
	switch {
	case err == nil:
	case from.err != nil:
		if sootline.ErrorCode(err) == "" {
			err = sootline.Errorf(sootline.Damaged, "take an earlier one", "%s cannot be read to its end: %w", at(name, where), err)
		}
	default:
		err = cannotWrite(file, err)
	}
	if err = errors.Join(err, out.Sync(), out.Close()); err != nil {
		return errors.Join(err, os.Remove(file))
	}
	return nil
}

func at(name, place string) string {
	if place == "" {
		return name
	}
	return name + " in " + place
}

// failing remembers whether it was the reading that failed.
type failing struct {
	from io.Reader
	err  error
}

func (f *failing) Read(b []byte) (int, error) {
	n, err := f.from.Read(b)
	if err != nil && err != io.EOF {
		f.err = err
	}
	return n, err
}

// cannotWrite says in a sentence why a file was not written.
func cannotWrite(path string, err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return sootline.Errorf(sootline.Unavailable, "make room and do it again", "the disk that holds %s is full", path)
	}
	if fault, ok := errors.AsType[*fs.PathError](err); ok {
		err = fault.Err // the path is said already
	}
	return sootline.Errorf(sootline.Unavailable, "its folder must be there, be writable and have room", "write %s: %w", path, err)
}

// List gives the copies of a place, the newest first. What bears another name is
// passed over.
func List(ctx context.Context, place Place) ([]Copy, error) {
	names, err := place.Names(ctx)
	if err != nil {
		return nil, err
	}
	var all []Copy
	for _, n := range names {
		if kept, ok := ParseName(n.Name); ok {
			kept.Size = n.Size
			all = append(all, kept)
		}
	}
	slices.SortFunc(all, func(a, b Copy) int { return b.compare(a) })
	return all, nil
}
