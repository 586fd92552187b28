package address_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/address"
)

// mixed is a loop of n devices at numbers 1 to n, every third a call point.
func mixed(t *testing.T, n int, how string) address.Loop {
	l := line(span(1, 126), make([]int, n)...)
	for i := range l.Devices {
		d := &l.Devices[i]
		d.Wanted, d.Type, d.Setter = i+1, "Smoke", setter(t, how)
		if i%3 == 2 {
			d.Type = "Call"
		}
	}
	return l
}

// world is what really is on a loop.
type world struct {
	l  address.Loop
	at []int
}

func newWorld(l address.Loop) *world {
	w := &world{l: l}
	for _, d := range l.Devices {
		w.at = append(w.at, d.Wanted)
	}
	return w
}

// answers is what a panel lists: one line a number, of the first device there;
// unstable where two devices are, if the panel shows that.
func (w *world) answers(showsUnstable bool) []address.Answer {
	var all []address.Answer
	line := map[int]int{}
	for i, n := range w.at {
		if n == 0 {
			continue
		}
		if k, twice := line[n]; twice {
			all[k].Unstable = showsUnstable
			all[k].Type = w.l.Devices[i].Type
			continue
		}
		line[n] = len(all)
		all = append(all, address.Answer{Number: n, Type: w.l.Devices[i].Type})
	}
	return all
}

func explain(t *testing.T, l address.Loop, answers []address.Answer) address.Diagnosis {
	t.Helper()
	d, err := address.Explain(context.Background(), l, answers)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Each mistake is made on a loop that is otherwise right; the first explanation
// must be that mistake, the only one, and name the devices. 37 and 73, and 93
// read as 34, and 6 read as 48: common practice, no source.
func TestExplainSingleMistakes(t *testing.T) {
	for _, c := range []struct {
		name, how string
		make      func(w *world)
		unstable  bool
		kind      address.Mistake
		moved     int
		says      string
	}{
		{"nothing there", "switches 7", func(w *world) { w.at[4] = 0 }, false, address.Silent, 1, "d5 does not answer"},
		{"dial exchanged", "dials 9", func(w *world) { w.at = w.at[:60]; w.l.Devices = w.l.Devices[:60]; w.at[36] = 73 }, false, address.MisSet, 1, "tens and units exchanged, as 73 for 37"},
		{"dial exchanged onto another", "dials 9", func(w *world) { w.at[36] = 73 }, true, address.DoubleNumber, 1, "d37 answers at 73, where another device belongs: tens and units exchanged"},
		{"polarity", "switches 7", func(w *world) { w.l.Devices[33].Wanted, w.at[33], w.at[92] = 0, 0, 34 }, false, address.MisSet, 1, "on taken for off, as 34 for 93"},
		{"bits reversed", "switches 7", func(w *world) { w.at, w.l.Devices = w.at[:40], w.l.Devices[:40]; w.at[5] = 48 }, false, address.MisSet, 1, "the first switch taken for the last, as 48 for 6"},
		{"polarity alone", "switches 7", func(w *world) { w.at, w.l.Devices = w.at[:40], w.l.Devices[:40]; w.at[5] = 121 }, false, address.MisSet, 1, "on taken for off, as 121 for 6"},
		{"one switch", "switches 7", func(w *world) { w.at, w.l.Devices = w.at[:40], w.l.Devices[:40]; w.at[5] = 70 }, false, address.MisSet, 1, "one switch wrong"},
		{"a number for no reason known", "electronic", func(w *world) { w.at[4] = 119 }, false, address.MisSet, 1, "d5 is set to 119 instead of 5"},
		{"still unset", "switches 7", func(w *world) { w.at[7] = 127 }, false, address.StillUnset, 1, "d8 is still at number 127"},
		{"neighbours exchanged", "switches 7", func(w *world) { w.at[4], w.at[5] = w.at[5], w.at[4] }, false, address.Exchange, 2, "d5 and d6 have each other's numbers: they answer at 6 and 5"},
		{"onto a number of another type", "electronic", func(w *world) { w.at[10] = 18 }, true, address.DoubleNumber, 1, "d11 answers at 18"},
		{"run one up, to the end", "electronic", func(w *world) { shift(w, 40, 100, 1) }, false, address.ShiftedRun, 61, "the 61 devices from d40 to d100 are each set one number too high"},
		{"run one down, from the middle", "electronic", func(w *world) { w.at[39] = 0; w.l.Devices[39].Wanted = 0; shift(w, 41, 60, -1) }, false, address.ShiftedRun, 20, "the 20 devices from d41 to d60 are each set one number too low"},
		{"all of them inverted", "switches 7", func(w *world) {
			for i := range w.at {
				w.at[i] = 127 - w.at[i]
			}
		}, false, address.AllMisread, 100, "all set by the same misreading: on taken for off, as 126 for 1"},
		{"a lost stretch", "electronic", func(w *world) {
			for i := 20; i < 28; i++ {
				w.at[i] = 0
			}
		}, false, address.LostStretch, 8, "the 8 devices from d21 to d28 along the cable do not answer"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newWorld(mixed(t, 100, c.how))
			c.make(w)
			d := explain(t, w.l, w.answers(c.unstable))
			if len(d.Mistakes) != 1 {
				t.Fatalf("%d mistakes: %s", len(d.Mistakes), said(d.Mistakes))
			}
			m := d.Mistakes[0]
			if m.Kind != c.kind || len(m.Moved) != c.moved || !strings.Contains(m.Says, c.says) || m.Prove == "" {
				t.Errorf("kind %d, %d moved: %s", m.Kind, len(m.Moved), m.Says)
			}
		})
	}
}

func shift(w *world, from, to, by int) {
	for i := from - 1; i < to; i++ {
		w.at[i] += by
	}
}

func said(all []address.Explanation) string {
	text := ""
	for _, e := range all {
		text += "\n" + e.Says
	}
	return text
}

func rivals(d address.Diagnosis) []address.Explanation {
	var all []address.Explanation
	for _, r := range d.Rivals {
		all = append(all, r.Explanation)
	}
	return all
}

func TestExplainUnknownDevices(t *testing.T) {
	l := mixed(t, 10, "electronic")
	answers := newWorld(l).answers(false)
	answers = append(answers, address.Answer{Number: 90, Type: "Smoke"})
	answers[2].Type = "Heat"
	answers[4].Unstable = true
	got := said(explain(t, l, answers).Mistakes)
	for _, want := range []string{"at d3 another type is fitted", "a device answers at 90 that the register does not know", "another device answers at 5 beside d5: the reply is unstable"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in%s", want, got)
		}
	}
}

// A run that is shifted, with a device in it that does not answer at all.
func TestExplainTwoMistakes(t *testing.T) {
	w := newWorld(mixed(t, 100, "electronic"))
	shift(w, 40, 100, 1)
	w.at[59] = 0
	d := explain(t, w.l, w.answers(false))
	if len(d.Mistakes) != 2 || d.Mistakes[0].Kind != address.ShiftedRun || d.Mistakes[1].Kind != address.Silent || d.Mistakes[1].Moved[0].Device != 59 {
		t.Errorf("found%s", said(d.Mistakes))
	}
}

// Serials tell devices of one type apart, which types cannot.
func TestExplainBySerial(t *testing.T) {
	l := mixed(t, 10, "electronic")
	var answers []address.Answer
	for i := range l.Devices {
		l.Devices[i].Serial = fmt.Sprint("S", i)
		answers = append(answers, address.Answer{Number: i + 1, Type: "smoke"})
	}
	for i := range answers {
		answers[i].Type, answers[i].Serial = l.Devices[i].Type, l.Devices[i].Serial
	}
	answers[0].Serial, answers[1].Serial = answers[1].Serial, answers[0].Serial
	d := explain(t, l, answers)
	if len(d.Mistakes) != 1 || d.Mistakes[0].Kind != address.Exchange {
		t.Errorf("found%s", said(d.Mistakes))
	}
}

func TestExplainRivals(t *testing.T) {
	// Device 37 is missing, 73 answers as it should: silent, or on 73 unseen.
	l := mixed(t, 100, "dials 9")
	w := newWorld(l)
	w.at[36] = 0
	d := explain(t, l, w.answers(false))
	if d.Mistakes[0].Kind != address.Silent || !strings.Contains(said(rivals(d)), "d37 answers at 73, where another device belongs: tens and units exchanged") {
		t.Errorf("first%s\nrivals%s", said(d.Mistakes), said(rivals(d)))
	}
	seen := map[string]bool{}
	for _, e := range append(rivals(d), d.Mistakes[0]) {
		where := fmt.Sprint(e.Kind, e.Moved)
		if seen[where] {
			t.Errorf("told twice: %s", e.Says)
		}
		seen[where] = true
	}
}

func TestExplainWideAndSeparate(t *testing.T) {
	l := line(span(1, 126), 1, 4, 1)
	l.Span.Separate = true
	l.Devices[0].Wanted, l.Devices[1].Wanted, l.Devices[2].Wanted = 1, 60, 61
	l.Devices[1].Range = address.Modules
	both := []address.Answer{{Number: 1}, {Number: 61}, {Number: 60, Range: address.Modules}}
	if d := explain(t, l, both); len(d.Traces) > 0 {
		t.Errorf("found %+v", d.Traces)
	}
	all := append(both, address.Answer{Number: 63, Range: address.Modules}) // a 4-wide device at 60 holds 60 to 63
	if d := explain(t, l, all); len(d.Traces) > 0 {
		t.Errorf("found %+v", d.Traces)
	}
	want := []address.Trace{{Sign: address.Unexpected, Number: 64, Device: -1, Answer: 3}}
	all[3].Number = 64
	if diff := cmp.Diff(want, explain(t, l, all).Traces); diff != "" {
		t.Error(diff)
	}
}

func TestExplainRefuses(t *testing.T) {
	for _, n := range []int{0, -1, 10_000} {
		if _, err := address.Explain(context.Background(), mixed(t, 3, "electronic"), []address.Answer{{Number: n}}); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("number %d: %v", n, err)
		}
	}
}

// Whatever the list says, every trace is accounted for in the end, by no more
// mistakes than there are traces.
func TestExplainAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 60 {
		l := mixed(t, 1+r.IntN(30), []string{"unknown", "electronic", "switches 7", "dials 9"}[r.IntN(4)])
		var answers []address.Answer
		for range r.IntN(40) {
			answers = append(answers, address.Answer{Number: 1 + r.IntN(40), Type: []string{"", "Smoke", "Call", "Heat"}[r.IntN(4)], Unstable: r.IntN(8) == 0})
		}
		d := explain(t, l, answers)
		if len(d.Mistakes) > len(d.Traces) {
			t.Fatalf("%d mistakes for %d traces", len(d.Mistakes), len(d.Traces))
		}
		for _, m := range d.Mistakes {
			if m.Says == "" || m.Prove == "" || m.Clears < 1 {
				t.Fatalf("%+v", m)
			}
		}
	}
}
