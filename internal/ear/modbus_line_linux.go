package ear

import (
	"cmp"
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// open opens the line for asking and answers: eight bits and an even parity, as the standard has it where nothing else is said.
func (l Line) open() (wire, error) {
	file, err := os.OpenFile(l.Path, os.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	if err := setLine(file, cmp.Or(l.Speed, lineSpeed), unix.PARENB); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return file, nil
}
