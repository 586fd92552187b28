package address_test

import (
	"fmt"
	"strings"
	"testing"

	"sootline/internal/address"
)

// The physics of a ring: common practice, no source. d1 to d40 on it, with an
// isolator in line behind d10 and d20, one in the base of d30, and a spur of d37 to
// d40 from d15.
func ringed(t *testing.T) address.Loop {
	l := mixed(t, 40, "electronic")
	l.Isolators = []int{10, 20}
	l.Devices[29].Isolates = address.Before | address.After
	for i := 36; i < 40; i++ {
		l.Devices[i].Spur = 15
	}
	return l
}

func TestExplainCable(t *testing.T) {
	for _, c := range []struct {
		name   string
		silent []int // numbers
		kind   address.Mistake
		says   string
	}{
		{"a short takes the spur with it", []int{11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 37, 38, 39, 40}, address.Short, "nothing else hangs between the isolators around: a short is there"},
		{"a short beside the panel", []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, address.Short, "a short is there"},
		{"a device with an isolator stays fed", []int{21, 22, 23, 24, 25, 26, 27, 28, 29}, address.Short, "a short is there"},
		{"the end of a spur", []int{39, 40}, address.LostSpur, "the 2 devices from d39 to d40 along the cable do not answer, to the end of the spur: the spur is open before it"},
		{"a whole spur", []int{37, 38, 39, 40}, address.LostSpur, "the spur is open"},
		{"over an isolator", []int{8, 9, 10, 21, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 37, 38, 39, 40}, address.LostStretch, "the cable is open at two places (one alone loses nobody on a ring)"},
		{"one device", []int{5}, address.Silent, "d5 does not answer"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newWorld(ringed(t))
			for _, n := range c.silent {
				w.at[n-1] = 0
			}
			d := explain(t, w.l, w.answers(false))
			if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != c.kind || len(d.Mistakes[0].Moved) != len(c.silent) || !strings.Contains(d.Mistakes[0].Says, c.says) {
				t.Errorf("found%s", said(d.Mistakes))
			}
		})
	}
}

// Where no isolator is known, a lost stretch is not called a short, and the words say
// that it may be one.
func TestExplainWithoutIsolators(t *testing.T) {
	w := newWorld(mixed(t, 40, "electronic"))
	for i := 10; i < 20; i++ {
		w.at[i] = 0
	}
	d := explain(t, w.l, w.answers(false))
	if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != address.LostStretch || !strings.Contains(d.Mistakes[0].Says, "or there is a short between isolators that the register does not know") {
		t.Errorf("found%s", said(d.Mistakes))
	}
}

func TestExplainUnset(t *testing.T) {
	for _, c := range []struct {
		name  string
		unset []int
		bare  bool
		says  string
	}{
		{"none was set", upTo(100), true, "none of the 100 devices has been set, as far as the list shows: only number 127 answers"},
		{"neighbours", []int{7, 8}, false, "2 devices are still at number 127"},
		{"neighbours of one type on a bare list", []int{7, 8}, true, "2 devices are still at number 127"},
		{"here and there", []int{4, 50, 51, 96}, false, "4 devices are still at number 127, which a device carries before anyone sets it, and answer there as one: d4, d50, d51 and d96"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := mixed(t, 100, "switches 7")
			l.Isolators = []int{10, 20, 30}
			w := newWorld(l)
			for _, n := range c.unset {
				w.at[n-1] = 127
			}
			answers := w.answers(false)
			for i := range answers {
				if c.bare {
					answers[i].Type = ""
				}
			}
			d := explain(t, l, answers)
			if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != address.StillUnset || len(d.Mistakes[0].Moved) != len(c.unset) || !strings.Contains(d.Mistakes[0].Says, c.says) {
				t.Errorf("found%s", said(d.Mistakes))
			}
		})
	}
}

// One that answers at the unset number and is missed nowhere is not in the register.
func TestExplainUnsetAndUnknown(t *testing.T) {
	l := mixed(t, 20, "switches 7")
	d := explain(t, l, append(newWorld(l).answers(false), address.Answer{Number: 127, Type: "Smoke"}))
	if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != address.Stranger || !strings.Contains(d.Mistakes[0].Says, "a device answers at 127, which a device carries before anyone sets it") {
		t.Errorf("found%s", said(d.Mistakes))
	}
}

// Rings of every length from two, all of one type, by their serials alone; the last
// may give none.
func TestExplainRings(t *testing.T) {
	for length := 2; length <= 7; length++ {
		for _, mute := range []bool{false, true} {
			l := mixed(t, 60, "electronic")
			at := map[int]int{}
			for k := range length {
				at[3+7*k] = 3 + 7*((k+1)%length)
			}
			var answers []address.Answer
			for i := range l.Devices {
				l.Devices[i].Type, l.Devices[i].Serial = "Smoke", fmt.Sprint("S", i)
				n := i
				if to, moved := at[i]; moved {
					n = to
				}
				answers = append(answers, address.Answer{Number: n + 1, Type: "Smoke", Serial: fmt.Sprint("S", i)})
			}
			if mute {
				answers[3].Serial = ""
			}
			d := explain(t, l, answers)
			kind := address.Ring
			if length == 2 {
				kind = address.Exchange
			}
			if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != kind || len(d.Mistakes[0].Moved) != length {
				t.Fatalf("%d devices, one mute %t: found%s", length, mute, said(d.Mistakes))
			}
			for _, m := range d.Mistakes[0].Moved {
				if m.At != at[m.Device]+1 {
					t.Errorf("%d devices: d%d is said to be at %d, and is at %d", length, m.Device+1, m.At, at[m.Device]+1)
				}
			}
		}
	}
}

// A serial that the register does not know, on a device of the right type, is told
// of, and not called another type.
func TestExplainOtherUnit(t *testing.T) {
	l := mixed(t, 10, "electronic")
	l.Devices[4].Serial = "A1"
	answers := newWorld(l).answers(false)
	answers[4].Serial = "B2"
	d := explain(t, l, answers)
	if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != address.Replaced || !strings.Contains(d.Mistakes[0].Says, "at d5 a unit of its type answers with serial B2, which the register does not know") {
		t.Errorf("found%s", said(d.Mistakes))
	}
}

// What may be instead says of what, how likely, and which test tells them apart.
func TestExplainNext(t *testing.T) {
	w := newWorld(mixed(t, 100, "dials 9"))
	w.at[36] = 0
	d := explain(t, w.l, w.answers(false))
	if len(d.Rivals) == 0 || !strings.HasPrefix(d.Rivals[0].Says, "instead of 1, ") {
		t.Errorf("rivals%s", said(rivals(d)))
	}
	if want := "test d37: if the panel shows nothing, it does not answer; if it shows 73, it is set to 73"; !strings.HasPrefix(d.Next, want) {
		t.Errorf("next: %s", d.Next)
	}
	for k := 1; k < len(d.Rivals); k++ {
		if d.Rivals[k].Far < d.Rivals[k-1].Far {
			t.Errorf("a likelier rival after a less likely one")
		}
	}
}
