package circuit

import (
	"strings"
	"testing"
)

// Where an end cannot give the current by which an isolator would keep its volts against a short, that it stays closed was
// not shown to fail: the reason is said. With an end that can, it fails. By hand: 500 m of 1.5 mm2 are 12.1 ohm, through
// which 28 V drive some 2.3 A, and a limit of 0.4 A leaves 4.8 V.
func TestIsolatorBehindALimit(t *testing.T) {
	cable := func(m Metres) Cable { return Cable{Metres: m, Celsius: 20, Conductor: Conductor{MM2: 1.5}} }
	loop := func(limit Amps) *Loop {
		end := End{Volts: 28, Limit: limit}
		l := &Loop{Name: "1", Out: end, In: end, Return: cable(10)}
		for _, p := range []struct {
			name string
			m    Metres
		}{{"a", 10}, {"b", 500}} {
			l.Points = append(l.Points, Point{Name: p.name, Cable: cable(p.m), Rest: In(0.001), Alarm: In(0.002), Least: 15})
			l.Isolators = append(l.Isolators, Isolator{Point: p.name, Side: Base, IsolatorBounds: IsolatorBounds{Opens: 16}})
		}
		return l
	}
	for limit, want := range map[Amps]Standing{0.4: NotShown, 50: Failing} {
		c, err := New(*loop(limit))
		if err != nil {
			t.Fatal(err)
		}
		v, err := c.Verdict(Demand{Alarms: EveryAlarm()})
		if err != nil {
			t.Fatal(err)
		}
		text := c.VerdictSentence(v)
		if v.Says != want || want == NotShown && (!strings.Contains(text, "can give 400.0 mA") || c.Settles(v) == "") {
			t.Errorf("limit %s: %s; %s", limit, text, c.Settles(v))
		}
	}
}
