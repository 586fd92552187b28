package ear

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net"
	"time"
)

// Table is one of the four tables of Modbus, by the function that reads it (Modbus Application Protocol V1.1b3, from memory).
type Table byte

// The tables. There is no other function here: a request that writes cannot be built.
const (
	Coils    Table = 1
	Inputs   Table = 2
	Holding  Table = 3
	Measured Table = 4
)

// registersMost is how many registers one request may ask for, and bitsMost how many bits.
const (
	registersMost = 125
	bitsMost      = 2000
)

// Reading asks for places of a table: its fields are set by [ReadOf] alone.
type Reading struct {
	unit           byte
	table          Table
	address, count uint16
}

var errNoReading = errors.New("tables are 1 to 4, and a request has 1 to 125 registers or 1 to 2,000 bits")

// ReadOf makes a request that reads. Addresses count from 0.
func ReadOf(unit byte, table Table, address, count int) (Reading, error) {
	most := registersMost
	if table == Coils || table == Inputs {
		most = bitsMost
	}
	if table < Coils || table > Measured || count < 1 || count > most || address < 0 || address+count > 1<<16 {
		return Reading{}, errNoReading
	}
	return Reading{unit, table, uint16(address), uint16(count)}, nil
}

// Modbus reads from a server over TCP, or on a serial line, one request at a time. It writes requests of [ReadOf] and nothing else.
type Modbus struct {
	Address string        // over TCP
	Line    Line          // else on this line
	Wait    time.Duration // for an answer; 0: two seconds

	conn wire
	next uint16
}

// wire is what goes to the other side and back.
type wire interface {
	io.ReadWriteCloser
	SetDeadline(time.Time) error
}

// headLength is that of the frame: transaction, protocol, length, unit.
const headLength = 7

// Read gives the places that were asked for: registers, or bits as 0 and 1. After an error the connection is begun anew.
func (m *Modbus) Read(ctx context.Context, ask Reading) (values []uint16, err error) {
	if ask.table == 0 {
		return nil, errNoReading
	}
	defer func() {
		if refused := (Refused{}); err != nil && !errors.As(err, &refused) {
			err = errors.Join(err, m.Close())
		}
	}()
	if m.conn == nil {
		if m.conn, err = m.connect(ctx); err != nil {
			m.conn = nil
			return nil, err
		}
	}
	if m.Address == "" {
		return ask.onLine(m.conn, m.wait())
	}
	if err := m.conn.SetDeadline(time.Now().Add(m.wait())); err != nil {
		return nil, err
	}
	m.next++
	if _, err := m.conn.Write(ask.frame(m.next)); err != nil {
		return nil, err
	}
	return ask.answer(m.conn, m.next)
}

func (m *Modbus) connect(ctx context.Context) (wire, error) {
	if m.Address == "" {
		return m.Line.open()
	}
	dialer := net.Dialer{Timeout: m.wait()}
	return dialer.DialContext(ctx, "tcp", m.Address)
}

func (m *Modbus) wait() time.Duration {
	if m.Wait > 0 {
		return m.Wait
	}
	return 2 * time.Second
}

// Close ends the connection.
func (m *Modbus) Close() error {
	if m.conn == nil {
		return nil
	}
	err := m.conn.Close()
	m.conn = nil
	return err
}

// frame is the request on the wire.
func (r Reading) frame(transaction uint16) []byte {
	b := make([]byte, 0, headLength+5)
	b = binary.BigEndian.AppendUint16(b, transaction)
	b = append(b, 0, 0, 0, 6, r.unit, byte(r.table))
	b = binary.BigEndian.AppendUint16(b, r.address)
	return binary.BigEndian.AppendUint16(b, r.count)
}

// Refused is an answer that says why there is no value.
type Refused struct{ Code byte }

// busy reports whether it may answer a while later: exceptions 5 and 6.
func (r Refused) busy() bool { return r.Code == 5 || r.Code == 6 }

func asRefused(err error, r *Refused) bool { return errors.As(err, r) }

func (r Refused) Error() string { return fmt.Sprintf("the device refuses it, exception %d", r.Code) }

// errOther says that an answer is not to what was asked: nothing of it is used.
var errOther = errors.New("what came is no answer to what was asked")

// answer reads the answer to a request, and holds everything in it against what was asked.
func (r Reading) answer(from io.Reader, transaction uint16) ([]uint16, error) {
	var head [headLength]byte
	if _, err := io.ReadFull(from, head[:]); err != nil {
		return nil, err
	}
	length := int(binary.BigEndian.Uint16(head[4:]))
	if binary.BigEndian.Uint16(head[0:]) != transaction || head[2] != 0 || head[3] != 0 || head[6] != r.unit || length < 3 || length > 260 {
		return nil, errOther
	}
	body := make([]byte, length-1)
	if _, err := io.ReadFull(from, body); err != nil {
		return nil, err
	}
	return r.said(body)
}

// said reads what an answer says behind the unit: the function, then values or why there are none.
func (r Reading) said(body []byte) ([]uint16, error) {
	if len(body) < 2 {
		return nil, errOther
	}
	if body[0] == byte(r.table)|0x80 && len(body) == 2 {
		return nil, Refused{body[1]}
	}
	if body[0] != byte(r.table) || int(body[1]) != len(body)-2 || int(body[1]) != r.bytes() {
		return nil, errOther
	}
	return r.values(body[2:]), nil
}

// bytes is how many bytes of values the answer has.
func (r Reading) bytes() int {
	if r.table == Coils || r.table == Inputs {
		return (int(r.count) + 7) / 8
	}
	return 2 * int(r.count)
}

func (r Reading) values(b []byte) []uint16 {
	values := make([]uint16, r.count)
	for i := range values {
		if r.table == Coils || r.table == Inputs {
			values[i] = uint16(b[i/8] >> (i % 8) & 1)
			continue
		}
		values[i] = binary.BigEndian.Uint16(b[2*i:])
	}
	return values
}
