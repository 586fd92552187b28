package store

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"sootline"
)

// trial keeps what the last try to write found.
type trial struct {
	mu     sync.Mutex
	at     time.Time
	err    error
	failed atomic.Bool // a write failed since, by the fault of the machine
}

const (
	// trialRoom is what must find room beside the book: some entries, and what SQLite
	// writes ahead of them.
	trialRoom = 256 << 10 // bytes
	// trialHolds is how long a try stands for the next who ask.
	trialHolds = 3 * time.Second
	// penPatience is how long a try waits for the pen: who holds it longer is writing.
	penPatience = 500 * time.Millisecond
)

// Writable tries whether the book can be written to: whether its file is still the
// book, whether there is room beside it, by a file of some size that goes to the disk
// and away again, and whether the book itself takes a commit that changes nothing it
// says. It is tried at most once in three seconds, and anew after a write that failed.
// Where somebody else holds the pen, they are writing, and the commit is not tried.
func (s *Store) Writable(ctx context.Context) error {
	s.trial.mu.Lock()
	defer s.trial.mu.Unlock()
	if since := time.Since(s.trial.at); since >= 0 && since < trialHolds && !s.trial.failed.Load() {
		return s.trial.err
	}
	s.trial.failed.Store(false)
	s.trial.err = s.dialect.tryWriting(context.WithoutCancel(ctx)) // who asks next wants the answer too
	s.trial.at = time.Now()
	return s.trial.err
}

func (d *inFile) tryWriting(ctx context.Context) error {
	if err := d.still(); err != nil {
		return err
	}
	if err := tryRoom(d.path); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, penPatience)
	defer cancel()
	conn, err := d.pen.Conn(ctx)
	if err != nil {
		if errors.Is(err, context.DeadlineExceeded) {
			return nil
		}
		return translate(d.path, "write to", err)
	}
	defer conn.Close() //nolint:errcheck // it goes back to its pool
	return tryCommit(ctx, conn, d.path)
}

// tryRoom writes a file beside the book, to the disk, and removes it. Its name is always
// the same, so that what a killed program left is written over.
func tryRoom(path string) error {
	trial := path + "-room"
	f, err := os.OpenFile(trial, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return noRoom(path, err)
	}
	_, err = io.CopyN(f, rand.Reader, trialRoom) // not zeros, which some disks only count
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close(), drop(trial)); err != nil {
		return noRoom(path, err)
	}
	return nil
}

func noRoom(path string, err error) error {
	return sootline.Errorf(sootline.Unavailable, "make room, or see that its folder can be written to", "nothing can be written beside book %s: %w", path, cause(err))
}

// cause leaves out the name of a file that nobody knows.
func cause(err error) error {
	if at, ok := errors.AsType[*os.PathError](err); ok {
		return fmt.Errorf("%s: %w", at.Op, at.Err)
	}
	return err
}

// noteWrite remembers that a write failed by the fault of the machine.
func (s *Store) noteWrite(err error) error {
	if sootline.ErrorCode(err) == sootline.Unavailable {
		s.trial.failed.Store(true)
	}
	return err
}
