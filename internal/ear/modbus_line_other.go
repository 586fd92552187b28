//go:build !linux

package ear

import "os"

// open opens the line. Its speed and parity are as the system has set them.
func (l Line) open() (wire, error) { return os.OpenFile(l.Path, os.O_RDWR, 0) }
