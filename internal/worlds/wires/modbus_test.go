package wires_test

import (
	"io"
	"log"
	"net"
	"slices"
	"testing"
	"time"

	"github.com/simonvetter/modbus"

	"sootline/internal/worlds/wires"
)

// client is one that nobody here wrote.
func client(t *testing.T, address string) *modbus.ModbusClient {
	t.Helper()
	c, err := modbus.NewClient(&modbus.ClientConfiguration{
		URL: address, Speed: 9600, DataBits: 8, StopBits: 1, Timeout: 600 * time.Millisecond, Logger: log.New(io.Discard, "", 0),
	})
	if err == nil {
		err = c.Open()
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() }) // it may be closed
	return c
}

func filled(m *wires.Modbus) {
	for i := range uint16(20) {
		m.Set(wires.Holding, i, 1000+i)
		m.Set(wires.Measured, i, 2000+i)
		m.Set(wires.Coils, i, i%2)
		m.Set(wires.Inputs, i, i%3%2)
	}
}

// reads asks for all four tables.
func reads(t *testing.T, c *modbus.ModbusClient, j *wires.Journal) {
	t.Helper()
	holding, err := c.ReadRegisters(3, 2, modbus.HOLDING_REGISTER)
	measured, err2 := c.ReadRegisters(18, 2, modbus.INPUT_REGISTER)
	if !slices.Equal(holding, []uint16{1003, 1004}) || !slices.Equal(measured, []uint16{2018, 2019}) || err != nil || err2 != nil {
		t.Errorf("%v %v %v %v", holding, measured, err, err2)
	}
	coils, err := c.ReadCoils(0, 11)
	inputs, err2 := c.ReadDiscreteInputs(0, 4)
	if len(coils) != 11 || coils[8] || !coils[9] || !slices.Equal(inputs, []bool{false, true, false, false}) || err != nil || err2 != nil {
		t.Errorf("%v %v %v %v", coils, inputs, err, err2)
	}
	if _, err := c.ReadRegister(20, modbus.HOLDING_REGISTER); err != modbus.ErrIllegalDataAddress {
		t.Errorf("a place that is not there: %v", err)
	}
	if sent := j.Sent(); len(sent) != 5 || len(j.Writes()) > 0 {
		t.Errorf("%d requests are kept, %v write", len(sent), j.Writes())
	}
}

// ill asks once for each way in which an answer can be wrong: a sound client takes none of them for an answer.
func ill(t *testing.T, open func() *modbus.ModbusClient, m *wires.Modbus, ills ...wires.Ill) {
	t.Helper()
	m.BeLate(800 * time.Millisecond)
	for _, i := range ills {
		m.Spoil(i)
		c := open()
		if got, err := c.ReadRegisters(0, 2, modbus.HOLDING_REGISTER); err == nil {
			t.Errorf("%s: %v was read", i, got)
		}
		time.Sleep(300 * time.Millisecond) // what came late is over
		_ = c.Close()                      // it may be closed
	}
	if got, err := open().ReadRegisters(0, 2, modbus.HOLDING_REGISTER); err != nil || got[1] != 1001 {
		t.Errorf("it does not get well again: %v %v", got, err)
	}
}

var frameIlls = []wires.Ill{
	wires.Busy, wires.Failed, wires.Slow, wires.Short, wires.Long, wires.Miscount, wires.OtherUnit, wires.OtherAsk, wires.Misframed, wires.Noise,
	wires.Half, wires.Silent, wires.Hangup,
}

func TestModbusOverTCP(t *testing.T) {
	s := wires.NewModbusTCP(t, 7)
	filled(s.Modbus)
	open := func() *modbus.ModbusClient {
		c := client(t, "tcp://"+s.Address)
		if err := c.SetUnitId(7); err != nil {
			t.Fatal(err)
		}
		return c
	}
	reads(t, open(), &s.Journal)
	ill(t, open, s.Modbus, frameIlls...)
	if err := s.Restart(); err != nil {
		t.Fatal(err)
	}
	s.Limit(1)
	c := open()
	if _, err := c.ReadRegisters(0, 2, modbus.HOLDING_REGISTER); err != modbus.ErrIllegalDataValue {
		t.Errorf("more than it gives at once: %v", err)
	}
	if err := c.SetUnitId(8); err != nil {
		t.Fatal(err)
	}
	if got, err := c.ReadRegister(0, modbus.HOLDING_REGISTER); err == nil {
		t.Errorf("another unit answers %v", got)
	}
}

func TestModbusOnALine(t *testing.T) {
	s := wires.NewModbusRTU(t, t.TempDir(), 9600, 7)
	filled(s.Modbus)
	open := func() *modbus.ModbusClient {
		c := client(t, "rtu://"+s.Path)
		if err := c.SetUnitId(7); err != nil {
			t.Fatal(err)
		}
		return c
	}
	reads(t, open(), &s.Journal)
	ill(t, open, s.Modbus, frameIlls...)
}

func TestModbusCatchesAWriter(t *testing.T) {
	stand := &standIn{T: t}
	s := wires.NewModbusTCP(stand, 1)
	line := wires.NewModbusRTU(stand, t.TempDir(), 9600, 1)
	for _, address := range []string{"tcp://" + s.Address, "rtu://" + line.Path} {
		c := client(t, address)
		for _, write := range []func() error{
			func() error { return c.WriteCoil(1, true) }, func() error { return c.WriteRegister(1, 2) },
			func() error { return c.WriteCoils(1, []bool{true}) }, func() error { return c.WriteRegisters(1, []uint16{1, 2}) },
		} {
			if err := write(); err == nil {
				t.Error("a write is said to have been done")
			}
		}
	}
	conn, err := net.Dial("tcp", s.Address)
	if err != nil {
		t.Fatal(err)
	}
	for _, function := range []byte{8, 21, 22, 23, 43, 90} {
		if _, err := conn.Write([]byte{0, 1, 0, 0, 0, 6, 1, function, 0, 0, 0, 0}); err != nil {
			t.Fatal(err)
		}
		if _, err := io.ReadFull(conn, make([]byte, 9)); err != nil {
			t.Fatal(err)
		}
	}
	if n, m := len(s.Journal.Writes()), len(line.Journal.Writes()); n != 10 || m != 4 {
		t.Errorf("%d and %d attempts to write are kept", n, m)
	}
	stand.caught("mask a register")
}

// The check of the frame 01 04 02 FF FF is B8 80 on the wire (a published example, from memory).
func TestCRC(t *testing.T) {
	if got := wires.CRC([]byte{1, 4, 2, 0xff, 0xff}); got != 0x80b8 {
		t.Errorf("%04x", got)
	}
}
