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
	r, err := RingOf(&l)
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
