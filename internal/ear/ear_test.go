package ear

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline/internal/worlds/wires"
)

// collected is what a source told.
type collected struct {
	lock  sync.Mutex
	bytes bytes.Buffer
	said  []string
	place string
}

func (c *collected) out() Out {
	return Out{
		Hear: func(h Heard) error {
			c.lock.Lock()
			defer c.lock.Unlock()
			c.bytes.Write(h.Bytes)
			c.place = h.Place
			return nil
		},
		Say: func(text string) {
			c.lock.Lock()
			defer c.lock.Unlock()
			c.said = append(c.said, text)
		},
		Now: time.Now,
	}
}

func (c *collected) has(text string) bool {
	c.lock.Lock()
	defer c.lock.Unlock()
	return strings.Contains(c.bytes.String(), text)
}

func (c *collected) told(text string) bool {
	c.lock.Lock()
	defer c.lock.Unlock()
	return strings.Contains(strings.Join(c.said, "\n"), text)
}

// until waits for what must come.
func until(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(60 * time.Second); !ok(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("after a minute still not: %s", what)
		}
	}
}

// listens runs a source until the test ends, or until the function is called.
func listens(t *testing.T, s Source, place string) (*collected, func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	var c collected
	done := make(chan error, 1)
	go func() { done <- s.Listen(ctx, place, c.out()) }()
	var once sync.Once
	stop := func() {
		once.Do(func() {
			cancel()
			if err := <-done; err != nil {
				t.Error(err)
			}
		})
	}
	t.Cleanup(stop)
	return &c, stop
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestStreamComesBack: what a stream says arrives, also after it was gone, and nothing is sent to it.
func TestStreamComesBack(t *testing.T) {
	s := wires.NewStream(t, 0, 1)
	c, stop := listens(t, Stream{Address: s.Address}, "")
	<-s.Joined()
	must(t, s.Say([]byte("FIRE 1.001\r\n")))
	until(t, "the first line", func() bool { return c.has("FIRE 1.001\r\n") })
	must(t, s.Restart())
	<-s.Joined()
	must(t, s.Say([]byte("FAULT 1.002\r\n")))
	until(t, "the line after the restart", func() bool { return c.has("FAULT 1.002\r\n") })
	if !c.told("the other side ended it") {
		t.Errorf("that it was gone was not said: %q", c.said)
	}
	stop()
	if sent := s.Journal.Sent(); len(sent) > 0 {
		t.Errorf("sent %v", sent)
	}
}

// TestFileIsReadOnce: a file that grows, is renamed and emptied is read once, also by who left and came back in between.
func TestFileIsReadOnce(t *testing.T) {
	g := wires.NewGrowing(t, t.TempDir(), 1)
	must(t, g.Say([]byte("before\n")))
	c, stop := listens(t, Growing{Path: g.Path}, "")
	until(t, "what is passed over", func() bool { return c.told("7 bytes before are not") })
	must(t, g.Say([]byte("one\n")))
	until(t, "one", func() bool { return c.has("one\n") })
	stop()
	must(t, g.Say([]byte("two\n")))
	must(t, g.Rotate())
	must(t, g.Say([]byte("three\n")))
	c, stop = listens(t, Growing{Path: g.Path}, c.place)
	until(t, "three", func() bool { return c.has("three\n") })
	must(t, g.Restart())
	time.Sleep(2 * look)
	must(t, g.Say([]byte("four\n")))
	until(t, "four", func() bool { return c.has("four\n") })
	stop()
	if got := c.bytes.String(); got != "two\nthree\nfour\n" {
		t.Errorf("read %q", got)
	}
}

// TestSyslogByAllFramings: a message is a line, whichever way it comes, and no sender gets an answer.
func TestSyslogByAllFramings(t *testing.T) {
	address := freePort(t)
	c, stop := listens(t, Messages{Address: address}, "")
	until(t, "that it hears", func() bool { return c.told("hears at") })
	var senders []*wires.Sender
	for i, framing := range []wires.Framing{wires.Datagrams, wires.Counted, wires.Lined} {
		s := wires.NewSender(t, framing, address, 1)
		senders = append(senders, s)
		must(t, s.Send(wires.Message{Priority: 134, At: time.Now(), Host: "panel", App: "fire", Text: fmt.Sprintf("FIRE LOOP 1 POINT %d", i)}))
		until(t, "message", func() bool { return c.has(fmt.Sprintf("FIRE LOOP 1 POINT %d\n", i)) })
	}
	stop()
	for _, s := range senders {
		if sent := s.Journal.Sent(); len(sent) > 0 {
			t.Errorf("answered %v", sent)
		}
	}
}

func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	defer l.Close()
	return l.Addr().String()
}

// TestJournalSurvives: what was added is there after a cut line, the stream goes on where it ended, and what was altered is found.
func TestJournalSurvives(t *testing.T) {
	folder := t.TempDir()
	j, err := OpenJournal(folder)
	must(t, err)
	at := time.Date(2026, 3, 14, 9, 12, 0, 0, time.UTC)
	for i := range 3 {
		must(t, j.Add(Heard{At: at, Bytes: []byte(fmt.Sprintf("line %d\n", i)), Place: fmt.Sprint(i)}))
	}
	must(t, j.Close())
	names, err := j.names()
	must(t, err)
	path := filepath.Join(folder, names[0])
	whole, err := os.ReadFile(path)
	must(t, err)
	must(t, os.WriteFile(path, append(whole, `{"at":"2026`...), 0o600))
	j, err = OpenJournal(folder)
	must(t, err)
	if j.Next() != 21 || j.Place() != "2" {
		t.Errorf("it goes on at %d, place %q", j.Next(), j.Place())
	}
	must(t, j.Add(Heard{At: at, Bytes: []byte("line 3\n")}))
	var all []byte
	must(t, j.Each(7, func(_ int64, h Heard) error { all = append(all, h.Bytes...); return nil }))
	if string(all) != "line 1\nline 2\nline 3\n" {
		t.Errorf("read %q", all)
	}
	must(t, j.Close())
	must(t, os.WriteFile(path, bytes.Replace(whole, []byte("bGluZSAx"), []byte("bGluZSAy"), 1), 0o600))
	if err := j.Each(0, func(int64, Heard) error { return nil }); err == nil || !strings.Contains(err.Error(), "altered") {
		t.Errorf("a line that was altered is not found: %v", err)
	}
}
