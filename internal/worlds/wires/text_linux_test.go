package wires_test

import (
	"bufio"
	"bytes"
	"io"
	"net"
	"os"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"sootline/internal/worlds/wires"
)

// opened opens a port at a speed, as a listener would.
func opened(t *testing.T, path string, speed uint32) *os.File {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	raw, err := f.SyscallConn()
	if err != nil {
		t.Fatal(err)
	}
	err = raw.Control(func(fd uintptr) {
		settings, err := unix.IoctlGetTermios(int(fd), unix.TCGETS)
		if err == nil {
			settings.Cflag = settings.Cflag&^unix.CBAUD | speed
			err = unix.IoctlSetTermios(int(fd), unix.TCSETS, settings)
		}
		if err != nil {
			t.Error(err)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func lineOf(t *testing.T, r *bufio.Reader) string {
	t.Helper()
	text, err := r.ReadString('\n')
	if err != nil && err != io.EOF {
		t.Fatal(err)
	}
	return text
}

func TestPrinterSpeaks(t *testing.T) {
	p := wires.NewPrinter(t, t.TempDir(), 9600, 1)
	r := bufio.NewReader(opened(t, p.Path, unix.B9600))
	line := []byte("12:00 FAULT 1.017 Kitchen\r\n")
	begun := time.Now()
	for range 3 {
		if err := p.Say(line); err != nil {
			t.Fatal(err)
		}
		if got := lineOf(t, r); got != string(line) {
			t.Errorf("heard %q", got)
		}
	}
	if took := time.Since(begun); took < 60*time.Millisecond {
		t.Errorf("81 bytes at 960 a second took %v", took)
	}
	if err := p.Restart(); err != nil {
		t.Fatal(err)
	}
	r = bufio.NewReader(opened(t, p.Path, unix.B9600))
	if err := p.Say(line); err != nil || lineOf(t, r) != string(line) {
		t.Errorf("nothing is heard after a restart: %v", err)
	}
}

func TestPrinterAtAnotherSpeed(t *testing.T) {
	p := wires.NewPrinter(t, t.TempDir(), 9600, 1)
	f := opened(t, p.Path, unix.B19200)
	line := []byte("12:00 FAULT\r\n")
	if err := p.Say(line); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, len(line))
	if _, err := io.ReadFull(f, got); err != nil || bytes.Contains(got, []byte("FAULT")) {
		t.Errorf("heard %q, %v", got, err)
	}
}

func TestPrinterFloods(t *testing.T) {
	p := wires.NewPrinter(t, t.TempDir(), 0, 1)
	f := opened(t, p.Path, unix.B9600)
	const n = 5000
	done := make(chan int)
	go func() {
		r, lines := bufio.NewReader(f), 0
		for lines < n {
			if _, err := r.ReadString('\n'); err != nil {
				break
			}
			lines++
		}
		done <- lines
	}()
	if err := p.Flood([]byte("12:00 FAULT 1.017 Kitchen\r\n"), n); err != nil {
		t.Fatal(err)
	}
	if lines := <-done; lines != n {
		t.Errorf("%d lines came", lines)
	}
}

func TestPrinterCatchesAWriter(t *testing.T) {
	stand := &standIn{T: t}
	p := wires.NewPrinter(stand, t.TempDir(), 0, 1)
	if _, err := opened(t, p.Path, unix.B9600).WriteString("\x11"); err != nil {
		t.Fatal(err)
	}
	until(t, "the byte", func() bool { return len(p.Journal.Writes()) == 1 })
	stand.caught("bytes to a printer, bytes 11")
}

func TestStreamSpeaks(t *testing.T) {
	s := wires.NewStream(t, 0, 1)
	for range 2 { // the second time after a restart
		conn, err := net.Dial("tcp", s.Address)
		if err != nil {
			t.Fatal(err)
		}
		<-s.Joined()
		r := bufio.NewReader(conn)
		if err := s.Say([]byte("one\n")); err != nil || lineOf(t, r) != "one\n" {
			t.Errorf("nothing is heard: %v", err)
		}
		if err := s.Restart(); err != nil {
			t.Fatal(err)
		}
		if _, err := r.ReadByte(); err == nil {
			t.Error("the connection outlived a restart")
		}
	}
}

func TestStreamCatchesAWriter(t *testing.T) {
	stand := &standIn{T: t}
	s := wires.NewStream(stand, 0, 1)
	conn, err := net.Dial("tcp", s.Address)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := conn.Write([]byte("RESET\r")); err != nil {
		t.Fatal(err)
	}
	until(t, "the bytes", func() bool { return len(s.Journal.Writes()) > 0 })
	stand.caught("bytes to a stream")
}

func TestVoiceIsBad(t *testing.T) {
	said := func(seed uint64) string {
		g := wires.NewGrowing(t, t.TempDir(), seed)
		if err := g.Noise(20); err != nil {
			t.Fatal(err)
		}
		if err := g.Half([]byte("0123456789")); err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(g.Path)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if a := said(1); len(a) < 20 || len(a) >= 30 || a != said(1) || a == said(2) {
		t.Errorf("%q", a)
	}
}

func TestFileGrows(t *testing.T) {
	g := wires.NewGrowing(t, t.TempDir(), 1)
	for _, act := range []func() error{
		func() error { return g.Say([]byte("one\n")) }, g.Rotate, func() error { return g.Say([]byte("two\n")) },
		g.Restart, func() error { return g.Say([]byte("three\n")) },
	} {
		if err := act(); err != nil {
			t.Fatal(err)
		}
	}
	now, err := os.ReadFile(g.Path)
	before, err2 := os.ReadFile(g.Path + ".1")
	if string(now) != "three\n" || string(before) != "one\n" || err != nil || err2 != nil {
		t.Errorf("%q %q %v %v", now, before, err, err2)
	}
	stand := &standIn{T: t}
	other := wires.NewGrowing(stand, t.TempDir(), 1)
	if err := os.WriteFile(other.Path, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	stand.caught("changed by somebody else")
}

func TestSyslogIsSent(t *testing.T) {
	m := wires.Message{
		Priority: 165, At: time.Date(2026, 3, 14, 9, 12, 44, 3e6, time.UTC), Host: "panel", App: "loop", ID: "FLT",
		Data: []wires.Datum{{ID: "point@32473", Values: [][2]string{{"text", `Store "4]`}}}}, Text: "FAULT 1.017", ByteOrderMark: true,
	}
	want := `<165>1 2026-03-14T09:12:44.003Z panel loop - FLT [point@32473 text="Store \"4\]"] ` + "\ufeffFAULT 1.017"
	packets, err := net.ListenPacket("udp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer packets.Close() //nolint:errcheck // the test is over
	s := wires.NewSender(t, wires.Datagrams, packets.LocalAddr().String(), 1)
	if err := s.Send(m); err != nil {
		t.Fatal(err)
	}
	b := make([]byte, 2000)
	if n, _, err := packets.ReadFrom(b); err != nil || string(b[:n]) != want {
		t.Errorf("%q, %v", b[:n], err)
	}
	if got := (wires.Message{Priority: 13}).Encode(); string(got) != "<13>1 - - - - - -" {
		t.Errorf("%q", got)
	}
}

func TestSyslogOverTCP(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close() //nolint:errcheck // the test is over
	m := wires.Message{Priority: 13, Text: "x"}
	for framing, want := range map[wires.Framing]string{wires.Counted: "19 <13>1 - - - - - - x21 <13>1 - - - - - - x", wires.Lined: "<13>1 - - - - - - x\n21 <13>1 - - - - - - x"} {
		stand := &standIn{T: t}
		s := wires.NewSender(stand, framing, listener.Addr().String(), 1)
		conn, err := listener.Accept()
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Send(m); err != nil {
			t.Fatal(err)
		}
		if err := s.Miscounted(m, 2); err != nil {
			t.Fatal(err)
		}
		b := make([]byte, len(want))
		if _, err := io.ReadFull(conn, b); err != nil || string(b) != want {
			t.Errorf("%q, %v", b, err)
		}
		if _, err := io.Copy(conn, strings.NewReader("ok")); err != nil {
			t.Fatal(err)
		}
		until(t, "the answer", func() bool { return len(s.Journal.Writes()) > 0 })
		stand.caught("bytes back to a sender")
	}
}
