package wires

import (
	"encoding/binary"
	"fmt"
	"sync"
	"time"
)

// Table is one of the four tables of Modbus.
type Table byte

// The tables, by the function that reads them.
const (
	Coils    Table = 1
	Inputs   Table = 2
	Holding  Table = 3
	Measured Table = 4 // input registers
)

// Ill is what is wrong with an answer.
type Ill string

// What can be wrong with an answer of Modbus.
const (
	Busy      Ill = "exception 6, busy"
	Failed    Ill = "exception 4, failed"
	Slow      Ill = "late by Modbus.Late"
	Short     Ill = "a register less than asked for"
	Long      Ill = "a register more than asked for"
	Miscount  Ill = "its count of bytes is wrong"
	OtherUnit Ill = "in the name of another unit"
	OtherAsk  Ill = "to another request: transaction or function"
	Misframed Ill = "its frame is wrong: the length over TCP, the check on a line"
	Noise     Ill = "bytes that mean nothing"
	Half      Ill = "the first half alone"
	Silent    Ill = "no answer"
	Hangup    Ill = "the connection ends"
)

// Modbus is the server behind both wires: its tables, what is wrong with its answers, and what it was asked.
type Modbus struct {
	Journal Journal
	Late    time.Duration // of slow answers

	mu    sync.Mutex
	unit  byte
	known map[Table]map[uint16]uint16
	ills  []Ill
	most  int // registers at most in one request; 0: 125
}

// BeLate sets for how long slow answers wait, also while it runs.
func (m *Modbus) BeLate(wait time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.Late = wait
}

func (m *Modbus) late() time.Duration {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.Late
}

func newModbus(unit byte) *Modbus {
	m := &Modbus{unit: unit, known: map[Table]map[uint16]uint16{}, Late: 2 * time.Second}
	for t := Coils; t <= Measured; t++ {
		m.known[t] = map[uint16]uint16{}
	}
	return m
}

// Set gives a place of a table its value. Addresses count from 0; what was never set answers with exception 2.
func (m *Modbus) Set(t Table, address, value uint16) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.known[t][address] = value
}

// Limit bounds how many registers one request may ask for.
func (m *Modbus) Limit(registers int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.most = registers
}

// Spoil lets the next answers be ill, one each, in this order.
func (m *Modbus) Spoil(ills ...Ill) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.ills = append(m.ills, ills...)
}

func (m *Modbus) nextIll() Ill {
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.ills) == 0 {
		return ""
	}
	ill := m.ills[0]
	m.ills = m.ills[1:]
	return ill
}

// readsOnly are functions that change nothing: the four tables, exception status, counter and log of events, identity, file
// records, a queue. Diagnostics (8) can restart a device, and counts as a write.
var readsOnly = map[byte]string{
	1: "read coils", 2: "read inputs", 3: "read holding registers", 4: "read input registers", 7: "read exception status",
	11: "read counter of events", 12: "read log of events", 17: "read identity", 20: "read file records", 24: "read queue",
}

// writes are the functions that are known to write; what is in neither list counts as a write too.
var writes = map[byte]string{
	5: "write coil", 6: "write register", 8: "diagnostics", 15: "write coils", 16: "write registers", 21: "write file records",
	22: "mask a register", 23: "read and write registers",
}

// note keeps a request. frame is what was on the wire, pdu what it carries.
func (m *Modbus) note(frame, pdu []byte) {
	if len(pdu) == 0 {
		m.Journal.note("nothing that is Modbus", true, frame)
		return
	}
	what, reads := readsOnly[pdu[0]]
	if !reads && pdu[0] == 43 && len(pdu) > 1 && pdu[1] == 14 {
		what, reads = "read identity", true
	}
	if !reads {
		if what = writes[pdu[0]]; what == "" {
			what = fmt.Sprintf("function %d", pdu[0])
		}
	}
	m.Journal.note(what, !reads, frame)
}

// answer gives the answer to a request.
func (m *Modbus) answer(pdu []byte) []byte {
	exception := func(code byte) []byte { return []byte{pdu[0] | 0x80, code} }
	t := Table(pdu[0])
	if t < Coils || t > Measured {
		return exception(1)
	}
	if len(pdu) != 5 {
		return exception(3)
	}
	from, n := binary.BigEndian.Uint16(pdu[1:]), int(binary.BigEndian.Uint16(pdu[3:]))
	m.mu.Lock()
	defer m.mu.Unlock()
	most := 125
	if t <= Inputs {
		most = 2000
	} else if m.most > 0 {
		most = m.most
	}
	if n < 1 || n > most {
		return exception(3)
	}
	var values []uint16
	for i := range n {
		value, ok := m.known[t][from+uint16(i)]
		if !ok || int(from)+i > 0xffff {
			return exception(2)
		}
		values = append(values, value)
	}
	return encoded(pdu[0], t <= Inputs, values)
}

// encoded packs values: eight a byte from the lowest bit on, or two bytes each.
func encoded(function byte, bits bool, values []uint16) []byte {
	out := []byte{function, 0}
	for i, v := range values {
		switch {
		case !bits:
			out = binary.BigEndian.AppendUint16(out, v)
		case i%8 == 0:
			out = append(out, byte(min(v, 1)))
		default:
			out[len(out)-1] |= byte(min(v, 1)) << (i % 8)
		}
	}
	out[1] = byte(len(out) - 2)
	return out
}

// spoiled makes an answer ill in what it carries. What is wrong with its frame is for the wire.
func spoiled(ill Ill, pdu []byte) []byte {
	code := map[Ill]byte{Busy: 6, Failed: 4}[ill]
	switch {
	case code > 0:
		return []byte{pdu[0] | 0x80, code}
	case pdu[0] >= 0x80:
		return pdu // an exception has nothing to spoil
	}
	switch ill {
	case Short:
		if len(pdu) >= 4 {
			pdu = pdu[:len(pdu)-2]
			pdu[1] -= 2
		}
	case Long:
		pdu = append(pdu, 0, 1)
		pdu[1] += 2
	case Miscount:
		pdu[1]++
	}
	return pdu
}
