package locks

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// Take takes the lock of an open file (LockFileEx). A folder has none here: the error is [errors.ErrUnsupported].
func Take(file *os.File, how How) error {
	info, err := file.Stat()
	if err != nil {
		return err
	}
	if info.IsDir() {
		return errors.ErrUnsupported
	}
	var flags uint32
	if how&Exclusive != 0 {
		flags |= windows.LOCKFILE_EXCLUSIVE_LOCK
	}
	if how&Wait == 0 {
		flags |= windows.LOCKFILE_FAIL_IMMEDIATELY
	}
	err = windows.LockFileEx(windows.Handle(file.Fd()), flags, 0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return ErrHeld
	}
	return err
}
