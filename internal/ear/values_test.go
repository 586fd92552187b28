package ear

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline/internal/worlds/wires"
)

// taken are values as a source told them.
type taken struct {
	lock   sync.Mutex
	values map[int][]float64
	said   []string
}

func (k *taken) out() ValueOut {
	return ValueOut{
		Value: func(_ time.Time, place int, v float64) error {
			k.lock.Lock()
			defer k.lock.Unlock()
			k.values[place] = append(k.values[place], v)
			return nil
		},
		Say: func(text string) {
			k.lock.Lock()
			defer k.lock.Unlock()
			k.said = append(k.said, text)
		},
		Now: time.Now,
	}
}

// last gives the last value of a place.
func (k *taken) last(place int) float64 {
	k.lock.Lock()
	defer k.lock.Unlock()
	if n := len(k.values[place]); n > 0 {
		return k.values[place][n-1]
	}
	return -1
}

func (k *taken) count(place int) int {
	k.lock.Lock()
	defer k.lock.Unlock()
	return len(k.values[place])
}

// valuesOf reads places until the test ends.
func valuesOf(t *testing.T, kind Kind, s ValueSource, table string, every time.Duration) *taken {
	t.Helper()
	places, err := ReadPlaces(kind, table)
	must(t, err)
	k := &taken{values: map[int][]float64{}}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Values(ctx, places, every, k.out()) }()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	return k
}

// TestValuesOnALine: values are read on a serial line; ill answers are no values; the line is opened again after a restart; and
// all that left are requests that read.
func TestValuesOnALine(t *testing.T) {
	s := wires.NewModbusRTU(t, t.TempDir(), 19200, 3)
	s.BeLate(200 * time.Millisecond)
	s.Set(wires.Measured, 100, 251)
	s.Set(wires.Holding, 7, 40)
	source := Polled{Name: "line", Read: &Modbus{Line: Line{Path: s.Path}, Wait: 600 * time.Millisecond}, Pause: 5 * time.Millisecond}
	k := valuesOf(t, ModbusLine, source, "point;source;unit;scale\n1.1.001;3:4:100;%;0.1\n1.1.002;3:3:7;;\n1.1.003;3:4:9;;\n", 200*time.Millisecond)
	until(t, "two values", func() bool { return k.last(0) == 25.1 && k.last(1) == 40 })
	for _, ill := range []wires.Ill{wires.Busy, wires.Slow, wires.Short, wires.Long, wires.Miscount, wires.OtherUnit, wires.OtherAsk, wires.Misframed, wires.Noise, wires.Half, wires.Silent} {
		before := k.count(0)
		s.Spoil(ill)
		until(t, "a value after "+string(ill), func() bool { return k.count(0) > before+1 })
	}
	must(t, s.Restart())
	s.Set(wires.Measured, 100, 300)
	until(t, "a value after the restart", func() bool { return k.last(0) == 30 })
	k.lock.Lock()
	defer k.lock.Unlock()
	for place, want := range map[int][]float64{0: {25.1, 30}, 1: {40}} {
		for _, v := range k.values[place] {
			if fmt.Sprintf("%.6g", v) != fmt.Sprintf("%.6g", want[0]) && v != want[len(want)-1] {
				t.Errorf("place %d showed %v", place, v)
			}
		}
	}
	if len(k.values[2]) > 0 {
		t.Errorf("a register that there is not has the value %v", k.values[2])
	}
	onlyReads(t, &s.Journal)
}

func onlyReads(t *testing.T, j *wires.Journal) {
	t.Helper()
	if len(j.Sent()) == 0 || len(j.Writes()) > 0 {
		t.Errorf("of %d requests these could write: %v", len(j.Sent()), j.Writes())
	}
}

// TestValuesOfTopics: what is sent on a topic is a value, noise and halves are none, a flood gives no more than its pace, and after
// a restart it is subscribed to again. Nothing is published.
func TestValuesOfTopics(t *testing.T) {
	b := wires.NewBroker(t)
	k := valuesOf(t, Broker, Topics{Address: b.Address}, "point,source,scale\n1.1.001,panel/1/level,0.1\n1.1.002,panel/2|level,\n", 300*time.Millisecond)
	until(t, "the subscriptions", func() bool { return len(b.Subscribed()) == 2 })
	must(t, b.Publish("panel/1/level", []byte("251"), false, 0))
	must(t, b.Publish("panel/2", []byte(`{"level": 7.5, "unit": "%"}`), false, 1))
	until(t, "two values", func() bool { return k.last(0) == 25.1 && k.last(1) == 7.5 })
	must(t, b.Publish("panel/1/level", []byte("nothing"), false, 0))
	must(t, b.Flood("panel/2", []byte(`{"level": 8}`), 2000))
	time.Sleep(400 * time.Millisecond)
	if n := k.count(1); n > 6 {
		t.Errorf("a flood gave %d values", n)
	}
	must(t, b.Noise())
	until(t, "the subscriptions after noise", func() bool { return len(b.Subscribed()) == 2 })
	until(t, "a value after noise", func() bool {
		must(t, b.Publish("panel/1/level", []byte("260"), false, 0))
		return k.last(0) == 26
	})
	must(t, b.Half("panel/1/level", []byte("999")))
	must(t, b.Restart())
	until(t, "the subscriptions after the restart", func() bool { return len(b.Subscribed()) == 2 })
	until(t, "a value after the restart", func() bool {
		must(t, b.Publish("panel/1/level", []byte("270"), false, 0))
		return k.last(0) == 27
	})
	for _, v := range k.values[0] {
		if v != 25.1 && v != 26 && v != 27 {
			t.Errorf("a topic showed %v", v)
		}
	}
	if w := b.Journal.Writes(); len(w) > 0 {
		t.Errorf("could write: %v", w)
	}
}

// TestNothingIsPublished: a packet that publishes does not leave, and ends the connection.
func TestNothingIsPublished(t *testing.T) {
	for kind := range 16 {
		s := &subscribing{}
		err := s.check([]byte{byte(kind) << 4, 2, 'a', 'b', 0xC0, 0})
		if (err == nil) != (kind == 1 || kind == 8 || kind == 12 || kind == 14) {
			t.Errorf("a packet of type %d: %v", kind, err)
		}
	}
	s := &subscribing{}
	if s.check([]byte{0x82, 0x80}) != nil || s.check([]byte{0x01}) != nil || s.left != 128 || s.check(make([]byte, 128)) != nil || s.check([]byte{0x30}) == nil {
		t.Error("a packet in parts is not followed")
	}
}

// TestValuesOfThings: values are read and changes come by themselves; ill answers are no values; after a restart of the device it is
// subscribed to again. Nothing that writes leaves.
func TestValuesOfThings(t *testing.T) {
	d := wires.NewDevice(t, 77, wires.Thing{Kind: wires.AnalogInput, Instance: 1, Name: "level", Value: 25, Units: 95},
		wires.Thing{Kind: wires.BinaryInput, Instance: 2, Name: "door", Value: 1}, wires.Thing{Kind: wires.MultiInput, Instance: 3, Name: "state", Value: 2})
	d.BeLate(500 * time.Millisecond)
	source := Things{Address: d.Address, Wait: 200 * time.Millisecond}
	k := valuesOf(t, Device, source, "point\tsource\n1.1.001\tanalog-input:1\n1.1.002\tbinary-input:2\n1.1.003\t13:3\n1.1.004\t0:9\n", 700*time.Millisecond)
	until(t, "three values", func() bool { return k.last(0) == 25 && k.last(1) == 1 && k.last(2) == 2 })
	if n := d.Subscribed(); n != 3 {
		t.Errorf("%d subscriptions", n)
	}
	must(t, d.Set(wires.AnalogInput, 1, 31.5, 0))
	until(t, "a change", func() bool { return k.last(0) == 31.5 })
	for _, ill := range []wires.Ill{wires.Slow, wires.OtherAsk, wires.Noise, wires.Half, wires.Silent, wires.Failed} {
		before := k.count(0)
		d.Spoil(ill)
		until(t, "a value after "+string(ill), func() bool { return k.count(0) > before+1 })
	}
	must(t, d.Noise())
	must(t, d.Restart())
	until(t, "the subscriptions after the restart", func() bool { return d.Subscribed() == 3 })
	must(t, d.Set(wires.AnalogInput, 1, 40, 0))
	until(t, "a change after the restart", func() bool { return k.last(0) == 40 })
	if k.count(3) > 0 {
		t.Errorf("an object that there is not has the value %v", k.values[3])
	}
	for _, v := range k.values[0] {
		if v != 25 && v != 31.5 && v != 40 {
			t.Errorf("an object showed %v", v)
		}
	}
	onlyReads(t, &d.Journal)
}

// FuzzDatagram: any bytes in the place of a datagram are nothing, or a value that is a number.
func FuzzDatagram(f *testing.F) {
	f.Add([]byte{0x81, 0x0A, 0, 23, 1, 0, 0x30, 1, 12, 0x0C, 0, 0, 0, 1, 0x19, 85, 0x3E, 0x44, 0x41, 0xC8, 0, 0, 0x3F})
	f.Add([]byte{0x81, 0x0A, 0, 9, 1, 0, 0x50, 1, 12})
	f.Add([]byte{0x81, 0x0A, 0, 41, 1, 0, 0x10, 2, 0x0C, 0, 0, 0, 0, 0x1C, 2, 0, 0, 77, 0x2C, 0, 0, 0, 1, 0x3A, 2, 88, 0x4E, 0x09, 85, 0x2E, 0x44, 0x41, 0xC8, 0, 0, 0x2F, 0x09, 111, 0x2E, 0x2F, 0x4F})
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := apduOf(data)
		if err != nil {
			return
		}
		if v, err := a.value(thing{0, 1}); err == nil && v-v != 0 {
			t.Error(v)
		}
		if _, _, v, err := a.change(); err == nil && v-v != 0 {
			t.Error(v)
		}
	})
}

// FuzzPlaces: any table and topic and frame is understood, or refused in a sentence.
func FuzzPlaces(f *testing.F) {
	f.Add("point,source,unit,scale\n1.1.001,3:4:100,%,0.1\n", []byte("21.5"))
	f.Add("point;source\n1.1.001;analog-input:3\n", []byte(`{"level":3}`))
	f.Fuzz(func(t *testing.T, table string, payload []byte) {
		for _, kind := range Kinds() {
			places, err := ReadPlaces(kind, table)
			if err != nil && err.Error() == "" || err == nil && len(places) == 0 {
				t.Error(kind, places, err)
			}
		}
		k := &taken{values: map[int][]float64{}}
		values := topicValues{places: []Place{{Scale: 1}, {Scale: 1, key: "level"}}, out: k.out(), last: make([]time.Time, 2), by: map[string][]int{"t": {0, 1}}}
		if err := values.came("t", payload); err != nil || k.last(0) != k.last(0) {
			t.Error(err, k.values)
		}
		s := &subscribing{}
		if s.check(payload) == nil && len(payload) > 0 && !leaves[payload[0]>>4] {
			t.Errorf("%x may leave", payload)
		}
	})
}

// FuzzLineAnswer: any bytes in the place of an answer on a line are an error, or as many values as were asked.
func FuzzLineAnswer(f *testing.F) {
	f.Add(checked([]byte{3, 4, 2, 0, 251}))
	f.Add(checked([]byte{3, 0x84, 2}))
	f.Fuzz(func(t *testing.T, data []byte) {
		r := Reading{unit: 3, table: Measured, count: 1}
		if v, err := r.lineAnswer(bytes.NewReader(data)); err == nil && len(v) != 1 {
			t.Errorf("%v", v)
		}
	})
}

// TestNoValuesAreTold: a register that shows what often stands for no value gives none, and its point is named; so is the point
// that the device refuses. Where the mapping says that it holds, it is a value. A scale may have a decimal comma.
func TestNoValuesAreTold(t *testing.T) {
	s := wires.NewModbusTCP(t, 3)
	for i, v := range []uint16{0xFFFF, 0x8000, 0x7FFF, 0xFFFF, 251} {
		s.Set(wires.Holding, uint16(i), v)
	}
	table := "point;source;scale;holds\nA;3:3:0;;\nB;3:3:1;;\nC;3:3:2;;\nD;3:3:3;;0xFFFF\nE;3:3:4;0,1;\nF;3:3:900;;\n"
	places, err := ReadPlaces(ModbusTCP, table)
	must(t, err)
	source, err := OpenValues(ModbusTCP, s.Address, 0)
	must(t, err)
	k := &taken{values: map[int][]float64{}}
	must(t, source.Values(context.Background(), places, 0, k.out()))
	for place, want := range []int{0, 0, 0, 1, 1, 0} {
		if n := k.count(place); n != want {
			t.Errorf("place %d gave %d values", place, n)
		}
	}
	if k.last(3) != 65535 || k.last(4) < 25.09 || k.last(4) > 25.11 {
		t.Errorf("the values are %v", k.values)
	}
	told := strings.Join(k.said, "\n")
	for _, want := range []string{"A (0XFFFF), B (0X8000), C (0X7FFF)", "refuses F (exception 2)"} {
		if !strings.Contains(strings.ToUpper(told), strings.ToUpper(want)) {
			t.Errorf("nobody is told %q:\n%s", want, told)
		}
	}
	_, err = ReadPlaces(ModbusTCP, "point,source,holds\nA,3:3:0,-1\n")
	if err == nil || !strings.Contains(err.Error(), "point A") {
		t.Errorf("a register that holds -1: %v", err)
	}
}
