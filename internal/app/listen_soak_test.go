//go:build linux

package app

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/store"
	"sootline/internal/worlds/wires"
)

// TestListenSoak: sources of every kind say what a panel says, with faults, in compressed time, to the worker of `serve --sources`,
// which is ended and begun again in between. What was heard is accounted for line by line, nothing is in the log twice, and the
// heap is flat. SOOTLINE_LONG plays a week, else it is some hours.
func TestListenSoak(t *testing.T) {
	hours := 4
	if os.Getenv("SOOTLINE_LONG") != "" {
		hours = 168
	}
	s := newSoak(t)
	s.start()
	heaps := map[int]uint64{}
	for hour := 1; hour <= hours; hour++ {
		s.hour(hour)
		if hour == 1 || hour == hours/2 && hours > 100 || hour == hours {
			heaps[hour] = s.heap()
			t.Logf("hour %d: heap %d kB without the log", hour, heaps[hour]>>10)
		}
	}
	s.stop()
	s.verify()
	if first, last := heaps[1], heaps[hours]; last > first+3<<20 { // the simulators keep what they were asked
		t.Errorf("the heap grew from %d to %d bytes: %v", first, last, heaps)
	}
}

// soak is a site with its sources, and a clock that is set.
type soak struct {
	t       *testing.T
	a       *App
	site    store.SiteLine
	rng     *rand.Rand
	clock   sync.Mutex
	now     time.Time
	printed []*printing
	values  []*valuing
	modbus  []*wires.Modbus
	broker  *wires.Broker
	device  *wires.Device
	stream  *wires.Stream
	file    *wires.Growing
	running *SourcesHeard
	end     func()
	ended   chan error
	visit   bool
	times   int // the worker was begun
}

// printing is a source of text.
type printing struct {
	kept   KeptSource
	say    func(b []byte) error
	half   func(b []byte) error // nil: it says whole messages
	memory bool                 // what it says while nobody listens is not lost
	heard  int64                // bytes that are to be heard so far
}

// valuing is a source of values.
type valuing struct {
	kept   sootline.Source
	hearer *ValueHearer
	told   int
}

func newSoak(t *testing.T) *soak {
	a, site, _ := panelSite(t)
	s := &soak{t: t, a: a, site: site, rng: rand.New(rand.NewPCG(21, 7)), now: today}
	a.Now = func() time.Time { s.clock.Lock(); defer s.clock.Unlock(); return s.now }
	a.Logs = NewLogs(MostLogs)
	s.texts()
	s.sensors()
	return s
}

// texts makes the sources of text.
func (s *soak) texts() {
	t := s.t
	s.stream = wires.NewStream(t, 0, 1)
	s.file = wires.NewGrowing(t, t.TempDir(), 2)
	port := wires.NewPrinter(t, t.TempDir(), 0, 3)
	syslog := freeAddress(t)
	conn, err := net.Dial("udp", syslog)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	messages := func(b []byte) error {
		for line := range strings.Lines(string(b)) {
			m := wires.Message{Priority: 134, At: s.a.Now(), Host: "panel", App: "prn", Text: strings.TrimRight(line, "\r\n")}
			if _, err := conn.Write(m.Encode()); err != nil {
				return err
			}
		}
		return nil
	}
	s.printed = []*printing{
		{kept: KeptSource{Name: "stream", Via: "tcp", Address: s.stream.Address}, say: s.stream.Say, half: s.stream.Half},
		{kept: KeptSource{Name: "file", Via: "file", Address: s.file.Path}, say: s.file.Say, half: s.file.Half, memory: true},
		{kept: KeptSource{Name: "port", Via: "serial", Address: port.Path, Speed: 9600}, say: port.Say, half: port.Half},
		{kept: KeptSource{Name: "messages", Via: "syslog", Address: syslog}, say: messages},
	}
	for _, p := range s.printed {
		s.pass(time.Second)
		teachPrinter(t, s.a, s.site, p.kept.Name)
		s.pass(time.Second)
		if err := s.a.KeepSource(t.Context(), s.site.ID, p.kept); err != nil {
			t.Fatal(err)
		}
	}
}

func freeAddress(t *testing.T) string {
	t.Helper()
	c, err := net.ListenPacket("udp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	return c.LocalAddr().String()
}

// sensors makes the sources of values: each has five points of its own.
func (s *soak) sensors() {
	t := s.t
	tcp, rtu := wires.NewModbusTCP(t, 3), wires.NewModbusRTU(t, t.TempDir(), 0, 3)
	s.modbus = []*wires.Modbus{tcp.Modbus, rtu.Modbus}
	s.broker = wires.NewBroker(t)
	var things []wires.Thing
	for i := range 5 {
		things = append(things, wires.Thing{Kind: wires.AnalogInput, Instance: uint32(i), Value: 25, Units: 95, Change: 1})
	}
	s.device = wires.NewDevice(t, 77, things...)
	for i, v := range []struct{ via, address, source string }{
		{"modbus", tcp.Address, "3:4:%d"}, {"modbus-serial", rtu.Path, "3:4:%d"}, {"bacnet", s.device.Address, "0:%d"}, {"mqtt", s.broker.Address, "panel/%d"},
	} {
		places := "point,source\n"
		for k := range 5 {
			places += fmt.Sprintf("1.1.%03d,"+v.source+"\n", 1+5*i+k, k)
		}
		s.values = append(s.values, &valuing{kept: sootline.Source{Name: "values-" + v.via, Via: v.via, Address: v.address, Places: places}})
	}
	s.read()
}

// read gives each register and object a value about its level.
func (s *soak) read() {
	for k := range 5 {
		v := 22 + k + s.rng.IntN(3)
		if s.rng.IntN(40) == 0 {
			v += 12
		}
		for _, m := range s.modbus {
			m.Set(wires.Measured, uint16(k), uint16(v))
		}
		s.must(s.device.Set(wires.AnalogInput, uint32(k), float64(v), 0))
		s.must(s.broker.Publish(fmt.Sprintf("panel/%d", k), fmt.Append(nil, v), true, 0))
	}
}

func (s *soak) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *soak) pass(d time.Duration) {
	s.clock.Lock()
	defer s.clock.Unlock()
	s.now = s.now.Add(d)
}

// start begins the worker, and opens what was kept of values.
func (s *soak) start() {
	s.times++
	var may []string
	for _, p := range s.printed {
		may = append(may, p.kept.Address)
	}
	ctx, cancel := context.WithCancel(context.Background())
	s.end, s.ended = cancel, make(chan error, 1)
	s.running = &SourcesHeard{App: s.a, MayOpen: may, Days: 60, Say: func(text string) {
		if strings.Contains(text, "altered") || strings.Contains(text, "written later") {
			s.t.Error(text)
		}
	}}
	go func() { s.ended <- s.running.Run(ctx) }()
	for _, p := range s.printed {
		s.until(p.kept.Name+" is heard", func() bool { return readFacts(s.folder(p.kept.Name)).Joined })
	}
	<-s.stream.Joined()
	for _, v := range s.values {
		var err error
		v.hearer, err = s.a.ValueHearer(context.Background(), s.site, v.kept, 60)
		s.must(err)
		v.hearer.Told = func(time.Time, string, float64, bool) { v.told++ }
	}
}

func (s *soak) folder(name string) string {
	folder, err := s.a.journalFolder(s.site.ID, name)
	s.must(err)
	return folder
}

// stop ends the worker.
func (s *soak) stop() {
	s.end()
	s.must(<-s.ended)
	for _, v := range s.values {
		s.must(v.hearer.Close())
	}
}

func (s *soak) until(what string, is func() bool) {
	s.t.Helper()
	for begun := time.Now(); !is(); time.Sleep(2 * time.Millisecond) {
		if time.Since(begun) > 3*time.Minute {
			s.t.Fatalf("not within three minutes: %s", what)
		}
	}
}

// hour plays one: what panels print every quarter, what values are once, and what goes wrong.
func (s *soak) hour(hour int) {
	for range 4 {
		s.pass(15 * time.Minute)
		for _, p := range s.printed {
			s.says(p, s.lines(1+s.rng.IntN(4)))
		}
		s.heard()
	}
	s.read()
	s.poll()
	switch hour % 4 {
	case 1:
		s.halves()
		s.turns()
	case 2:
		s.breaks()
	case 3:
		s.attends()
	case 0:
		s.floods()
	}
	s.heard()
}

// lines are what a panel prints at an instant.
func (s *soak) lines(n int) []byte {
	var b strings.Builder
	now := s.a.Now()
	for range n {
		k := 1 + s.rng.IntN(30)
		zone, text := 1+k/10, fmt.Sprintf("Room %d", k)
		switch s.rng.IntN(12) {
		case 0:
			zone++
		case 1:
			text = "Attic"
		case 2:
			b.WriteString("PAPER LOW\r\n")
			continue
		case 3, 4:
			b.WriteString(now.UTC().Format("02/01/2006 15:04") + " RESET\r\n")
			continue
		}
		b.WriteString(printed(now, []string{"FIRE", "FAULT", "FAULT", "DISABLED"}[s.rng.IntN(4)], k, zone, text))
	}
	return []byte(b.String())
}

func (s *soak) says(p *printing, b []byte) {
	s.must(p.say(b))
	if p.half != nil {
		p.heard += int64(len(b))
		return
	}
	for line := range strings.Lines(string(b)) {
		m := wires.Message{Priority: 134, At: s.a.Now(), Host: "panel", App: "prn", Text: strings.TrimRight(line, "\r\n")}
		p.heard += int64(len(m.Encode())) + 1
	}
}

// heard waits until all that was said was heard.
func (s *soak) heard() {
	for _, p := range s.printed {
		s.until(fmt.Sprintf("%s heard %d bytes", p.kept.Name, p.heard), func() bool { return s.kept(p.kept.Name) >= p.heard })
	}
}

// kept is how many bytes are kept of a source.
func (s *soak) kept(name string) int64 {
	j, err := ear.LookAt(s.folder(name))
	if err != nil {
		return 0 // a line is being written
	}
	return j.Next()
}

// poll reads all values once; answers of Modbus are ill now and then, and the broker tells what it has to tell.
func (s *soak) poll() {
	ills := []wires.Ill{wires.Busy, wires.Short, wires.Miscount, wires.OtherAsk, wires.Hangup}
	s.modbus[0].Spoil(ills[s.rng.IntN(len(ills))])
	for _, v := range s.values {
		if v.kept.Via != "mqtt" {
			s.must(v.hearer.Once(context.Background()))
			continue
		}
		ctx, cancel := context.WithCancel(context.Background())
		done := make(chan error, 1)
		before := v.told
		go func() { done <- v.hearer.listen(ctx, time.Minute) }()
		s.until("the broker tells", func() bool { v.hearer.lock.Lock(); defer v.hearer.lock.Unlock(); return v.told >= before+5 })
		cancel()
		s.must(<-done)
	}
}

// halves says the first part of lines, and noise.
func (s *soak) halves() {
	for _, p := range s.printed {
		if p.half == nil {
			continue
		}
		b := s.lines(1)
		s.says(p, b[:s.rng.IntN(len(b))])
	}
	s.heard()
	s.pass(time.Minute)
	for _, p := range s.printed {
		noise := make([]byte, 40)
		for i := range noise {
			noise[i] = byte(s.rng.IntN(256))
		}
		if p.half == nil {
			noise = []byte("~~\x7f###")
		}
		s.says(p, noise)
	}
}

// breaks ends the worker; a file goes on, and its lines come late in one piece.
func (s *soak) breaks() {
	s.stop()
	for range 6 {
		s.pass(7 * time.Minute)
		for _, p := range s.printed {
			if p.memory {
				s.says(p, s.lines(1))
			}
		}
	}
	s.pass(time.Minute)
	s.start()
}

// turns restarts what speaks: the stream's server, the file, the broker, the device.
func (s *soak) turns() {
	s.must(s.stream.Restart())
	s.must(s.file.Rotate())
	s.must(s.broker.Restart())
	s.must(s.device.Restart())
	<-s.stream.Joined()
	s.read()
}

// attends opens a visit, or closes the one that is open.
func (s *soak) attends() {
	if s.visit = !s.visit; s.visit {
		openRound(s.t, s.a, s.site)
		return
	}
	s.must(s.a.add(context.Background(), s.site.ID, s.a.entry(s.site.ID, s.a.Now(), sootline.ID{}, sootline.Visit{State: sootline.VisitClosed, Left: sootline.LeftNormal})))
}

// floods says the same fault a hundred times.
func (s *soak) floods() {
	for _, p := range s.printed {
		b := printed(s.a.Now(), "FAULT", 17, 2, "Room 17")
		for range 10 {
			s.says(p, []byte(strings.Repeat(b, 10)))
		}
	}
}

// heap is what is held without the log, which grows with what is written; with it is what the simulators keep, a little.
func (s *soak) heap() uint64 {
	time.Sleep(1200 * time.Millisecond) // each hearer has seen what was written last, and reads no log for it
	logs := s.a.Logs
	logs.mu.Lock()
	clear(logs.sites)
	logs.used.Init()
	logs.bytes = 0
	logs.mu.Unlock()
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
