package circuit

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sootline"
)

// The sum of the largest is what sorting gives.
func TestLargest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOf(rapid.SampledFrom([]float64{0, 1, 1, 2, 3.5, 8})).Draw(t, "list")
		n := rapid.IntRange(0, len(list)+1).Draw(t, "n")
		sorted := slices.Clone(list)
		slices.SortFunc(sorted, func(a, b float64) int { return int(math.Copysign(1, b-a)) * boolInt(a != b) })
		want := 0.0
		for _, x := range sorted[:min(n, len(sorted))] {
			want += x
		}
		if got := largest(list, n); math.Abs(got-want) > 1e-12 {
			t.Fatalf("the %d largest of %v are %g, want %g", n, sorted, got, want)
		}
	})
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// By hand: nine devices of 10 mA, every cable 1 ohm, 24 V: broken beside the panel the last has 24 - 0.01 x 45 = 23.55 V. A
// least of 23.56 V fails by 0.01 V; a limit of 89 mA fails by 1 mA; without them the loop is shown.
func TestVerdictByHand(t *testing.T) {
	nine := func() Loop {
		l := Loop{Out: End{Volts: 24}, In: End{Volts: 24}, Return: Cable{Plus: 0.5, Minus: 0.5}}
		for i := range 9 {
			l.Points = append(l.Points, Point{Name: strconv.Itoa(i + 1), Cable: Cable{Plus: 0.5, Minus: 0.5}, Rest: In(0.01), Alarm: In(0.01), Least: 17})
		}
		return l
	}
	d := Demand{Alarms: EveryAlarm()}
	l := nine()
	v, err := Judge(&l, d, nil)
	if err != nil || v.Says != Shown || math.Abs(float64(v.Nearest.Margin)-6.55) > 1e-9 || v.Nearest.Floor < v.Nearest.Margin-1e-9 {
		t.Errorf("%+v, %v", v, err)
	}
	l.Points[8].Least = 23.56
	if v, err = Judge(&l, d, nil); err != nil || v.Says != Failing || v.Fails.Point != 8 || math.Abs(v.Fails.By-0.01) > 1e-9 {
		t.Errorf("%+v, %v", v, err)
	}
	l = nine()
	l.Out.Limit, l.In.Limit = 0.089, 0.089
	if v, err = Judge(&l, d, nil); err != nil || v.Says != Failing || v.Fails.Limit != OutCurrent && v.Fails.Limit != InCurrent || math.Abs(v.Fails.By-0.001) > 1e-9 {
		t.Errorf("%+v, %v", v, err)
	}
}

// A fact that nobody knows stands in the way; bounded and harmless on its unsafe side it does not; two that are not
// bounded do together.
func TestVerdictWithFactsMissing(t *testing.T) {
	l := ladderOf(24, 0.0242, []float64{100}, amps(0.01), 50)
	l.Points[0].Least = 17
	d := Demand{Alarms: EveryAlarm()}
	limit := Fact{Kind: EndLimitFact, Unsafe: 1e-9}
	warmth := Fact{Kind: MetresFact, At: []int{0}, Safe: 100, Unsafe: 200, Bounded: true}
	v, err := Judge(&l, d, []Fact{warmth})
	if err != nil || v.Says != Shown {
		t.Errorf("bounded: %+v, %v", v, err)
	}
	v, err = Judge(&l, d, []Fact{warmth, limit})
	if err != nil || v.Says != NotShown || len(v.Missing) != 1 || v.Missing[0].Kind != EndLimitFact || v.Taken.Says != Shown {
		t.Errorf("a limit: %+v, %v", v, err)
	}
	least := Fact{Kind: LeastFact, At: []int{0}, Unsafe: 1e4}
	v, err = Judge(&l, d, []Fact{least, limit})
	if err != nil || v.Says != NotShown || len(v.Missing) != 2 {
		t.Errorf("two: %+v, %v", v, err)
	}
	turns, err := Turns(&l, d, []Fact{limit})
	if err != nil || len(turns) != 1 || math.Abs(turns[0].Keep-0.01) > 0.003 {
		t.Errorf("the limit may be off to %+v, %v; the device draws 10 mA", turns, err)
	}
}

// No sentence puts two figures beside each other that look alike and are said to differ.
func TestSentencesTellFiguresApart(t *testing.T) {
	l := ladderOf(24, 0.0242, []float64{100}, amps(0.01), 50)
	l.Points[0].Least = 23.99999
	c := mustNew(t, l)
	v, err := c.Verdict(Demand{Alarms: EveryAlarm()})
	if err != nil || v.Says != Failing {
		t.Fatalf("%+v, %v", v, err)
	}
	if text := c.FailureSentence(v.Fails); strings.Contains(text, "24.00 V and needs 24.00 V") {
		t.Error(text)
	}
	is, needs := apart(17.9999, 18, voltText)
	if is != "17.9999 V" || needs != "18.0000 V" {
		t.Errorf("%s, %s", is, needs)
	}
	same := NextIsolator{Point: "3", Worst: 14, Before: 14, Mean: 3, Now: 4}
	if text := same.reason(); strings.Contains(text, "14 devices instead of 14") || !strings.Contains(text, "still takes 14 devices") {
		t.Error(text)
	}
	at := Location{Segment: 0, First: 0, Last: 0}
	if text := c.locationText(&at); strings.Contains(text, "between 0.0 m and 0.0 m") {
		t.Error(text)
	}
}

// What can be written down of a conductor is what can be calculated.
func TestSizesWrittenDownCanBeCalculated(t *testing.T) {
	var mm2 []float64
	for _, row := range Metric() {
		mm2 = append(mm2, row.MM2)
	}
	var awg []int
	for _, row := range Gauges() {
		awg = append(awg, row.AWG)
	}
	if !slices.Equal(mm2, sootline.MetricSizes()) || !slices.Equal(awg, sootline.GaugeSizes()) {
		t.Errorf("%v and %v can be calculated, %v and %v written down", mm2, awg, sootline.MetricSizes(), sootline.GaugeSizes())
	}
}
