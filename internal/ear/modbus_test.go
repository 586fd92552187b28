package ear

import (
	"bytes"
	"context"
	"errors"
	"testing"
	"time"

	"sootline/internal/worlds/wires"
)

// TestModbusReadsAlone: values are read, ill answers are errors and never values, a server that comes back is read again, and
// all that left are requests that read.
func TestModbusReadsAlone(t *testing.T) {
	s := wires.NewModbusTCP(t, 3)
	s.Set(wires.Measured, 100, 251)
	s.Set(wires.Measured, 101, 252)
	s.Set(wires.Coils, 7, 1)
	m := &Modbus{Address: s.Address, Wait: 500 * time.Millisecond}
	defer m.Close()
	ask, err := ReadOf(3, Measured, 100, 2)
	must(t, err)
	read := func() ([]uint16, error) { return m.Read(context.Background(), ask) }
	if v, err := read(); err != nil || len(v) != 2 || v[0] != 251 || v[1] != 252 {
		t.Fatalf("%v %v", v, err)
	}
	bit, err := ReadOf(3, Coils, 7, 1)
	must(t, err)
	if v, err := m.Read(context.Background(), bit); err != nil || len(v) != 1 || v[0] != 1 {
		t.Errorf("%v %v", v, err)
	}
	s.BeLate(time.Second)
	for _, ill := range []wires.Ill{wires.Busy, wires.Failed, wires.Slow, wires.Short, wires.Long, wires.Miscount, wires.OtherUnit, wires.OtherAsk, wires.Misframed, wires.Noise, wires.Half, wires.Silent, wires.Hangup} {
		s.Spoil(ill)
		if v, err := read(); err == nil {
			t.Errorf("%s: %v", ill, v)
		}
		if v, err := read(); err != nil || v[0] != 251 {
			t.Errorf("after %s: %v %v", ill, v, err)
		}
	}
	must(t, s.Restart())
	_, _ = read() // the connection is gone
	if v, err := read(); err != nil || v[0] != 251 {
		t.Errorf("after the restart: %v %v", v, err)
	}
	for _, sent := range s.Journal.Sent() {
		if sent.Write || len(sent.Bytes) != 12 || sent.Bytes[7] < 1 || sent.Bytes[7] > 4 {
			t.Errorf("sent %v", sent)
		}
	}
}

// TestNothingThatWritesCanBeBuilt: of all functions, counts and addresses, what can be made reads.
func TestNothingThatWritesCanBeBuilt(t *testing.T) {
	for function := range 256 {
		for _, count := range []int{-1, 0, 1, 125, 126, 2000, 2001, 65536} {
			r, err := ReadOf(1, Table(function), 0, count)
			if err == nil && (function < 1 || function > 4 || count < 1) {
				t.Errorf("function %d with %d places can be asked", function, count)
			}
			if err == nil && r.frame(1)[7] != byte(function) {
				t.Errorf("function %d is asked as %d", function, r.frame(1)[7])
			}
		}
	}
	var m Modbus
	if _, err := m.Read(context.Background(), Reading{}); !errors.Is(err, errNoReading) {
		t.Errorf("an empty request: %v", err)
	}
}

// FuzzModbus: any bytes in the place of an answer are an error, or as many values as were asked.
func FuzzModbus(f *testing.F) {
	f.Add([]byte{0, 1, 0, 0, 0, 5, 3, 4, 2, 0, 251})
	f.Add([]byte{0, 1, 0, 0, 0, 3, 3, 0x84, 2})
	f.Fuzz(func(t *testing.T, data []byte) {
		r := Reading{unit: 3, table: Measured, count: 1}
		if v, err := r.answer(bytes.NewReader(data), 1); err == nil && len(v) != 1 {
			t.Errorf("%v", v)
		}
	})
}
