package wires

import (
	"errors"
	"net"
	"sync"
)

// Stream is a server that sends text over TCP to whoever connects. What the program sends to it is kept as an attempt to write.
type Stream struct {
	*Voice

	Journal Journal
	Address string // host and port; they stay the same after a restart

	mu       sync.Mutex
	listener net.Listener
	heard    []net.Conn
	joined   chan struct{}
}

// NewStream starts a server that sends at a pace in bytes a second; 0: as fast as it goes.
func NewStream(t T, speed int, seed uint64) *Stream {
	t.Helper()
	s := &Stream{joined: make(chan struct{}, 1000)}
	s.Voice = newVoice(speed, seed, s.out)
	if err := s.Start("127.0.0.1:0"); err != nil {
		t.Fatalf("no stream: %v", err)
	}
	s.Journal.watch(t, "the stream of text")
	t.Cleanup(s.Stop)
	return s
}

// Start listens at an address.
func (s *Stream) Start(address string) error {
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return err
	}
	s.mu.Lock()
	s.listener, s.Address = listener, listener.Addr().String()
	s.mu.Unlock()
	go s.accept(listener)
	return nil
}

func (s *Stream) accept(listener net.Listener) {
	for {
		conn, err := listener.Accept()
		if err != nil {
			return
		}
		s.mu.Lock()
		s.heard = append(s.heard, conn)
		s.mu.Unlock()
		s.joined <- struct{}{}
		go keep(conn, &s.Journal, "bytes to a stream that is only heard")
	}
}

// keep notes all that comes over a connection as attempts to write.
func keep(conn net.Conn, j *Journal, what string) {
	b := make([]byte, 4096)
	for {
		n, err := conn.Read(b)
		if n > 0 {
			j.note(what, true, b[:n])
		}
		if err != nil {
			return
		}
	}
}

// Joined gets a value whenever somebody connected.
func (s *Stream) Joined() <-chan struct{} { return s.joined }

// out sends to all who listen; one who has gone away hears nothing.
func (s *Stream) out(b []byte) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i := 0; i < len(s.heard); {
		if _, err := s.heard[i].Write(b); err != nil {
			s.heard = append(s.heard[:i], s.heard[i+1:]...)
			continue
		}
		i++
	}
	return nil
}

// Stop ends the server and its connections.
func (s *Stream) Stop() {
	s.mu.Lock()
	defer s.mu.Unlock()
	err := s.listener.Close()
	for _, conn := range s.heard {
		err = errors.Join(err, conn.Close())
	}
	_ = err // it is to be gone, and may be already
	s.heard = nil
}

// Restart ends the connections and listens again at the same address.
func (s *Stream) Restart() error {
	s.Stop()
	return s.Start(s.Address)
}
