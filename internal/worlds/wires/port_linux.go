package wires

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"golang.org/x/sys/unix"
)

// port is a serial port: a pair of pseudo-terminals.
type port struct {
	// Path is where the port is opened; it stays the same after a restart.
	Path string

	hear   func(b []byte) // what the program writes
	mu     sync.Mutex
	master *os.File
	slave  *os.File // held open, so that the port lives when nobody listens
	speed  uint32   // as package unix has it; 0: any will do
	closed bool
}

// newPort makes a port in a folder. bits is its speed in bits a second; 0: any.
func newPort(t T, folder string, bits int, hear func(b []byte)) *port {
	t.Helper()
	p := &port{Path: filepath.Join(folder, "port"), hear: hear, speed: speeds[bits]}
	if bits != 0 && p.speed == 0 {
		t.Fatalf("no speed of %d bits a second", bits)
	}
	if err := p.open(); err != nil {
		t.Fatalf("a port could not be made: %v", err)
	}
	t.Cleanup(p.end)
	return p
}

var speeds = map[int]uint32{
	300: unix.B300, 1200: unix.B1200, 2400: unix.B2400, 4800: unix.B4800, 9600: unix.B9600, 19200: unix.B19200,
	38400: unix.B38400, 57600: unix.B57600, 115200: unix.B115200,
}

// pair makes a pair of pseudo-terminals.
func pair() (master, slave *os.File, err error) {
	fd, err := unix.Open("/dev/ptmx", unix.O_RDWR|unix.O_NOCTTY|unix.O_CLOEXEC|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil, nil, err
	}
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0)
	}
	master = os.NewFile(uintptr(fd), "/dev/ptmx")
	if err == nil {
		slave, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	}
	if err == nil {
		err = raw(slave)
	}
	if err != nil {
		return nil, nil, errors.Join(err, master.Close())
	}
	return master, slave, nil
}

// raw lets bytes through as they are, without an echo.
func raw(f *os.File) error {
	settings, err := unix.IoctlGetTermios(int(f.Fd()), unix.TCGETS)
	if err != nil {
		return err
	}
	settings.Iflag, settings.Oflag, settings.Lflag = 0, 0, 0
	settings.Cflag |= unix.CS8 | unix.CREAD
	return unix.IoctlSetTermios(int(f.Fd()), unix.TCSETS, settings)
}

func (p *port) open() error {
	master, slave, err := pair()
	if err != nil {
		return err
	}
	name := p.Path + ".new"
	if err := errors.Join(os.Symlink(slave.Name(), name), os.Rename(name, p.Path)); err != nil {
		return err
	}
	p.mu.Lock()
	p.master, p.slave, p.closed = master, slave, false
	p.mu.Unlock()
	go p.listen(master)
	return nil
}

func (p *port) listen(master *os.File) {
	b := make([]byte, 4096)
	for {
		n, err := master.Read(b)
		if n > 0 {
			p.hear(b[:n])
		}
		if err != nil {
			return
		}
	}
}

// patience is how long bytes wait for somebody to take them; then they are lost, as on a wire.
const patience = 2 * time.Second

// out writes as the wire would have it: garbled, where the port is opened at another speed.
func (p *port) out(b []byte) error {
	p.mu.Lock()
	master, slave := p.master, p.slave
	p.mu.Unlock()
	settings, err := unix.IoctlGetTermios(int(slave.Fd()), unix.TCGETS)
	if err != nil {
		return err
	}
	if at := settings.Cflag & unix.CBAUD; p.speed != 0 && at != p.speed {
		b = garbled(b, byte(at))
	}
	if err := master.SetWriteDeadline(time.Now().Add(patience)); err != nil {
		return err
	}
	if _, err = master.Write(b); errors.Is(err, os.ErrDeadlineExceeded) {
		return nil
	}
	return err
}

// Restart ends the port, and makes it anew at the same path: whoever listens has to open it again.
func (p *port) Restart() error {
	p.end()
	return p.open()
}

func (p *port) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.closed {
		p.closed = true
		_ = errors.Join(p.master.Close(), p.slave.Close()) // a port that is gone is what is wanted
	}
}
