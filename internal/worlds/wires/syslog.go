package wires

import (
	"fmt"
	"net"
	"strings"
	"time"
)

// Framing is how messages follow each other.
type Framing int

// The ways of RFC 5426 and RFC 6587.
const (
	Datagrams Framing = iota // UDP: a message is a datagram
	Counted                  // TCP: its length in decimal, a blank, the message
	Lined                    // TCP: a line feed behind it
)

// Message is one of RFC 5424. Empty fields are written as nothing known.
type Message struct {
	Priority          int // facility times eight, and the severity
	At                time.Time
	Host, App, ID     string
	Data              []Datum
	Text              string
	ByteOrderMark     bool // the text begins with one, which says that it is UTF-8
	WithoutTheVersion bool // it is not of RFC 5424
}

// Datum is an element of structured data.
type Datum struct {
	ID     string
	Values [][2]string
}

// Encode gives the bytes of the message.
func (m Message) Encode() []byte {
	known := func(s string) string {
		if s == "" {
			return "-"
		}
		return s
	}
	at := "-"
	if !m.At.IsZero() {
		at = m.At.Format("2006-01-02T15:04:05.000Z07:00")
	}
	version := "1 "
	if m.WithoutTheVersion {
		version = ""
	}
	text := fmt.Sprintf("<%d>%s%s %s %s - %s %s", m.Priority, version, at, known(m.Host), known(m.App), known(m.ID), m.data())
	if m.ByteOrderMark {
		text += " \xef\xbb\xbf" + m.Text
	} else if m.Text != "" {
		text += " " + m.Text
	}
	return []byte(text)
}

func (m Message) data() string {
	var out strings.Builder
	for _, d := range m.Data {
		out.WriteString("[" + d.ID)
		for _, v := range d.Values {
			out.WriteString(" " + v[0] + `="` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, `]`, `\]`).Replace(v[1]) + `"`)
		}
		out.WriteString("]")
	}
	if out.Len() == 0 {
		return "-"
	}
	return out.String()
}

// Sender sends syslog to an address at which the program listens. What comes back is kept as an attempt to write.
type Sender struct {
	*Voice // the raw bytes of the wire: a frame of one's own making

	Journal Journal

	framing Framing
	address string
	conn    net.Conn
}

// NewSender connects.
func NewSender(t T, framing Framing, address string, seed uint64) *Sender {
	t.Helper()
	s := &Sender{framing: framing, address: address}
	s.Voice = newVoice(0, seed, func(b []byte) error {
		_, err := s.conn.Write(b)
		return err
	})
	if err := s.connect(); err != nil {
		t.Fatalf("nobody listens for syslog: %v", err)
	}
	s.Journal.watch(t, "the sender of syslog")
	t.Cleanup(func() { _ = s.conn.Close() }) // it may be gone
	return s
}

func (s *Sender) connect() error {
	network := "tcp"
	if s.framing == Datagrams {
		network = "udp"
	}
	conn, err := net.Dial(network, s.address)
	if err != nil {
		return err
	}
	s.conn = conn
	go keep(conn, &s.Journal, "bytes back to a sender of syslog")
	return nil
}

// Frame gives a message as it goes on the wire.
func (s *Sender) Frame(m Message) []byte {
	b := m.Encode()
	switch s.framing {
	case Counted:
		return append(fmt.Appendf(nil, "%d ", len(b)), b...)
	case Lined:
		return append(b, '\n')
	}
	return b
}

// Send sends a message.
func (s *Sender) Send(m Message) error { return s.Say(s.Frame(m)) }

// Miscounted sends a message whose length is said to be longer or shorter by some bytes; counted framing alone has that.
func (s *Sender) Miscounted(m Message, by int) error {
	b := m.Encode()
	return s.Say(append(fmt.Appendf(nil, "%d ", len(b)+by), b...))
}

// Restart connects again; with framing over TCP the program sees the connection end.
func (s *Sender) Restart() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	_ = s.conn.Close() // it may be gone
	return s.connect()
}
