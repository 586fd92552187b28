package ear

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// speeds are what printer ports are set to, the commonest first: common practice, no source.
var speeds = []struct {
	bits int
	code uint32
}{
	{9600, unix.B9600},
	{19200, unix.B19200},
	{4800, unix.B4800},
	{2400, unix.B2400},
	{1200, unix.B1200},
	{38400, unix.B38400},
	{57600, unix.B57600},
	{115200, unix.B115200},
}

// connect opens the port at a speed, which it finds out where it is 0: the first at which what arrives is text.
func (p Port) connect(ctx context.Context, out Out, speed *int) (*readOnly, error) {
	file, err := p.open()
	if err != nil {
		return nil, err
	}
	if *speed > 0 {
		if err := setSpeed(file, *speed); err != nil {
			return nil, errors.Join(err, file.Close())
		}
		return &readOnly{read: file.Read, close: file.Close}, nil
	}
	bits, first, err := p.find(ctx, file, out)
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	*speed = bits
	out.Say(fmt.Sprintf("%s: text at %d bits a second", p.Path, bits))
	return &readOnly{read: func(b []byte) (int, error) {
		if n := copy(b, first); n > 0 {
			first = first[n:]
			return n, nil
		}
		return file.Read(b)
	}, close: file.Close}, nil
}

// open opens the port without becoming its terminal, and without waiting for the other side.
func (p Port) open() (*os.File, error) {
	return os.OpenFile(p.Path, os.O_RDONLY|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
}

// enough is how many bytes tell whether a speed is right, and longestTry how long is waited for them.
const (
	enough     = 40
	longestTry = 20 * time.Second
)

// find tries speeds until what arrives is text, and gives what arrived then.
func (p Port) find(ctx context.Context, file *os.File, out Out) (bits int, first []byte, err error) {
	for ctx.Err() == nil {
		for _, s := range speeds {
			if err := setSpeed(file, s.bits); err != nil {
				return 0, nil, err
			}
			first, err := someBytes(ctx, file)
			if err != nil {
				return 0, nil, err
			}
			if isText(first) {
				return s.bits, first, nil
			}
			if len(first) > 0 {
				out.Say(fmt.Sprintf("%s: no text at %d bits a second", p.Path, s.bits))
			}
			if ctx.Err() != nil {
				break
			}
		}
	}
	return 0, nil, ctx.Err()
}

// someBytes waits for enough bytes to tell.
func someBytes(ctx context.Context, file *os.File) ([]byte, error) {
	var all []byte
	end := time.Now().Add(longestTry)
	buf := make([]byte, 256)
	for len(all) < enough && ctx.Err() == nil && (len(all) == 0 || time.Now().Before(end)) {
		if err := file.SetReadDeadline(time.Now().Add(500 * time.Millisecond)); err != nil {
			return all, err
		}
		n, err := file.Read(buf)
		all = append(all, buf[:n]...)
		if err != nil && !errors.Is(err, os.ErrDeadlineExceeded) {
			return all, err
		}
	}
	return all, file.SetReadDeadline(time.Time{})
}

// setSpeed sets a port to a speed, eight bits, without changing a byte on the way.
func setSpeed(file *os.File, bits int) error { return setLine(file, bits, 0) }

// setLine sets a line to a speed and a parity.
func setLine(file *os.File, bits int, parity uint32) error {
	raw, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var set error
	err = raw.Control(func(fd uintptr) {
		t, err := unix.IoctlGetTermios(int(fd), unix.TCGETS)
		if err != nil {
			set = err
			return
		}
		t.Iflag, t.Oflag, t.Lflag = unix.IGNBRK, 0, 0
		t.Cflag = unix.CREAD | unix.CLOCAL | unix.CS8 | parity
		t.Cc[unix.VMIN], t.Cc[unix.VTIME] = 1, 0
		for _, s := range speeds {
			if s.bits == bits {
				t.Cflag |= s.code
				t.Ispeed, t.Ospeed = s.code, s.code
			}
		}
		set = unix.IoctlSetTermios(int(fd), unix.TCSETS, t)
	})
	return errors.Join(err, set)
}
