package ear

import (
	"encoding/binary"
	"errors"
	"io"
	"os"
	"time"
)

// Line is a serial line with devices of Modbus RTU.
type Line struct {
	Path  string
	Speed int // bits a second; 0: 19,200, as the standard has it
}

// lineSpeed is the speed where none is said (Modbus over serial line V1.02, from memory).
const lineSpeed = 19200

// onLine asks on a serial line, and reads the answer: unit, function, values, and the check over them.
func (r Reading) onLine(conn wire, wait time.Duration) ([]uint16, error) {
	if err := settle(conn); err != nil {
		return nil, err
	}
	if err := conn.SetDeadline(time.Now().Add(wait)); err != nil {
		return nil, err
	}
	frame := r.frame(0)[headLength-1:] // without the head of TCP: the unit comes first
	if _, err := conn.Write(checked(frame)); err != nil {
		return nil, err
	}
	return r.lineAnswer(conn)
}

// A line is silent between two frames: for 1.75 ms and more at fast speeds (Modbus over serial line V1.02, 2.5.1.1, from memory).
// What still comes of another answer is thrown away, for so long at most.
const (
	lineSilent = 10 * time.Millisecond
	lineNoise  = 2 * time.Second
)

// settle waits until the line is silent, and throws away what comes before that.
func settle(conn wire) error {
	buf := make([]byte, 256)
	end := time.Now().Add(lineNoise)
	for time.Now().Before(end) {
		if err := conn.SetDeadline(time.Now().Add(lineSilent)); err != nil {
			return err
		}
		_, err := conn.Read(buf)
		if errors.Is(err, os.ErrDeadlineExceeded) {
			return nil
		}
		if err != nil {
			return err
		}
	}
	return errOther // it is never silent
}

// lineAnswer reads the answer to a request, byte for byte as long as it is said to be.
func (r Reading) lineAnswer(from io.Reader) ([]uint16, error) {
	head := make([]byte, 3) // unit, function, and how many bytes come, or the exception
	if _, err := io.ReadFull(from, head); err != nil {
		return nil, err
	}
	more := 2 // the check
	switch {
	case head[0] != r.unit:
		return nil, errOther
	case head[1] == byte(r.table):
		more += int(head[2])
	case head[1] != byte(r.table)|0x80:
		return nil, errOther
	}
	frame := append(head, make([]byte, more)...)
	if _, err := io.ReadFull(from, frame[len(head):]); err != nil {
		return nil, err
	}
	body := frame[:len(frame)-2]
	if binary.LittleEndian.Uint16(frame[len(body):]) != crc(body) {
		return nil, errOther
	}
	return r.said(body[1:])
}

// checked is a frame with its check behind it, the low byte first.
func checked(frame []byte) []byte { return binary.LittleEndian.AppendUint16(frame, crc(frame)) }

// crc is the check of a frame: polynomial 0xA001, begun with ones (Modbus over serial line V1.02, from memory).
func crc(b []byte) uint16 {
	sum := uint16(0xFFFF)
	for _, c := range b {
		sum ^= uint16(c)
		for range 8 {
			low := sum & 1
			sum >>= 1
			if low == 1 {
				sum ^= 0xA001
			}
		}
	}
	return sum
}
