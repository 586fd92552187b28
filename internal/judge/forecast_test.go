package judge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// hallway is a book of several points of one type in one area.
type hallway struct {
	book
	points int
}

// point adds a point with a visit every three months, the last on 2026-03-01.
func (h *hallway) point(values ...float64) {
	from := len(h.entries)
	h.fit(date("2020-01-01"))
	h.visits(date("2026-03-01"), values...)
	id := sootline.DerivedID(date("2026-01-01"), fmt.Append(nil, "point", h.points))
	for i := range h.entries[from:] {
		h.entries[from+i].Point = id
	}
	h.points++
}

// last judges the point that was added last.
func (h *hallway) last(t *testing.T) judge.Judgement {
	t.Helper()
	on := date("2026-03-04")
	r := sootline.Fold(h.entries, on)
	id := h.entries[len(h.entries)-1].Point
	return judge.Point(r, r.Point(id), on)
}

// rising gives eight visits that rise by 2 a year, in whole counts.
func rising(start float64) []float64 {
	return []float64{start, start, start + 1, start + 1, start + 2, start + 2, start + 3, start + 3}
}

// Two visits of their own, and five others that all rise by about 2 a year: the
// point is taken to do so too. Four others are too few to learn from.
func TestTwoVisitsBorrow(t *testing.T) {
	var h hallway
	h.sheet(alpha())
	for range 5 {
		h.point(rising(24)...)
	}
	h.point(29, 30)
	got := h.last(t)
	if got.Borrowed == nil || *got.Borrowed < 2.0/3 || *got.Borrowed > 1 {
		t.Fatalf("borrowed %s", text(got.Borrowed))
	}
	// The least-squares slope of the eight visits is 0.4762 a visit (NumPy), 1.905 a
	// year of visits a quarter apart; months differ in length, and the point's own
	// two visits count for little.
	near(t, "drift", got.DriftPerYear, new(1.905), 0.1)
	if got.DriftReal != judge.TooFew {
		t.Errorf("its own two visits show a drift: %s", got.DriftReal)
	}
	if got.LeavesEarliest == nil || got.LeavesLikely == nil || !got.LeavesEarliest.Before(*got.LeavesLikely) {
		t.Errorf("from %v, %v, to %v", got.LeavesEarliest, got.LeavesLikely, got.LeavesLatest)
	}
	if said := strings.Join(got.Reasons, "\n"); !strings.Contains(said, "comes from 5 others of its type, 5 of them in its area") {
		t.Error(said)
	}

	h = hallway{}
	h.sheet(alpha())
	for range 4 {
		h.point(rising(24)...)
	}
	h.point(26, 27)
	got = h.last(t)
	if got.Borrowed != nil || got.DriftPerYear != nil || got.LeavesEarliest != nil {
		t.Errorf("borrowed %s from four, drift %s", text(got.Borrowed), text(got.DriftPerYear))
	}
	if said := strings.Join(got.Reasons, "\n"); !strings.Contains(said, "4 others of its type to learn from") {
		t.Error(said)
	}
}

// Of two visits that lie ten counts apart one is wild, and nobody can tell which.
func TestTwoVisitsApartBorrowNothing(t *testing.T) {
	var h hallway
	h.sheet(alpha())
	for range 8 {
		h.point(rising(24)...)
	}
	h.point(22, 32)
	if got := h.last(t); got.Borrowed != nil || got.LeavesEarliest != nil {
		t.Errorf("borrowed %s, earliest %v", text(got.Borrowed), got.LeavesEarliest)
	}
}

// A point that runs unlike the others stands on its own visits.
func TestUnlikeTheOthersBorrowsNothing(t *testing.T) {
	var h hallway
	h.sheet(alpha())
	for range 8 {
		h.point(rising(24)...)
	}
	h.point(34, 33, 31, 30, 28, 27, 25, 24, 22, 21) // falls by 6 a year
	got := h.last(t)
	if got.Borrowed != nil || got.DriftPerYear == nil || *got.DriftPerYear > -5 || got.DriftReal != judge.Yes {
		t.Errorf("borrowed %s, drift %s, real %s", text(got.Borrowed), text(got.DriftPerYear), got.DriftReal)
	}
}

// A drift that speeds up for all to see is read from its end: the least-squares
// parabola through the visits rises there by 15.537 a year (NumPy's polyfit).
func TestCurved(t *testing.T) {
	var b book
	b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(20.0), High: new(60.0)}}})
	b.fit(date("2020-01-01"))
	b.visits(date("2026-03-01"), 24, 24, 25, 24, 25, 26, 28, 30, 33, 36, 39, 42)
	got := b.judge(t, date("2026-03-04"))
	near(t, "drift", got.DriftPerYear, new(15.537), 0.001)
	if !got.Curved || !slices.ContainsFunc(got.Reasons, func(s string) bool { return strings.Contains(s, "speeds up") }) {
		t.Errorf("curved %t: %q", got.Curved, got.Reasons)
	}
}

// Sets of twelve samples, with ratios computed in Python: 2.06, 3.58 and 0.177.
func TestCourseOfSamples(t *testing.T) {
	for _, c := range []struct {
		samples []float64
		want    judge.Course
	}{
		{[]float64{25, 25, 26, 25, 25, 25, 24, 25, 25, 26, 25, 25}, judge.NoCourse},
		{[]float64{25, 28, 22, 27, 23, 29, 21, 26, 24, 28, 22, 27}, judge.Flipping},
		{[]float64{23, 23, 24, 24, 25, 25, 25, 26, 26, 27, 27, 28}, judge.Settling},
		{[]float64{23, 24, 25, 26}, judge.NoCourse},
	} {
		var b book
		b.sheet(alpha())
		b.fit(date("2020-01-01"))
		b.read(date("2026-03-01"), c.samples...)
		if got := b.judge(t, date("2026-03-04")); got.Course != c.want {
			t.Errorf("%v: %q, want %q", c.samples, got.Course, c.want)
		}
	}
}

// By hand: from a rest of 25 to 45 it is 20; 31 is 6 of them.
func TestAlarmShare(t *testing.T) {
	sheet := alpha()
	sheet.FactoryRest, sheet.Bands[0].Alarm = new(25.0), new(45.0)
	var b book
	b.sheet(sheet)
	b.fit(date("2020-01-01"))
	b.read(date("2026-03-01"), 31)
	got := b.judge(t, date("2026-03-04"))
	near(t, "share", got.AlarmShare, new(0.3), 1e-15)
	if said := strings.Join(got.Reasons, "\n"); !strings.Contains(said, "30 % of the way to its alarm level of 45 counts") {
		t.Error(said)
	}
}

// One detector in six that jumps about wildly hardly moves the noise of its
// type: the others' residuals have a standard deviation of one half.
func TestNoiseOfATypeIsRobust(t *testing.T) {
	learned := func(wild float64) float64 {
		rng := rand.New(rand.NewPCG(1, 2))
		var e judge.Experience
		var last int
		for i := range 30 {
			size := 0.5
			if i%6 == 0 {
				size *= wild
			}
			times, values := make([]float64, 12), make([]float64, 12)
			for v := range times {
				times[v] = float64(v) / 4
				values[v] = 25 + size*rng.NormFloat64()
			}
			last = e.Add(judge.Past{Run: judge.Run{T: times, Y: values}, Type: "Alpha", Area: "Hall", Usual: 0.5})
		}
		o, _ := e.Outlook(last)
		return o.Noise
	}
	steady, mixed := learned(1), learned(100)
	if math.Abs(steady-0.5) > 0.1 || math.Abs(mixed-steady) > 0.05 {
		t.Errorf("noise %v, with wild ones %v", steady, mixed)
	}
}
