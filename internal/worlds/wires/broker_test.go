package wires_test

import (
	"bufio"
	"io"
	"net"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline/internal/worlds/wires"
)

// packet is one of MQTT 3.1.1 that is shorter than 128 bytes.
func packet(first byte, body ...byte) []byte { return append([]byte{first, byte(len(body))}, body...) }

func text(s string) []byte { return append([]byte{0, byte(len(s))}, s...) }

// joined connects, with a will where one is given.
func joined(t *testing.T, address, will string) (net.Conn, *bufio.Reader) {
	t.Helper()
	conn, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() }) // it may be closed
	if err := conn.SetDeadline(time.Now().Add(5 * time.Second)); err != nil {
		t.Fatal(err)
	}
	body := slices.Concat(text("MQTT"), []byte{4, 2, 0, 60}, text("listener"))
	if will != "" {
		body = slices.Concat(text("MQTT"), []byte{4, 6, 0, 60}, text("listener"), text(will), text("gone"))
	}
	if _, err := conn.Write(packet(0x10, body...)); err != nil {
		t.Fatal(err)
	}
	r := bufio.NewReader(conn)
	if got := took(t, r); got[0] != 0x20 || got[3] != 0 {
		t.Fatalf("no connection: % x", got)
	}
	return conn, r
}

// took reads a packet.
func took(t *testing.T, r *bufio.Reader) []byte {
	t.Helper()
	head := make([]byte, 2)
	if _, err := io.ReadFull(r, head); err != nil {
		t.Fatal(err)
	}
	body := make([]byte, head[1])
	if _, err := io.ReadFull(r, body); err != nil {
		t.Fatal(err)
	}
	return append(head, body...)
}

func TestBroker(t *testing.T) {
	b := wires.NewBroker(t)
	for range 2 { // the second time after a restart
		conn, r := joined(t, b.Address, "")
		if _, err := conn.Write(packet(0x82, slices.Concat([]byte{0, 1}, text("loop/1/#"), []byte{0})...)); err != nil {
			t.Fatal(err)
		}
		if got := took(t, r); got[0] != 0x90 || !slices.Contains(b.Subscribed(), "loop/1/#") {
			t.Fatalf("no subscription: % x", got)
		}
		if err := b.Publish("loop/1/17", []byte("42.5"), false, 0); err != nil {
			t.Fatal(err)
		}
		if got := took(t, r); string(got[2:]) != string(text("loop/1/17"))+"42.5" {
			t.Errorf("%q", got)
		}
		if err := b.Flood("loop/1/18", []byte("1"), 500); err != nil {
			t.Fatal(err)
		}
		for range 500 {
			took(t, r)
		}
		if err := b.Restart(); err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, r); err != nil {
			t.Errorf("the connection outlived a restart: %v", err)
		}
	}
	if n := strings.Count(string(b.Wire()), "loop/1/#"); n != 2 {
		t.Errorf("%d subscriptions are on the wire", n)
	}
	_, r := joined(t, b.Address, "")
	b.Drop()
	if _, err := io.Copy(io.Discard, r); err != nil {
		t.Errorf("the connection was not ended: %v", err)
	}
}

func TestBrokerIsIll(t *testing.T) {
	b := wires.NewBroker(t)
	_, r := joined(t, b.Address, "")
	if err := b.Noise(); err != nil {
		t.Fatal(err)
	}
	noise := make([]byte, 8)
	if _, err := io.ReadFull(r, noise); err != nil || noise[0] != 0 {
		t.Errorf("% x %v", noise, err)
	}
	if err := b.Half("loop/1/17", []byte("42.5")); err != nil {
		t.Fatal(err)
	}
	if got, err := io.ReadAll(r); err != nil || string(got) != "\x30\x0f\x00\x09loop" {
		t.Errorf("%q %v", got, err)
	}
}

func TestBrokerCatchesAWriter(t *testing.T) {
	stand := &standIn{T: t}
	b := wires.NewBroker(stand)
	conn, _ := joined(t, b.Address, "panel/will")
	if _, err := conn.Write(packet(0x30, append(text("panel/reset"), '1')...)); err != nil {
		t.Fatal(err)
	}
	until(t, "both", func() bool { return len(b.Journal.Writes()) == 2 })
	stand.caught("publish panel/reset")
	if got := b.Journal.Writes()[0].What; got != "will panel/will" {
		t.Error(got)
	}
}
