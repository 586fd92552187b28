package address_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A clash holds the devices in it, by name and number; the others are ordered.
func TestOrderOfALoopWithAClash(t *testing.T) {
	l := line(span(1, 126), make([]int, 8)...)
	for i, d := range []struct{ stands, wanted int }{{1, 2}, {3, 33}, {4, 33}, {5, 4}, {6, 200}, {7, 120}, {8, 0}, {127, 0}} {
		l.Devices[i].Found, l.Devices[i].Wanted = d.stands, d.wanted
	}
	l.Devices[5].Setter = setter(t, "dials 9")
	o, err := l.ChangeOrder()
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Steps) != 1 || o.Steps[0].Device != 0 || o.Unwanted != 1 {
		t.Errorf("steps %v, %d without a wanted number", o.Steps, o.Unwanted)
	}
	var says []string
	for _, h := range o.Held {
		says = append(says, h.Why)
	}
	text := strings.Join(says, "\n")
	for _, part := range []string{
		"d2 stays: number 33 is wanted for it, and for d3 too", "d3 stays: number 33 is wanted for it, and for d2 too",
		"d4 stays: number 4 is wanted for it, and d3 is there and stays", "number 200 is not one of the loop's", "99 is the highest",
	} {
		if !strings.Contains(text, part) {
			t.Errorf("does not say %q:\n%s", part, text)
		}
	}
}

// A device that is parked at the number of those that are not set, beyond the range, comes back from there: the wider one
// waits for 5 and 6, on which another stands that waits for it.
func TestParkedBeyondTheRange(t *testing.T) {
	l := line(span(1, 9), make([]int, 5)...)
	l.Span.Unset = 12
	for i, d := range []struct{ wanted, found, width int }{{0, 0, 1}, {5, 2, 2}, {0, 4, 1}, {2, 6, 1}, {3, 8, 1}} {
		l.Devices[i].Wanted, l.Devices[i].Found, l.Devices[i].Width = d.wanted, d.found, d.width
	}
	o, err := l.ChangeOrder()
	if err != nil {
		t.Fatal(err)
	}
	at := []int{0, 2, 4, 6, 8}
	for _, s := range o.Steps {
		if s.Device < len(at) && s.From != at[s.Device] {
			t.Errorf("%+v, but it stands at %d", s, at[s.Device])
		}
		at[s.Device] = s.To
	}
	if !slices.Equal(at[1:], []int{5, 4, 2, 3}) {
		t.Errorf("they end at %v: %+v", at, o.Steps)
	}
}

// Whatever is wanted, there is an order: it sets the devices that are not held, and
// no two that it sets come to share a number.
func TestEveryLoopHasAnOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := line(span(1, 9), make([]int, rapid.IntRange(1, 9).Draw(rt, "devices"))...)
		l.Span.Unset = 12
		for i := range l.Devices {
			d := &l.Devices[i]
			d.Wanted, d.Found, d.Width = rapid.IntRange(0, 11).Draw(rt, "wanted"), rapid.SampledFrom([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 12}).Draw(rt, "stands"), rapid.SampledFrom([]int{1, 1, 1, 2}).Draw(rt, "width")
		}
		o, err := l.ChangeOrder()
		if err != nil {
			rt.Fatal(err)
		}
		held := map[int]bool{}
		for _, h := range o.Held {
			held[h.Device] = true
		}
		at := map[int]int{}
		for i := range l.Devices {
			at[i] = l.Devices[i].Found
		}
		for _, step := range o.Steps {
			at[step.Device] = step.To
		}
		for i := range l.Devices {
			d := &l.Devices[i]
			if d.Wanted != 0 && !held[i] && at[i] != d.Wanted {
				rt.Errorf("%s ends at %d and %d is wanted", d.Name, at[i], d.Wanted)
			}
			if held[i] && at[i] != d.Found {
				rt.Errorf("%s is held and ends at %d, not %d", d.Name, at[i], d.Found)
			}
		}
	})
}
