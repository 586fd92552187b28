package judge_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// All units of a type that go back together to where each began were cleaned: neither the scale changed nor the
// instrument, and what they gathered before teaches how fast they grow dirty.
func TestAllCleanedUnnoted(t *testing.T) {
	town := newTown()
	for n := 1; n <= 16; n++ {
		off := float64(n % 2)
		values := []float64{24, 26, 27, 29, 30, 31, 33, 34, 24, 26, 27, 29}
		for i := range values {
			values[i] += off
		}
		town.history(n, "Hall", values...)
	}
	r := town.register()
	kinds := map[judge.QuestionKind]int{}
	for _, q := range judge.Unwritten(r) {
		kinds[q.Kind]++
	}
	if kinds[judge.AskCleaned] == 0 || len(kinds) > 1 {
		t.Errorf("asked %v", kinds)
	}
	for _, j := range judge.Site(r, town.on) {
		if text := strings.Join(j.Reasons, "\n"); !strings.Contains(text, "changed at once") || *j.DriftPerYear < 3 {
			t.Fatalf("%s drifts by %v: %s", j.Point.Ref(), *j.DriftPerYear, text)
		}
	}
}

// halfYearly reads a point twice a year.
func (t *town) halfYearly(n int, values ...float64) sootline.ID {
	id := t.fit(n, "Hall")
	for i, v := range values {
		t.add(id, visit(2*i, n), sootline.Read{Samples: []float64{v}})
	}
	return id
}

// A last reading that came at once and that nothing explains is read again, also where no single story is likely.
func TestComesAtOnce(t *testing.T) {
	for _, values := range [][]float64{{25, 25, 25, 24, 25, 25, 25, 25, 25, 26, 25, 44}, {25, 25, 25, 24, 25, 25, 25, 25, 25, 26, 25, 42}, {25, 25, 41}} {
		town := newTown()
		town.add(sootline.ID{}, sootline.LongAgo.Add(time.Second), sootline.Sheet{TypeSheet: sootline.TypeSheet{
			Name: "Alpha", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(20.0), High: new(40.0)}},
		}})
		for n := 1; n <= 20; n++ {
			town.halfYearly(n, flat(len(values), 24+float64(n%3))...)
		}
		town.halfYearly(21, values...)
		got := town.judged(21)
		if got.Action != judge.LookAgain || !strings.Contains(got.Reasons[0], "leads to 2") {
			t.Errorf("%v: %s: %q", values, got.Action, got.Reasons)
		}
	}
}

// A level that is beyond the limit of wear once, where a visit before read it inside, throws no unit away; twice does,
// and what came at once is not called ageing.
func TestBeyondOnce(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   judge.Action
		says   string
		not    string
	}{
		{[]float64{25, 15}, judge.LookAgain, "read it again", "replace"},
		{[]float64{24, 25, 24, 26, 25, 25, 25, 24, 25, 0, 0, 0}, judge.LookAgain, "say what happened, before it is replaced", "ageing"},
		{[]float64{30, 29, 27, 26, 24, 23, 21, 20, 18, 17, 15, 14}, judge.Replace, "falling is ageing", "at once"},
	} {
		town := newTown()
		town.neighbours(1, 20)
		town.history(21, "Hall", c.values...)
		town.on = visit(11, 59)
		if len(c.values) == 2 {
			town.on = visit(1, 59)
		}
		got := town.judged(21)
		if got.Action != c.want || !slices.ContainsFunc(got.Sentences()[:1], func(s string) bool { return strings.Contains(s, c.says) && !strings.Contains(s, c.not) }) {
			t.Errorf("%v: %s: %q", c.values, got.Action, got.Reasons)
		}
	}
}

// A last value far off the others is looked at again also where the type is known to go far: nothing is cleaned on one
// look alone. Where the room went with it, it is not alone.
func TestNothingIsCleanedOnOneLookFarOff(t *testing.T) {
	for _, c := range []struct {
		room   string
		values []float64
		alone  bool
	}{
		{"Office", []float64{24, 25, 24, 24, 25, 35}, true},
		{"Office", []float64{24, 24, 46}, true},
		{"Kiln room", []float64{24, 24, 38}, false},
	} {
		town := newTown()
		n := len(c.values) - 1
		for i := 1; i <= 20; i++ {
			room, last := "Office", 25.0
			if i <= 8 {
				room, last = "Kiln room", 37+float64(i%3)
			}
			town.history(i, room, append(slices.Clone(c.values[:n]), last)...)
		}
		town.history(51, c.room, c.values...)
		got := town.judged(51)
		if alone := got.Action == judge.LookAgain && strings.Contains(got.Reasons[0], "far off the line of the others, which leads to 2"); alone != c.alone {
			t.Errorf("%s, %v: %s: %q", c.room, c.values, got.Action, got.Reasons)
		}
	}
}
