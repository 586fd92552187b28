package ear

import (
	"fmt"
	"testing"

	"sootline/internal/worlds/wires"
)

// TestPortFindsItsSpeed: of a port with a speed only that speed gives text; the port is opened for reading alone.
func TestPortFindsItsSpeed(t *testing.T) {
	p := wires.NewPrinter(t, t.TempDir(), 19200, 1)
	c, stop := listens(t, Port{Path: p.Path}, "")
	said := make(chan struct{})
	go func() {
		defer close(said)
		for i := 0; !c.told("text at") && i < 400; i++ {
			_ = p.Say([]byte(fmt.Sprintf("12.12.25 10:%02d FIRE LOOP 1 POINT %03d\r\n", i%60, i)))
		}
	}()
	until(t, "the speed", func() bool { return c.told("text at 19200 bits") })
	<-said
	must(t, p.Say([]byte("the last line\r\n")))
	until(t, "the last line", func() bool { return c.has("the last line\r\n") })
	stop()
	if sent := p.Journal.Sent(); len(sent) > 0 {
		t.Errorf("sent %v", sent)
	}
	file, err := Port{Path: p.Path}.open()
	must(t, err)
	defer file.Close()
	if _, err := file.Write([]byte("x")); err == nil {
		t.Error("a port as it is opened for listening can be written to")
	}
}
