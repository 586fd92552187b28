//go:build unix

package locks

import (
	"errors"
	"os"
	"syscall"
)

// Take takes the lock of an open file or folder (flock(2)). Where the file system has none, the error is
// [errors.ErrUnsupported].
func Take(file *os.File, how How) error {
	flags := syscall.LOCK_SH
	if how&Exclusive != 0 {
		flags = syscall.LOCK_EX
	}
	if how&Wait == 0 {
		flags |= syscall.LOCK_NB
	}
	err := syscall.Flock(int(file.Fd()), flags)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return ErrHeld
	}
	return err
}
