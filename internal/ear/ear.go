// Package ear listens: to a serial port, a stream over TCP, a file that grows, messages of syslog. It takes bytes and never
// sends any: ports and files are opened for reading alone, and of a connection no more than its reading end is kept. What came
// is kept in a [Journal] before anybody reads it.
package ear

import (
	"context"
	"errors"
	"io"
	"net"
	"time"
)

// Heard is what arrived at an instant. Place is where the source stands behind it, in the source's own words.
type Heard struct {
	At    time.Time
	Bytes []byte
	Place string
}

// Source is what is listened to.
type Source interface {
	// Listen hands on what arrives until ctx ends, from place on; an empty place: from now on. It waits and tries again when
	// the other side is gone.
	Listen(ctx context.Context, place string, out Out) error
}

// Out is what a source is given to tell what it hears.
type Out struct {
	Hear func(Heard) error
	Say  func(text string) // that it is connected, silent, gone
	Now  func() time.Time
	// Joined is told when the other side is there, and when it is gone; nil: nobody asks.
	Joined func(bool)
}

func (o Out) joined(there bool) {
	if o.Joined != nil {
		o.Joined(there)
	}
}

// How long is waited before the next try, and how much is taken at once.
const (
	firstWait = time.Second
	lastWait  = time.Minute
	atOnce    = 16 << 10
)

// readOnly is the reading end of what is open. What is behind it cannot be written to through it.
type readOnly struct {
	read  func([]byte) (int, error)
	close func() error
}

// again opens and reads until ctx ends; what is gone is opened again, after a while that doubles up to a minute.
func again(ctx context.Context, out Out, name string, open func(context.Context) (*readOnly, error)) error {
	wait := firstWait
	for ctx.Err() == nil {
		from, err := open(ctx)
		if err == nil {
			out.Say(name + ": connected")
			out.joined(true)
			var some bool
			some, err = drain(ctx, out, from)
			out.joined(false)
			if some {
				wait = firstWait
			}
			if heard := (hearing{}); errors.As(err, &heard) {
				return heard.error
			}
		}
		if ctx.Err() != nil {
			break
		}
		out.Say(name + ": " + lost(err) + "; tried again in " + wait.String())
		select {
		case <-ctx.Done():
		case <-time.After(wait):
		}
		wait = min(2*wait, lastWait)
	}
	return nil
}

func lost(err error) string {
	if err == nil || errors.Is(err, io.EOF) {
		return "the other side ended it"
	}
	return err.Error()
}

// hearing is an error of whoever takes what is heard: then listening ends.
type hearing struct{ error }

// drain reads until the other side ends.
func drain(ctx context.Context, out Out, from *readOnly) (some bool, err error) {
	stop := context.AfterFunc(ctx, func() { _ = from.close() }) // a read that waits returns
	defer func() {
		if stop() {
			_ = from.close() // only read from: nothing can be lost
		}
	}()
	buf := make([]byte, atOnce)
	for {
		n, err := from.read(buf)
		if n > 0 {
			some = true
			if err := out.Hear(Heard{At: out.Now(), Bytes: append([]byte(nil), buf[:n]...)}); err != nil {
				return some, hearing{err}
			}
		}
		if err != nil {
			return some, err
		}
	}
}

// Stream is text over TCP, from whoever listens at an address.
type Stream struct{ Address string }

// Listen connects and reads.
func (s Stream) Listen(ctx context.Context, _ string, out Out) error {
	return again(ctx, out, s.Address, func(ctx context.Context) (*readOnly, error) {
		dialer := net.Dialer{Timeout: 10 * time.Second, KeepAlive: 15 * time.Second}
		conn, err := dialer.DialContext(ctx, "tcp", s.Address)
		if err != nil {
			return nil, err
		}
		return &readOnly{read: conn.Read, close: conn.Close}, nil
	})
}
