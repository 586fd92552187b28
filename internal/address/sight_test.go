package address_test

import (
	"slices"
	"strings"
	"testing"

	"sootline/internal/address"
)

// shownOf explains a list and gives at which number it shows each device, with what
// it does not show.
func shownOf(t *testing.T, l address.Loop, answers []address.Answer) (map[int]int, string) {
	t.Helper()
	seen, untold, err := address.Sightings(l, answers, explain(t, l, answers))
	if err != nil {
		t.Fatal(err)
	}
	at := map[int]int{}
	for _, s := range seen {
		at[s.Device] = s.At
	}
	return at, strings.Join(untold, "; ")
}

// A list without serials does not part an exchange that is known; one with types
// that differ does, and so do serials.
func TestABareListCannotTellAnExchange(t *testing.T) {
	for _, c := range []struct {
		name, other string
		serials     bool
		shown       bool
	}{{"one type", "Smoke", false, false}, {"two types", "Heat", false, true}, {"serials", "Smoke", true, true}} {
		t.Run(c.name, func(t *testing.T) {
			l := mixed(t, 10, "switches 7")
			for _, i := range []int{3, 6} {
				d := &l.Devices[i]
				d.Type, d.Found, d.Seen, d.Serial = "Smoke", 11-d.Wanted, true, "S"+d.Name
			}
			l.Devices[6].Type = c.other
			answers := newWorld(l).answers(false)
			for i := range answers {
				if c.serials {
					answers[i].Serial = l.Devices[i].Serial
				}
			}
			at, untold := shownOf(t, l, answers)
			if (at[3] == 4 && at[6] == 7) != c.shown || (at[3] == 0 && at[6] == 0) == c.shown {
				t.Errorf("shown at %d and %d, and of the rest: %s", at[3], at[6], untold)
			}
			if told := strings.Contains(untold, "at 7 and") || strings.Contains(untold, "at 4"); told == c.shown {
				t.Errorf("told: %q", untold)
			}
			if len(at) < 8 || at[0] != 1 {
				t.Errorf("the others are shown at %v", at)
			}
		})
	}
}

// Of several unset devices the panel hears one: which it is, is shown by its serial, or
// by its being the only one that it can be.
func TestOneOfSeveralUnset(t *testing.T) {
	list := func(unset []int, heard string) (map[int]int, string) {
		l := mixed(t, 30, "switches 7")
		for i := range l.Devices {
			l.Devices[i].Serial = "S" + l.Devices[i].Name
		}
		w := newWorld(l)
		for _, i := range unset {
			w.at[i] = 127
		}
		answers := w.answers(false)
		k := slices.IndexFunc(answers, func(a address.Answer) bool { return a.Number == 127 })
		answers[k].Serial = heard
		return shownOf(t, l, answers)
	}
	if at, untold := list([]int{3, 4, 6}, ""); at[3]+at[4]+at[6] != 0 || !strings.Contains(untold, "d4, d5 and d7") {
		t.Errorf("shown %v, told %s", at, untold)
	}
	if at, _ := list([]int{3, 4, 6}, "Sd5"); at[3] != 0 || at[4] != 127 || at[6] != 0 {
		t.Errorf("the serial of d5 gives %v", at)
	}
	if at, untold := list([]int{3}, ""); at[3] != 127 || untold != "" {
		t.Errorf("the only one gives %v, told %s", at, untold)
	}
}

// What is of another type or serial than the register says is not the device, and a
// serial that answers elsewhere is not where it is explained to be.
func TestAnotherUnitShowsNoNumber(t *testing.T) {
	l := mixed(t, 10, "switches 7")
	for i := range l.Devices {
		l.Devices[i].Serial = "S" + l.Devices[i].Name
	}
	answers := newWorld(l).answers(false)
	answers[1].Type, answers[3].Serial, answers[4].Serial = "Heat", "new", "Sd10"
	at, _ := shownOf(t, l, answers)
	if at[1] != 0 || at[3] != 0 || at[4] != 0 || at[9] != 5 || at[0] != 1 {
		t.Errorf("shown at %v", at)
	}
}

// Only the unset number answers: that nobody was set, and what gives the same list;
// what cannot be set to that number cannot be what answers.
func TestOnlyTheUnsetNumber(t *testing.T) {
	l := mixed(t, 30, "switches 7")
	only := []address.Answer{{Number: 127, Type: "Smoke"}}
	d := explain(t, l, only)
	if !strings.Contains(said(d.Mistakes), "dead otherwise gives the same list") {
		t.Errorf("nobody was set:%s", said(d.Mistakes))
	}
	for i := range l.Devices {
		if l.Devices[i].Type == "Call" {
			l.Devices[i].Setter = setter(t, "dials 9")
		}
	}
	d = explain(t, l, only)
	if len(d.Mistakes) != 1 || !strings.Contains(d.Mistakes[0].Says, "10 cannot be set to it and answer nowhere") {
		t.Errorf("dials:%s", said(d.Mistakes))
	}
	for _, e := range explain(t, l, []address.Answer{{Number: 127, Type: "Call"}}).Mistakes {
		if e.Kind == address.StillUnset {
			t.Errorf("an unset one that no dials can show: %s", e.Says)
		}
	}
}

// A serial of the register is never called one that it does not know, and no
// misreading is told of devices of which none is heard.
func TestKnownSerialAlone(t *testing.T) {
	l := mixed(t, 30, "unknown")
	for i := range l.Devices {
		l.Devices[i].Serial = "S" + l.Devices[i].Name
	}
	d := explain(t, l, []address.Answer{{Number: 3, Type: "Smoke", Serial: "Sd7"}})
	text := said(d.Mistakes)
	if strings.Contains(text, "a device answers") || strings.Contains(text, "30 devices") || strings.Contains(text, "misreading") || !strings.Contains(text, "d7") {
		t.Errorf("told:%s", text)
	}
}

// One exchange or ring is told once, whoever is named first.
func TestNoRivalSaysTheSame(t *testing.T) {
	for length := 2; length <= 4; length++ {
		l := mixed(t, 30, "switches 7")
		for i := range l.Devices {
			l.Devices[i].Serial = "S" + l.Devices[i].Name
			l.Devices[i].Type = "Smoke"
		}
		w := newWorld(l)
		for k := range length {
			w.at[10+3*k] = 11 + 3*((k+1)%length)
		}
		answers := w.answers(false)
		for i := range answers {
			answers[i].Serial = l.Devices[i].Serial
		}
		d := explain(t, l, answers)
		if len(d.Mistakes) != 1 || len(d.Mistakes[0].Moved) != length {
			t.Fatalf("%d: %s", length, said(d.Mistakes))
		}
		for _, r := range d.Rivals {
			if r.Kind == d.Mistakes[0].Kind && len(r.Moved) == length {
				t.Errorf("%d: told again: %s", length, r.Says)
			}
		}
	}
}
