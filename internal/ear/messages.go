package ear

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"strconv"
	"sync"

	"sootline"
)

// Messages is syslog (RFC 5424) over UDP (RFC 5426) and TCP (RFC 6587), at an address of this machine. Each message becomes a
// line, header and all: its style is learned as any other. Nothing is answered.
type Messages struct{ Address string }

// messageMost is the most bytes of a message; RFC 5425 asks for 8,192 at least (from memory).
const messageMost = 16 << 10

// sendersMost is how many connections are heard at a time.
const sendersMost = 64

// Listen hears until ctx ends.
func (m Messages) Listen(ctx context.Context, _ string, out Out) error {
	var config net.ListenConfig
	datagrams, err := config.ListenPacket(ctx, "udp", m.Address)
	if err != nil {
		return m.cannot(err)
	}
	streams, err := config.Listen(ctx, "tcp", datagrams.LocalAddr().String())
	if err != nil {
		return errors.Join(m.cannot(err), datagrams.Close())
	}
	h := &hearsay{out: out, slots: make(chan struct{}, sendersMost)}
	out.Say("syslog: hears at " + datagrams.LocalAddr().String())
	out.joined(true)
	stop := context.AfterFunc(ctx, func() { // nothing is written to them
		_ = datagrams.Close()
		_ = streams.Close()
	})
	defer stop()
	h.begin(func() error { return h.datagrams(datagrams) })
	h.begin(func() error { return h.streams(ctx, streams) })
	h.wait.Wait()
	if ctx.Err() != nil {
		return h.failed
	}
	return h.err()
}

func (m Messages) cannot(err error) error {
	return sootline.Errorf(sootline.Unavailable, "give an address of this machine and a free port", "cannot hear syslog at %s: %w", m.Address, err)
}

// hearsay puts what several senders say into one stream.
type hearsay struct {
	out    Out
	slots  chan struct{}
	wait   sync.WaitGroup
	lock   sync.Mutex
	failed error // of whoever takes what is heard
	ended  error
}

func (h *hearsay) err() error { return errors.Join(h.failed, h.ended) }

// begin runs a part beside the others.
func (h *hearsay) begin(run func() error) {
	h.wait.Add(1)
	go func() {
		defer h.wait.Done()
		var err error
		defer func() {
			h.lock.Lock()
			defer h.lock.Unlock()
			h.ended = errors.Join(h.ended, err)
		}()
		defer sootline.Caught(&err)
		err = run()
	}()
}

// tell hands a message on as a line.
func (h *hearsay) tell(b []byte) error {
	h.lock.Lock()
	defer h.lock.Unlock()
	if h.failed != nil {
		return h.failed
	}
	line := append(make([]byte, 0, len(b)+1), b...)
	for i, c := range line {
		if c == '\n' || c == '\r' {
			line[i] = ' ' // a message is one line
		}
	}
	h.failed = h.out.Hear(Heard{At: h.out.Now(), Bytes: append(line, '\n')})
	return h.failed
}

func (h *hearsay) datagrams(from net.PacketConn) error {
	buf := make([]byte, messageMost)
	for {
		n, _, err := from.ReadFrom(buf)
		if err != nil {
			return closed(err)
		}
		if err := h.tell(buf[:n]); err != nil {
			return err
		}
	}
}

func closed(err error) error {
	if errors.Is(err, net.ErrClosed) || errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

func (h *hearsay) streams(ctx context.Context, at net.Listener) error {
	for {
		conn, err := at.Accept()
		if err != nil {
			return closed(err)
		}
		select {
		case h.slots <- struct{}{}:
		default:
			h.out.Say("syslog: too many senders at a time; one was turned away")
			_ = conn.Close() // nothing was read
			continue
		}
		h.begin(func() error {
			defer func() { <-h.slots }()
			stop := context.AfterFunc(ctx, func() { _ = conn.Close() }) // only read from
			defer stop()
			err := h.messages(conn)
			_ = conn.Close() // only read from
			if err != nil {
				h.out.Say("syslog: a sender was left: " + err.Error())
			}
			return nil
		})
	}
}

// messages reads one sender: each message with its length before it, or a line each.
func (h *hearsay) messages(conn io.Reader) error {
	in := bufio.NewReaderSize(conn, messageMost)
	for {
		b, err := message(in)
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if len(b) == 0 {
			continue
		}
		if err := h.tell(b); err != nil {
			return err
		}
	}
}

var errFraming = errors.New("what it sends is no message")

// message reads the next message. One that begins with a figure has its length before it.
func message(in *bufio.Reader) ([]byte, error) {
	first, err := in.Peek(1)
	if err != nil {
		return nil, err
	}
	if first[0] < '1' || first[0] > '9' {
		line, err := in.ReadSlice('\n')
		if errors.Is(err, bufio.ErrBufferFull) {
			err = nil // cut there; the rest is a message of its own
		}
		if err == io.EOF && len(line) > 0 {
			err = nil
		}
		return trimmed(line), err
	}
	count, err := in.ReadSlice(' ')
	if err != nil || len(count) > 6 {
		return nil, errors.Join(errFraming, err)
	}
	n, err := strconv.Atoi(string(count[:len(count)-1]))
	if err != nil || n > messageMost {
		return nil, errFraming
	}
	b := make([]byte, n)
	_, err = io.ReadFull(in, b)
	return b, err
}

func trimmed(line []byte) []byte {
	for len(line) > 0 && (line[len(line)-1] == '\n' || line[len(line)-1] == '\r' || line[len(line)-1] == 0) {
		line = line[:len(line)-1]
	}
	return line
}
