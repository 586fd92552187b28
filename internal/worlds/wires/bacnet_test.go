package wires_test

import (
	"bytes"
	"encoding/hex"
	"net"
	"strings"
	"testing"
	"time"

	"sootline/internal/worlds/wires"
)

// asker talks to a device in bytes written out.
type asker struct {
	*testing.T

	conn net.Conn
}

func asking(t *testing.T, d *wires.Device) asker {
	t.Helper()
	conn, err := net.Dial("udp4", d.Address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() }) // it may be closed
	return asker{t, conn}
}

func octets(t *testing.T, text string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// send puts what goes before a request.
func (a asker) send(apdu string) {
	a.Helper()
	b := octets(a.T, apdu)
	if _, err := a.conn.Write(append([]byte{0x81, 0x0a, 0, byte(len(b) + 6), 1, 4}, b...)); err != nil {
		a.Fatal(err)
	}
}

// hear gives what comes next, without what goes before it; empty: nothing came for two seconds.
func (a asker) hear() string {
	a.Helper()
	return a.within(2 * time.Second)
}

// silent wants nothing to come.
func (a asker) silent(what string) {
	a.Helper()
	if got := a.within(200 * time.Millisecond); got != "" {
		a.Errorf("%s: %s came", what, got)
	}
}

func (a asker) within(wait time.Duration) string {
	a.Helper()
	b := make([]byte, 2000)
	if err := a.conn.SetReadDeadline(time.Now().Add(wait)); err != nil {
		a.Fatal(err)
	}
	n, err := a.conn.Read(b)
	if err != nil || n < 7 {
		return ""
	}
	return strings.TrimSpace(strings.ToUpper(hex.EncodeToString(b[6:n])))
}

// want asks, and compares the answer.
func (a asker) want(apdu, answer string) {
	a.Helper()
	a.send(apdu)
	if got := a.hear(); got != strings.ReplaceAll(answer, " ", "") {
		a.Errorf("% s is answered with %s", apdu, got)
	}
}

func things() []wires.Thing {
	return []wires.Thing{
		{Kind: wires.AnalogInput, Instance: 5, Name: "1.017", Value: 72.3, Units: 95, Change: 1},
		{Kind: wires.BinaryInput, Instance: 1, Name: "fault", Value: 1},
		{Kind: wires.MultiInput, Instance: 300, Name: "state", Value: 3},
	}
}

// TestReadProperty: the first exchange is that of Annex F.3.5 of the standard, from memory.
func TestReadProperty(t *testing.T) {
	d := wires.NewDevice(t, 1234, things()...)
	a := asking(t, d)
	a.want("00 00 01 0C 0C 00000005 19 55", "30 01 0C 0C 00000005 19 55 3E 44 4290999A 3F")
	a.want("00 05 02 0C 0C 00C00001 19 55", "30 02 0C 0C 00C00001 19 55 3E 91 01 3F")
	a.want("00 05 03 0C 0C 0340012C 19 55", "30 03 0C 0C 0340012C 19 55 3E 21 03 3F")
	a.want("00 05 04 0C 0C 00000005 19 4D", "30 04 0C 0C 00000005 19 4D 3E 75 06 00 312E303137 3F")
	a.want("00 05 05 0C 0C 00000006 19 55", "50 05 0C 91 01 91 1F")
	a.want("00 05 06 0C 0C 00000005 19 FE", "50 06 0C 91 02 91 20")
	a.want("00 05 07 0C 0C 020004D2 19 4C 29 00", "30 07 0C 0C 020004D2 19 4C 29 00 3E 21 04 3F")
	a.want("00 05 08 0E 0C 00000005 1E 09 55 1F", "60 08 09")
	a.want("10 08", "10 00 C4 020004D2 22 05C4 91 03 21 00")
	a.send("10 08 09 01 19 02")
	a.silent("who is 1 or 2")
}

func TestSubscribe(t *testing.T) {
	d := wires.NewDevice(t, 1234, things()...)
	a := asking(t, d)
	a.want("00 05 0F 05 09 12 1C 00000005 29 00 39 3C", "20 0F 05")
	if got := a.hear(); !strings.Contains(got, "2C00000005") || !strings.Contains(got, "444290999A") || !strings.HasPrefix(got, "100209121C020004D2") {
		t.Errorf("the first value: %s", got)
	}
	set := func(value float64, flags byte) {
		if err := d.Set(wires.AnalogInput, 5, value, flags); err != nil {
			t.Fatal(err)
		}
	}
	set(72.5, 0)
	a.silent("a change that is too small")
	set(74, 0)
	if got := a.hear(); !strings.Contains(got, "4442940000") {
		t.Errorf("a change: %s", got)
	}
	set(74, 0x40)
	if got := a.hear(); !strings.Contains(got, "096F2E8204402F") {
		t.Errorf("a flag: %s", got)
	}
	if err := d.Flood(wires.AnalogInput, 5, 3); err != nil || a.hear() == "" || a.hear() == "" || a.hear() == "" {
		t.Error("no flood")
	}
	if err := d.Restart(); err != nil || d.Subscribed() != 0 {
		t.Error("a subscription outlived a restart")
	}
	set(80, 0)
	a.silent("a change after a restart")
	a.want("00 05 10 05 09 12 1C 00000005 29 00 39 01", "20 10 05")
	until(t, "the end of the subscription", func() bool { return d.Subscribed() == 0 })
}

func TestDeviceIsIll(t *testing.T) {
	d := wires.NewDevice(t, 1234, things()...)
	d.BeLate(500 * time.Millisecond)
	a := asking(t, d)
	ask := "00 05 01 0C 0C 00000005 19 55"
	d.Spoil(wires.Silent, wires.OtherAsk, wires.Failed, wires.Noise, wires.Half, wires.Slow)
	a.send(ask)
	a.silent("no answer")
	a.want(ask, "30 02 0C 0C 00000005 19 55 3E 44 4290999A 3F")
	a.want(ask, "50 01 0C 91 00 91 00")
	for range 2 { // noise, and a half
		a.send(ask)
		if got := a.hear(); got == "" || strings.Contains(got, "4290999A") {
			t.Errorf("not spoiled: %q", got)
		}
	}
	a.send(ask)
	a.silent("an answer that is late")
	if got := a.hear(); got == "" {
		t.Error("a late answer never came")
	}
}

func TestDeviceCatchesAWriter(t *testing.T) {
	stand := &standIn{T: t}
	d := wires.NewDevice(stand, 1234, things()...)
	a := asking(t, d)
	a.send("00 05 01 0F 0C 00000005 19 55 3E 44 00000000 3F")
	if got := a.hear(); got != "600109" {
		t.Errorf("a write is answered with %s", got)
	}
	a.send("10 06 A4 7E031E04 B4 0C000000") // set the time
	until(t, "both", func() bool { return len(d.Journal.Writes()) == 2 })
	a.send("20 01 01") // an acknowledgement is none
	until(t, "all", func() bool { return len(d.Journal.Sent()) == 3 })
	if got := d.Journal.Sent()[2]; got.Write || !bytes.HasSuffix(got.Bytes, []byte{0x20, 1, 1}) {
		t.Errorf("%+v", got)
	}
	stand.caught("write property")
}
