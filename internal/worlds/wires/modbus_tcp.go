package wires

import (
	"encoding/binary"
	"errors"
	"io"
	"net"
	"sync"
	"time"
)

// ModbusTCP serves Modbus over TCP.
type ModbusTCP struct {
	*Modbus

	Address string // host and port; they stay the same after a restart

	conns    sync.Mutex
	listener net.Listener
	open     []net.Conn
}

// NewModbusTCP starts a server that answers to one unit.
func NewModbusTCP(t T, unit byte) *ModbusTCP {
	t.Helper()
	s := &ModbusTCP{Modbus: newModbus(unit)}
	if err := s.Start("127.0.0.1:0"); err != nil {
		t.Fatalf("no Modbus server: %v", err)
	}
	s.Journal.watch(t, "the Modbus server")
	t.Cleanup(s.Stop)
	return s
}

// Start listens at an address.
func (s *ModbusTCP) Start(address string) error {
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return err
	}
	s.conns.Lock()
	defer s.conns.Unlock()
	s.listener, s.Address = listener, listener.Addr().String()
	go s.accept(listener)
	return nil
}

func (s *ModbusTCP) accept(listener net.Listener) {
	for {
		conn, err := listener.Accept()
		if err != nil {
			return
		}
		s.conns.Lock()
		s.open = append(s.open, conn)
		s.conns.Unlock()
		go s.serve(conn)
	}
}

// Stop ends the server and its connections.
func (s *ModbusTCP) Stop() {
	s.conns.Lock()
	defer s.conns.Unlock()
	err := s.listener.Close()
	for _, conn := range s.open {
		err = errors.Join(err, conn.Close())
	}
	_ = err // it is to be gone, and may be already
	s.open = nil
}

// Restart ends all connections and listens again at the same address.
func (s *ModbusTCP) Restart() error {
	s.Stop()
	return s.Start(s.Address)
}

// header is the length of what goes before the request: transaction, protocol, length, unit.
const header = 7

func (s *ModbusTCP) serve(conn net.Conn) {
	defer func() { _ = conn.Close() }() // whoever asked may have gone
	for {
		head := make([]byte, header)
		if n, err := io.ReadFull(conn, head); err != nil {
			if n > 0 {
				s.note(head[:n], nil)
			}
			return
		}
		n := int(binary.BigEndian.Uint16(head[4:])) - 1
		if binary.BigEndian.Uint16(head[2:]) != 0 || n < 1 || n > 253 {
			s.note(head, nil)
			return
		}
		pdu := make([]byte, n)
		if n, err := io.ReadFull(conn, pdu); err != nil {
			s.note(append(head, pdu[:n]...), nil)
			return
		}
		s.note(append(append([]byte(nil), head...), pdu...), pdu)
		if !s.reply(conn, head, pdu) {
			return
		}
	}
}

// reply answers, or not; false ends the connection.
func (s *ModbusTCP) reply(conn net.Conn, head, pdu []byte) bool {
	ill := s.nextIll()
	answer := spoiled(ill, s.answer(pdu))
	if head[6] != s.unit {
		answer = []byte{pdu[0] | 0x80, 11} // a gateway whose target does not answer
	}
	out := append([]byte(nil), head...)
	switch ill {
	case Hangup:
		return false
	case Silent:
		return true
	case Slow:
		time.Sleep(s.late())
	case OtherUnit:
		out[6]++
	case OtherAsk:
		out[1]++
	}
	binary.BigEndian.PutUint16(out[4:], uint16(len(answer)+1))
	out = append(out, answer...)
	switch ill {
	case Misframed:
		out[5] += 4
	case Noise:
		out = garbled(out, 0)
	case Half:
		out = out[:len(out)/2]
	}
	_, err := conn.Write(out)
	return err == nil
}
