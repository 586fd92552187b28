package fault

import (
	"strings"
	"testing"

	"sootline/internal/circuit"
)

// What cannot be is refused with its reason, and the words that panels say are read.
func TestToldRefusedAndRead(t *testing.T) {
	l := circuit.Loop{Name: "1", Out: circuit.End{Volts: 24}, In: circuit.End{Volts: 24}, Return: circuit.Cable{Metres: 10, Celsius: 20, Conductor: circuit.Conductor{MM2: 1.5}}}
	for _, p := range [][2]string{{"1.1.001", ""}, {"1.1.002", ""}, {"1.1.025", "1.1.002"}} {
		l.Points = append(l.Points, circuit.Point{Name: p[0], Spur: p[1], Cable: l.Return, Rest: circuit.In(0.001)})
	}
	r, err := RingOf(&l, Supply{Low: 24, Usual: 24, High: 24})
	if err != nil {
		t.Fatal(err)
	}
	for text, reason := range map[string]string{
		"both/volts-in=1.1.002: 230 V": "dangerous", "both/volts-in=1.1.002: 31": "more than the panel's 24 V",
		"both/list: all; none": "told twice", "both/list: silent 500-600": "no device of the loop",
		"both/list: silent 25": "on the spur at 1.1.002", "off/look=1.1.001: dead": "both ends unplugged",
	} {
		if _, err := r.Told(text); err == nil || !strings.Contains(err.Error(), reason) {
			t.Errorf("%s: %v", text, err)
		}
	}
	for text, want := range map[string]Message{
		"says short, or isolators open": SaysShort, "short isolators open": SaysShort, "loop current too high": SaysCurrent,
		"open circuit": SaysOpen, "duplicate address 2": SaysDouble, "says double 2": SaysDouble, "says double": SaysDouble,
	} {
		if a, err := r.Panel(text); err != nil || a.Message != want {
			t.Errorf("%s: %v, %v", text, a.Message, err)
		}
	}
	if a, err := r.Told("off/ohms-in: 2 kohm"); err != nil || a.Answer.Ohms != 2000 {
		t.Error(a, err)
	}
}

// Volts below none are named as reversed polarity, with what to do; and a device that is silent on a spur whose beginning
// answers is to be looked at first.
func TestReversedAndSpurs(t *testing.T) {
	r := ringWith(t, 6)
	for text, is := range map[string]bool{"both/volts-in=1.1.002: -23": true, "both/volts-in=1.1.002: 23": false, "both/volts-in=1.1.002: -0,2": false} {
		a, err := r.Told(text)
		if said := r.Reversed(&a); err != nil || strings.Contains(said, "-23 V at 1.1.002 is reversed polarity") != is {
			t.Errorf("%s: %q, %v", text, said, err)
		}
	}
	for text, want := range map[string]string{
		"says missing; silent 4,7":   "1.1.007 (on the spur at 1.1.001)",
		"says missing; silent 1,7-8": "", "says missing; silent 4": "",
		"says missing; silent 4,5-8": "1.1.007 (on the spur at 1.1.001), 1.1.008 (on the spur at 1.1.001)",
	} {
		a, err := r.Panel(text)
		if said := r.LookFirst(&a); err != nil || !strings.Contains(said, want) || (said == "") != (want == "") {
			t.Errorf("%s: %q, %v", text, said, err)
		}
	}
}

// A panel gives what its battery and charger have: volts anywhere between the lowest and the highest fit a loop on which one
// device is dead, and none of them is taken as misread.
func TestVoltsOfTheSupply(t *testing.T) {
	r := ringWith(t, 6)
	r.VoltsOff, r.MostVolts = 2, 28
	for _, volts := range []string{"21.4", "24", "27.2", "28.4"} {
		s := follow(t, r, "says missing; silent 4", "both/volts-in=1.1.004: "+volts, "both/volts-out=1.1.004: "+volts)
		if doubts := s.Doubtful(); len(doubts) > 0 {
			t.Errorf("at %s V doubted are %v", volts, doubts)
		}
	}
	if _, err := r.Told("both/volts-in=1.1.004: 29"); err == nil {
		t.Error("more than the highest charge is taken")
	}
}
