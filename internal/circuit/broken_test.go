package circuit

import (
	"math"
	"strings"
	"testing"

	"sootline"
)

// Every way of writing a loop down wrongly gets one sentence that names the place.
func TestBrokenLoops(t *testing.T) {
	good := func() Loop {
		l := ladderOf(24, 0.02, []float64{10, 10, 10}, amps(0.01, 0.01, 0.01), 10)
		l.Points[2].Spur = "1"
		return l
	}
	if _, err := New(good()); err != nil {
		t.Fatal(err)
	}
	for _, one := range []struct {
		name  string
		spoil func(*Loop)
		want  string
	}{
		{"zero length", func(l *Loop) { l.Points[1].Cable.Metres = 0 }, "the cable to 2: the length of a cable is a number above 0 m, found 0"},
		{"negative length", func(l *Loop) { l.Return.Metres = -4 }, "the return cable: the length of a cable is a number above 0 m, found -4"},
		{"length not a number", func(l *Loop) { l.Return.Metres = Metres(math.NaN()) }, "the return cable: the length"},
		{"no cross-section", func(l *Loop) { l.Points[0].Cable.Conductor = Conductor{} }, "the cable to 1: a cable has no cross-section"},
		{"unknown cross-section", func(l *Loop) { l.Points[0].Cable.Conductor = Conductor{MM2: 3} }, "no resistance is known for a cross-section of 3 mm2"},
		{"unknown gauge", func(l *Loop) { l.Points[0].Cable.Conductor = Conductor{AWG: 10} }, "no resistance is known for 10 AWG"},
		{"negative measurement", func(l *Loop) { l.Points[0].Cable.Plus = -1 }, "a measured resistance is a number from 0 ohm"},
		{"cable too hot", func(l *Loop) { l.Points[0].Cable.Celsius = 300 }, "between -100 and 250 C"},
		{"isolator nowhere", func(l *Loop) { l.Isolators = []Isolator{{Point: "9"}} }, `an isolator is at "9", which is not a point of the loop`},
		{"isolator without a spur", func(l *Loop) { l.Isolators = []Isolator{{Point: "2", Side: Branch}} }, "opens towards a spur, and no spur hangs there"},
		{"isolator of negative resistance", func(l *Loop) { l.Isolators = []Isolator{{Point: "2", Plus: -1}} }, "its resistance is a number from 0 ohm"},
		{"no volts", func(l *Loop) { l.Out.Volts = 0 }, "the OUT end has no volts, so no load can be worked out"},
		{"no volts at IN", func(l *Loop) { l.In.Volts = 0 }, "the IN end has no volts"},
		{"negative source", func(l *Loop) { l.In.Minus = -1 }, "the IN end: the resistance of its source"},
		{"negative limit", func(l *Loop) { l.Out.Limit = -1 }, "the OUT end: its current limit"},
		{"spur on a spur", func(l *Loop) { l.Points[1].Spur = "3" }, "2 is on a spur from 3, which is on a spur itself"},
		{"spur from nowhere", func(l *Loop) { l.Points[1].Spur = "8" }, "2 is on a spur from 8, which is not a point of the loop"},
		{"no points", func(l *Loop) { l.Points = nil }, "the loop has no points"},
		{"same name twice", func(l *Loop) { l.Points[1].Name = "1" }, "two points of the loop are named 1"},
		{"no name", func(l *Loop) { l.Points[1].Name = "" }, "point 2 of the loop has no name"},
		{"negative load", func(l *Loop) { l.Points[1].Alarm.Value = -1 }, "2: its load in alarm is a number from 0, found -1"},
		{"endless load", func(l *Loop) { l.Points[1].Rest.Value = math.Inf(1) }, "2: its load at rest"},
		{"junction that draws", func(l *Loop) { l.Points[1].Junction = true }, "2 is a junction and cannot draw anything at rest, found 0.01"},
		{"negative least volts", func(l *Loop) { l.Points[1].Least = -1 }, "2: its least working volts"},
		{"no resistance to speak of", func(l *Loop) { l.Points[0].Cable.Plus = 1e-9 }, "the cable to 1 has 1e-09 ohm, and what can be calculated lies between 1e-06 and 1e+06"},
		{"load out of proportion", func(l *Loop) { l.Points[0].Rest = Across(1e-9) }, "1: its load at rest is out of all proportion"},
		{"volts out of proportion", func(l *Loop) { l.Out.Volts = 1e9 }, "the OUT end: its volts are at most 100000"},
		{"negative area", func(l *Loop) { l.Points[1].Area = -1 }, "2: the area that it protects"},
	} {
		l := good()
		one.spoil(&l)
		_, err := New(l)
		if err == nil {
			t.Errorf("%s: no error", one.name)
			continue
		}
		if text := err.Error(); !strings.Contains(text, one.want) || strings.ContainsAny(text, "\n%") {
			t.Errorf("%s: %q does not say %q", one.name, text, one.want)
		}
		if sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%s: code %q", one.name, sootline.ErrorCode(err))
		}
	}
}

// A loop of one device is solved like any other, and broken beside it the device hangs on the other side.
func TestOneDevice(t *testing.T) {
	c := mustNew(t, ladderOf(24, 1, []float64{1}, amps(2), 3)) // 1 ohm and 3 ohm: 1.5 A and 0.5 A by hand
	sol := mustSolve(t, c, State{})
	wantNear(t, "volts", float64(sol.Volts[0]), 22.5, 1e-12)
	wantNear(t, "from OUT", float64(sol.Out), 1.5, 1e-12)
	sol = mustSolve(t, c, State{Faults: []Fault{{}}})
	wantNear(t, "volts from IN", float64(sol.Volts[0]), 18, 1e-12)
	sol = mustSolve(t, c, State{Faults: []Fault{{Kind: Short}}})
	if sol.Fed[0] || !sol.Exists {
		t.Error("a short beside a device without isolators leaves it fed")
	}
}

func TestBrokenStates(t *testing.T) {
	c := mustNew(t, ladderOf(24, 1, []float64{1}, amps(2), 3))
	for _, state := range []State{
		{Faults: []Fault{{Segment: 2}}},
		{Faults: []Fault{{Segment: -1}}},
		{Faults: []Fault{{Core: PlusCore}, {Segment: 1}}},
		{Faults: []Fault{{Kind: Short, Core: MinusCore}}},
		{Alarm: []int{1}},
		{Alarm: []int{-1}},
	} {
		for name, ask := range map[string]func() error{
			"solve":   func() error { _, err := c.Solve(state); return err },
			"margin":  func() error { _, err := c.Margin(state); return err },
			"restart": func() error { _, err := c.Restart(state); return err },
		} {
			if ask() == nil {
				t.Errorf("%s of %+v: no error", name, state)
			}
		}
	}
	if _, err := c.Survey(Alarms{Named: []int{4}}, false); err == nil {
		t.Error("a survey with an alarm that is not there: no error")
	}
	if _, err := c.Lost(Fault{Segment: 7}); err == nil {
		t.Error("the loss by a fault that is not there: no error")
	}
}
