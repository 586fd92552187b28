package wires

import (
	"encoding/binary"
	"sync"
	"time"
)

// ModbusRTU serves Modbus on a serial line.
type ModbusRTU struct {
	*Modbus
	*port

	wire  sync.Mutex
	heard []byte
	timer *time.Timer
}

// NewModbusRTU makes a port and a server behind it that answers to one unit; speed as in [NewPrinter].
func NewModbusRTU(t T, folder string, bits int, unit byte) *ModbusRTU {
	t.Helper()
	s := &ModbusRTU{Modbus: newModbus(unit)}
	s.port = newPort(t, folder, bits, s.bytes)
	s.Journal.watch(t, "the Modbus server")
	return s
}

// gap ends a frame. The standard has 3.5 characters; a pseudo-terminal brings bytes in clumps.
const gap = 15 * time.Millisecond

func (s *ModbusRTU) bytes(b []byte) {
	s.wire.Lock()
	defer s.wire.Unlock()
	s.heard = append(s.heard, b...)
	if s.timer != nil {
		s.timer.Stop()
	}
	s.timer = time.AfterFunc(gap, s.frame)
}

// frame takes what was heard up to a gap.
func (s *ModbusRTU) frame() {
	s.wire.Lock()
	frame := s.heard
	s.heard = nil
	s.wire.Unlock()
	if len(frame) == 0 {
		return
	}
	if len(frame) < 4 || binary.LittleEndian.Uint16(frame[len(frame)-2:]) != CRC(frame[:len(frame)-2]) {
		s.note(frame, nil)
		return
	}
	pdu := frame[1 : len(frame)-2]
	s.note(frame, pdu)
	if frame[0] != s.unit {
		return // another's, or for all: nobody answers
	}
	s.reply(frame[0], pdu)
}

func (s *ModbusRTU) reply(unit byte, pdu []byte) {
	ill := s.nextIll()
	answer := spoiled(ill, s.answer(pdu))
	switch ill {
	case Silent:
		return
	case Hangup:
		_ = s.Restart() // the port goes; the next request finds it anew or fails its test
		return
	case Slow:
		time.Sleep(s.late())
	case OtherUnit:
		unit++
	case OtherAsk:
		answer[0] ^= 7
	}
	out := append([]byte{unit}, answer...)
	out = binary.LittleEndian.AppendUint16(out, CRC(out))
	switch ill {
	case Misframed:
		out[len(out)-1] ^= 0x10
	case Noise:
		out = garbled(out, 0)
	case Half:
		out = out[:len(out)/2]
	}
	_ = s.out(out) // a port that went meanwhile
}

// CRC is the check of a frame on a serial line, low byte first: polynomial 0xA001, begun with ones.
func CRC(b []byte) uint16 {
	crc := uint16(0xffff)
	for _, c := range b {
		crc ^= uint16(c)
		for range 8 {
			odd := crc&1 == 1
			crc >>= 1
			if odd {
				crc ^= 0xa001
			}
		}
	}
	return crc
}
