package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline/internal/worlds/wires"
)

// panelBook makes a book with a loop of 30 points, of which a panel prints.
func panelBook(t *testing.T) (do func(args ...string) string, begin func(args ...string) *running) {
	t.Helper()
	folder := t.TempDir()
	t.Setenv("SOOTLINE_BY", "A. Tech")
	t.Setenv("XDG_DATA_HOME", folder)
	schedule := "loop,address,type,zone,location\n"
	for i := 1; i <= 30; i++ {
		schedule += fmt.Sprintf("1,%d,Larch,%d,Room %d\n", i, 1+i/10, i)
	}
	book, list := filepath.Join(folder, "book.db"), filepath.Join(folder, "schedule.csv")
	if err := os.WriteFile(list, []byte(schedule), 0o600); err != nil {
		t.Fatal(err)
	}
	do = func(args ...string) string {
		t.Helper()
		code, out := benchCommandLine("", append(args, "--book", book)...)
		if code != exitDone {
			t.Fatalf("%v: exit code %d\n%s", args, code, out)
		}
		return out
	}
	do("site", "add", "Works", "--loop", "1", "--zone", "UTC")
	do("take", list, "--yes")
	return do, func(args ...string) *running {
		t.Helper()
		ctx, cancel := context.WithCancel(context.Background())
		r := &running{cancel: cancel, done: make(chan int, 1)}
		go func() { r.done <- run(ctx, append(args, "--book", book), strings.NewReader(""), r, r) }()
		return r
	}
}

// running is the program at work, with what it printed so far.
type running struct {
	lock   sync.Mutex
	out    bytes.Buffer
	cancel func()
	done   chan int
}

func (r *running) Write(b []byte) (int, error) {
	r.lock.Lock()
	defer r.lock.Unlock()
	return r.out.Write(b)
}

func (r *running) text() string {
	r.lock.Lock()
	defer r.lock.Unlock()
	return r.out.String()
}

func (r *running) until(t *testing.T, text string) {
	t.Helper()
	for end := time.Now().Add(60 * time.Second); !strings.Contains(r.text(), text); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("after a minute still no %q in:\n%s", text, r.text())
		}
	}
}

func (r *running) stop(t *testing.T) {
	t.Helper()
	r.cancel()
	if code := <-r.done; code != exitDone {
		t.Fatalf("exit code %d\n%s", code, r.text())
	}
}

// printed is a line as the panel of this test prints it now.
func printed(event string, point int) []byte {
	return []byte(fmt.Sprintf("%s  %-14s L1 D%03d Z%02d  Room %d\r\n", time.Now().UTC().Format("02/01/2006 15:04:05"), event, point, 1+point/10, point))
}

// TestListenTaught: lines are kept until they are taught by three of them; then they become entries, once, whoever stops and
// starts in between; in a visit an activation is a test; a fault that comes again is counted; and nothing is sent to the panel.
func TestListenTaught(t *testing.T) {
	do, begin := panelBook(t)
	stream := wires.NewStream(t, 0, 1)
	say := func(event string, point int) {
		t.Helper()
		if err := stream.Say(printed(event, point)); err != nil {
			t.Fatal(err)
		}
	}
	listen := func() *running {
		r := begin("listen", "--name", "printer", "--tcp", stream.Address)
		<-stream.Joined()
		return r
	}
	first := listen()
	first.until(t, "Nobody has taught yet")
	for i, event := range []string{"FIRE ALARM", "FAULT", "DISABLED", "ENABLED", "FIRE ALARM", "FAULT"} {
		say(event, 1+3*i)
	}
	time.Sleep(300 * time.Millisecond)
	first.stop(t)
	shown := do("listen", "teach", "printer")
	marks := markedLines(t, shown, 3)
	out := do(append([]string{"listen", "teach", "printer"}, marks...)...)
	if !strings.Contains(out, `What does "ENABLED" mean?`) {
		t.Fatalf("it did not ask for the word that nobody explained:\n%s", out)
	}
	do(append([]string{"listen", "teach", "printer", "--word", "ENABLED:enabled", "--keep"}, marks...)...)

	second := listen()
	second.until(t, "connected")
	say("FIRE ALARM", 7)
	second.until(t, "1.1.007")
	say("FAULT", 8)
	say("FAULT", 8)
	say("NONSENSE", 9)
	second.until(t, "NONSENSE")
	second.stop(t)
	do("visit", "open", "--minutes", "600", "--confirm", "responsible,monitoring,outputs,disabled")

	third := listen()
	third.until(t, "connected")
	say("FIRE ALARM", 11)
	third.until(t, "1.1.011")
	third.stop(t)

	for kind, want := range map[string]int{"alarm": 3, "fault": 3, "disabled": 1, "restored": 1, "tested": 1} {
		log := do("log", "--kind", kind)
		if got := strings.Count(log, "heard from printer"); got != want {
			t.Errorf("%d entries of kind %s, want %d:\n%s", got, kind, want, log)
		}
	}
	if status := do("listen", "status"); !strings.Contains(status, "NONSENSE") || !strings.Contains(status, "1 line") {
		t.Errorf("the status does not tell of the line that was not understood:\n%s", status)
	}
	if sent := stream.Journal.Sent(); len(sent) > 0 {
		t.Errorf("sent to the panel: %v", sent)
	}
}

// markedLines marks the parts of the first lines that were shown, as a person would.
func markedLines(t *testing.T, shown string, n int) (args []string) {
	t.Helper()
	means := map[string]string{"FIRE ALARM": "alarm", "FAULT": "fault", "DISABLED": "disabled"}
	for line := range strings.Lines(shown) {
		f := strings.Fields(line)
		if len(args) == 2*n || len(f) < 8 {
			continue
		}
		event := f[3]
		if event == "FIRE" {
			event = "FIRE ALARM"
		}
		k := len(f)
		args = append(args, "--line", fmt.Sprintf("%s day=%s time=%s event=%s:%s loop=1 number=%s zone=%s text=%s",
			f[0], f[1], f[2], event, means[event], f[k-4][1:], f[k-3][1:], f[k-2]+" "+f[k-1]))
	}
	if len(args) != 2*n {
		t.Fatalf("not enough lines are shown:\n%s", shown)
	}
	return args
}

// TestListenValues: values over Modbus become readings when they are new, once, whoever reads again; what the device refuses is
// told, and nothing that writes is sent.
func TestListenValues(t *testing.T) {
	do, _ := panelBook(t)
	server := wires.NewModbusTCP(t, 3)
	server.Set(wires.Measured, 0, 251)
	server.Set(wires.Measured, 1, 300)
	table := filepath.Join(t.TempDir(), "map.csv")
	if err := os.WriteFile(table, []byte("point,source,unit,scale\n1.1.003,3:4:0,,0.1\n1.1.004,3:4:1,,0.1\n1.1.005,3:4:9,,0.1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	night := func(day int) string {
		t.Helper()
		t.Setenv("SOOTLINE_NOW", fmt.Sprintf("2026-02-%02dT02:00:00Z", day))
		return do("listen", "values", "--via", "modbus", "--address", server.Address, "--map", table, "--once")
	}
	for day := 1; day <= 6; day++ {
		if out := night(day); !strings.Contains(out, "2 values read") || !strings.Contains(out, "1 point without an answer") {
			t.Fatal(out)
		}
	}
	server.Set(wires.Measured, 0, 420)
	for day := 7; day <= 9; day++ {
		night(day)
	}
	t.Setenv("SOOTLINE_NOW", "2026-02-10T10:00:00Z")
	log := do("log", "--kind", "read", "--point", "1.1.003")
	if strings.Count(log, "read by bus") != 2 || !strings.Contains(log, "25.1") || !strings.Contains(log, "42") {
		t.Errorf("the readings of the point that rose:\n%s", log)
	}
	if log := do("log", "--kind", "read", "--point", "1.1.004"); strings.Count(log, "read by bus") != 1 {
		t.Errorf("the readings of the point that rests:\n%s", log)
	}
	for _, sent := range server.Journal.Sent() {
		if sent.Write {
			t.Errorf("sent %v", sent)
		}
	}
}

// TestListenValuesBeyond: a value that the type's scale cannot show is told by its point and not kept, unless the mapping says that it
// can be; one in another unit than the type's is no resting value of it.
func TestListenValuesBeyond(t *testing.T) {
	do, _ := panelBook(t)
	folder := t.TempDir()
	types := filepath.Join(folder, "types.csv")
	if err := os.WriteFile(types, []byte("type,kind,unit,low,high\nLarch,smoke,%,15,40\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	do("take", types, "--yes")
	server := wires.NewModbusTCP(t, 3)
	for i, v := range []uint16{251, 65000, 65000, 251} {
		server.Set(wires.Measured, uint16(i), v)
	}
	table := filepath.Join(folder, "map.csv")
	if err := os.WriteFile(table, []byte("point;source;unit;scale;most\n1.1.003;3:4:0;%;0,1;\n1.1.004;3:4:1;%;0,1;\n1.1.005;3:4:2;%;0,1;7000\n1.1.006;3:4:3;mV;0,1;\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("SOOTLINE_NOW", "2026-02-01T02:00:00Z")
	read := func() string {
		return do("listen", "values", "--via", "modbus", "--address", server.Address, "--map", table, "--once")
	}
	out := read()
	t.Setenv("SOOTLINE_NOW", "2026-02-02T02:00:00Z")
	read()
	t.Setenv("SOOTLINE_NOW", "2026-02-03T02:00:00Z")
	if !strings.Contains(out, "not kept: 1.1.004 (6500)") || strings.Contains(out, "1.1.005 (") || !strings.Contains(out, "3 values read") {
		t.Error(out)
	}
	if log := do("log", "--kind", "read"); strings.Count(log, "read by bus") != 3 || strings.Contains(log, "1.1.004") || !strings.Contains(log, "25.1, mV") {
		t.Errorf("the readings:\n%s", log)
	}
}

// TestListenValuesApart: where all points of a type show a multiple of what was read at them last, that is told: it is a scale.
func TestListenValuesApart(t *testing.T) {
	do, _ := panelBook(t)
	server := wires.NewModbusTCP(t, 3)
	table := "point,source\n"
	for i := 1; i <= 10; i++ {
		point := fmt.Sprintf("1.1.%03d", i)
		do("log", "add", "read", "--point", point, "--samples", fmt.Sprint(140+i), "--at", "2026-01-10T09:00")
		v := 141 + i
		if i > 5 {
			v = 60
		}
		server.Set(wires.Measured, uint16(i), uint16(v))
		table += fmt.Sprintf("%s,3:4:%d\n", point, i)
	}
	path := filepath.Join(t.TempDir(), "map.csv")
	if err := os.WriteFile(path, []byte(table), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("SOOTLINE_NOW", "2026-02-01T02:00:00Z")
	read := func() string {
		return do("listen", "values", "--via", "modbus", "--address", server.Address, "--map", path, "--once")
	}
	if out := read(); strings.Contains(out, "times what was read") {
		t.Errorf("half of them show as before:\n%s", out)
	}
	for i := 1; i <= 10; i++ {
		server.Set(wires.Measured, uint16(i), 60)
	}
	if out := read(); !strings.Contains(out, "points of type Larch show about 0.42 times what was read at them last") {
		t.Errorf("another scale is not told:\n%s", out)
	}
}

// TestListenAgain: after a word was explained otherwise, what was heard is read again: corrections are added, once, and what
// somebody amended stays.
func TestListenAgain(t *testing.T) {
	do, begin := panelBook(t)
	stream := wires.NewStream(t, 0, 1)
	r := begin("listen", "--name", "printer", "--tcp", stream.Address)
	<-stream.Joined()
	for i, event := range []string{"FIRE ALARM", "FAULT", "DISABLED", "FIRE ALARM", "DISABLED"} {
		if err := stream.Say(printed(event, 1+3*i)); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(300 * time.Millisecond)
	marks := markedLines(t, do("listen", "teach", "printer"), 3)
	wrong := append([]string(nil), marks...)
	for i, mark := range wrong {
		wrong[i] = strings.ReplaceAll(mark, "DISABLED:disabled", "DISABLED:fault")
	}
	do(append([]string{"listen", "teach", "printer", "--keep"}, wrong...)...)
	r.until(t, "1.1.013") // whoever listens sees at once what was taught
	if log := do("log", "--kind", "fault"); strings.Count(log, "heard from printer") != 3 {
		t.Fatalf("not three faults:\n%s", log)
	}
	amended := regexp.MustCompile(`1\.1\.007[^\n]*\n\s+([0-9a-f-]{36})`).FindStringSubmatch(do("log", "--kind", "fault"))
	do("log", "correct", amended[1], "--text", "seen by eye")
	do(append([]string{"listen", "teach", "printer", "--keep"}, marks...)...)
	if out := do("listen", "again", "printer"); !strings.Contains(out, "3 entries as before, 1 corrected, 0 new, 1 left") {
		t.Errorf("what it would do:\n%s", out)
	}
	for _, want := range []string{"1 corrected", "0 corrected"} {
		if out := do("listen", "again", "printer", "--keep"); !strings.Contains(out, want) {
			t.Errorf("not %s:\n%s", want, out)
		}
	}
	r.stop(t)
	if log := do("log", "--point", "1.1.013"); !strings.Contains(log, "fault, heard from printer: fault  [corrected") || !strings.Contains(log, "disabled, heard from printer") {
		t.Errorf("the log of the point:\n%s", log)
	}
}
