package circuit

import (
	"math"
	"strings"
	"testing"
)

// sounders is a loop of ten devices on 1.5 mm2 that draw much in alarm.
func sounders() Loop {
	metres := make([]float64, 10)
	loads := make([]Load, 10)
	for i := range metres {
		metres[i], loads[i] = 50, In(0.0003)
	}
	l := ladderOf(24, 0.0242, metres, loads, 50)
	for i := range l.Points {
		l.Points[i].Least = 17
		if i%2 == 0 {
			l.Points[i].Alarm = In(0.025)
		}
	}
	return l
}

// One device at 0.3 A, 7 V to spare, 24.2 milliohm a metre: 964 m of cable fed from one end (facts by hand:
// 7/(0.3 x 0.0242)); its worst break leaves it on the longer side.
func TestStretch(t *testing.T) {
	l := ladderOf(24, 0.0242, []float64{100}, amps(0.3), 50)
	l.Points[0].Least = 17
	s, err := l.Stretch(EveryAlarm())
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "factor", s.Factor, 7/(0.3*0.0242)/100, 0.02)
	wantNear(t, "metres", float64(s.Metres), 150*s.Factor, 1e-9)
	if !strings.Contains(s.Reason, "16.995 V, below its least working volts of 17.000 V") {
		t.Error(s.Reason)
	}
	l.Points[0].Least = 25 // more than the panel has: no length would do
	if s, err = l.Stretch(EveryAlarm()); err != nil || s.Factor > 1e-3 {
		t.Errorf("%v, %v", s, err)
	}
}

// What is said to fit fits, and one more does not.
func TestRoom(t *testing.T) {
	l := sounders()
	device := Point{Rest: In(0.0003), Alarm: In(0.025), Least: 17}
	rooms, err := l.Room(device, EveryAlarm(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(rooms) != 11 {
		t.Fatalf("%d places, want 11", len(rooms))
	}
	for i, room := range rooms {
		if i > 0 && room.More > rooms[i-1].More {
			t.Error("not in order")
		}
		for extra, want := range map[int]bool{0: true, 1: false} {
			wider := l.With(room.More+extra, device, room.Segment)
			c := mustNew(t, wider)
			survey, err := c.Survey(EveryAlarm(), false)
			if err != nil {
				t.Fatal(err)
			}
			if got := survey.Worst.Works(&wider); got != want {
				t.Errorf("segment %d with %d: works %v", room.Segment, room.More+extra, got)
			}
		}
		if !strings.Contains(room.Reason, "below its least working volts") {
			t.Error(room.Reason)
		}
	}
	// Nothing but the current limit: one device more is 25 mA more from either end. Five sounders and five others draw
	// 126.5 mA, so of 200 mA there is room for two, wherever they go.
	l.Out.Limit, l.In.Limit = 0.2, 0.2
	for i := range l.Points {
		l.Points[i].Least = 1
	}
	device.Least = 1
	if rooms, err = l.Room(device, EveryAlarm(), nil); err != nil {
		t.Fatal(err)
	}
	for _, room := range rooms {
		if room.More != 2 || !strings.Contains(room.Reason, "may have to give 201.5 mA and can give 200.0 mA") {
			t.Errorf("%+v", room)
		}
	}
}

// Six times the load needs a thicker cable; the size below does not do and the one given does.
func TestCrossSection(t *testing.T) {
	l := sounders()
	for i := range l.Points {
		l.Points[i].Alarm.Value *= 6
		l.Points[i].Cable.Conductor = Conductor{MM2: 0.5}
	}
	l.Return.Conductor = Conductor{MM2: 0.5}
	got, err := l.CrossSection(EveryAlarm())
	if err != nil {
		t.Fatal(err)
	}
	// Fed from one end alone the farthest point loses the sum of current times distance, 50, 100, ... 500 m from that end.
	worst := func(perMetre float64) float64 {
		fromOut, fromIn := 0.0, 0.0
		for i := range l.Points {
			fromOut += l.Points[i].Alarm.Value * float64(50*(i+1)) * perMetre
			fromIn += l.Points[i].Alarm.Value * float64(50*(10-i)) * perMetre
		}
		return math.Max(fromOut, fromIn)
	}
	if got.MM2 != 1.5 || worst(2*0.0121) > 7 || worst(2*0.0181) <= 7 {
		t.Errorf("%+v; drops of %.2f V at 1 mm2 and %.2f V at 1.5 mm2", got, worst(2*0.0181), worst(2*0.0121))
	}
	l.Return.Plus, l.Return.Minus = 1, 1
	if got, err = l.CrossSection(EveryAlarm()); err != nil || got.Measured != 1 {
		t.Errorf("%+v, %v", got, err)
	}
}

// Eight equal devices on equal cables without isolators: one more in the middle leaves four for the worst short. With
// it, a fourth of the loop is the next.
func TestNextIsolator(t *testing.T) {
	metres, loads := make([]float64, 8), make([]Load, 8)
	for i := range metres {
		metres[i] = 10
	}
	l := ladderOf(24, 0.02, metres, loads, 10)
	got, ok, err := l.NextIsolator()
	if err != nil || !ok || got.Point != "4" || got.Worst != 4 || got.Before != 8 {
		t.Fatalf("%+v, %v, %v", got, ok, err)
	}
	wantNear(t, "mean", got.Mean, 4, 1e-12) // every short takes the four on its side
	// With that one there, four are the worst wherever the next goes, and the mean decides: after 6 the five cables beyond
	// the middle take two each, (4 x 4 + 5 x 2)/9.
	l.Isolators = []Isolator{{Point: "4"}}
	if got, _, err = l.NextIsolator(); err != nil || got.Point != "6" || got.Worst != 4 {
		t.Fatalf("%+v, %v", got, err)
	}
	wantNear(t, "mean", got.Mean, 26.0/9, 1e-12)
	l.Isolators = nil
	for _, p := range l.Points {
		l.Isolators = append(l.Isolators, Isolator{Point: p.Name})
	}
	if _, ok, err = l.NextIsolator(); ok || err != nil {
		t.Errorf("a place is left where every point has one: %v", err)
	}
}

// 24 V, 10 ohm, one device of constant power that works from 12 V: at 12 V it draws P/12, which drops 12 V at 14.4 W;
// so 14.3 W is shown to start and 14.5 W is not.
func TestRestart(t *testing.T) {
	for watts, want := range map[float64]bool{14.3: true, 14.5: false} {
		l := ladderOf(24, 10, []float64{1}, []Load{Drawing(Watts(watts))}, 1)
		l.Points[0].Least = 12
		got, err := mustNew(t, l).Restart(oneEnded(&l))
		if err != nil || got.Starts != want {
			t.Errorf("%g W: %+v, %v", watts, got, err)
		}
	}
	l := ladderOf(24, 10, []float64{1}, []Load{Drawing(1)}, 1)
	if got, _ := mustNew(t, l).Restart(State{}); got.Starts || !strings.Contains(got.Reason, "least working volts are not known") {
		t.Errorf("%+v", got)
	}
	l.Points[0].Least, l.Out.Limit = 12, 0.05 // 1 W at 12 V: 83.3 mA
	if got, _ := mustNew(t, l).Restart(oneEnded(&l)); got.Starts || !strings.Contains(got.Reason, "OUT may have to give 83.3 mA and can give 50.0 mA") {
		t.Errorf("%+v", got)
	}
}
