package judge_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/robust"
)

// years are quarterly visits to a detector, from Start on.
func years(start float64, value func(at float64) float64, n int) judge.Run {
	run := judge.Run{Start: start}
	for i := range n {
		t := float64(i) / 4
		run.T, run.Y = append(run.T, t), append(run.Y, value(start+t))
	}
	return run
}

// Eight detectors of an area follow a swing of two counts that peaks a quarter
// into the year, and drift by one count a year from 20: the swing is found, and
// is no part of the drift. By hand: at 3.25 the value is 23.25 + 2.
func TestSeason(t *testing.T) {
	var e judge.Experience
	swing := func(at float64) float64 { return 2 * math.Sin(2*math.Pi*at) }
	for i := range 8 {
		level := 20 + 0.01*float64(i)
		e.Add(judge.Past{
			Run:  years(0, func(at float64) float64 { return level + at + swing(at) + 0.01*float64((i+int(4*at))%3) }, 13),
			Type: "Alpha", Area: "Hall", Usual: 0.3,
		})
	}
	o, ok := e.Outlook(0)
	if !ok {
		t.Fatal("no line")
	}
	near(t, "sine", &o.Season.Sin, new(2.0), 0.05)
	near(t, "cosine", &o.Season.Cos, new(0.0), 0.05)
	near(t, "swing", new(o.Season.Swing()), new(2.0), 0.05)
	near(t, "drift", &o.Drift.Line.Slope, new(1.0), 0.02)
	// The value passes 24.5 on the way up to its peak of the fourth year, where
	// at + 2 sin(2 pi at) = 4.5: at 3.121, by hand. The line alone would do so at 4.5.
	d, err := e.Leaves(&o, 24.5, robust.High, 0.9)
	if err != nil || !d.Point.Known {
		t.Fatalf("%+v, %v", d, err)
	}
	if math.Abs(d.Point.At-3.121) > 1.0/24+0.01 || !d.Earliest.Known || d.Earliest.At > d.Point.At {
		t.Errorf("leaves at %v, from %v on", d.Point.At, d.Earliest.At)
	}
}

// Detectors whose visits share no swing have no season.
func TestNoSeason(t *testing.T) {
	var e judge.Experience
	for i := range 8 {
		e.Add(judge.Past{
			Run:  years(0, func(at float64) float64 { return 20 + at + float64((i*7+int(4*at)*5)%3-1) }, 13),
			Type: "Alpha", Area: "Hall", Usual: 1,
		})
	}
	if o, _ := e.Outlook(0); o.Season != (judge.Season{}) {
		t.Errorf("season %+v", o.Season)
	}
}

// Six detectors drifted by 1 to 6 counts a year until they were cleaned, and do
// so again: two visits after the cleaning, each is expected to go on at its own
// pace and not at that of the others.
func TestOwnPaceAfterCleaning(t *testing.T) {
	var e judge.Experience
	pace := func(i int) float64 { return float64(i%6 + 1) }
	for i := range 12 {
		rise := func(from float64) func(float64) float64 {
			return func(at float64) float64 { return 22 + pace(i)*(at-from) + 0.1*float64((i+int(4*at))%3-1) }
		}
		now := 2
		if i >= 6 {
			now = 9 // the others show what comes again
		}
		e.Add(judge.Past{
			Run: years(3, rise(3), now), Earlier: []judge.Run{years(0, rise(0), 10)},
			Type: "Alpha", Area: "Hall", Usual: 0.3,
		})
	}
	for i := range 6 {
		o, ok := e.Outlook(i)
		if !ok || o.Earlier != 1 {
			t.Fatalf("detector %d: %t, %d earlier runs", i, ok, o.Earlier)
		}
		near(t, "pace", &o.Drift.Line.Slope, new(pace(i)), 0.25)
	}
}

// A step that nobody wrote down ends a drift: what rose before does not make the
// forecast rise after.
func TestStepStartsAfresh(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2020-01-01"))
	b.visits(date("2026-03-01"), 22, 23, 25, 26, 28, 29, 31, 32, 22, 22, 23, 22, 22, 23, 22)
	got := b.judge(t, date("2026-03-04"))
	if got.DriftPerYear == nil || math.Abs(*got.DriftPerYear) > 1 || got.DriftReal == judge.Yes {
		t.Errorf("drift %s, real %s", text(got.DriftPerYear), got.DriftReal)
	}
	if said := strings.Join(got.Reasons, "\n"); !strings.Contains(said, "its level changed at once between 2024-06-01 and 2024-09-01, and nobody wrote down why") {
		t.Error(said)
	}
	if got.ReadingsSinceReset != 15 {
		t.Errorf("%d readings since the reset that somebody wrote down", got.ReadingsSinceReset)
	}
}

// Readings from before another type was fitted say nothing of the new one.
func TestAnotherTypeStartsAfresh(t *testing.T) {
	day := func(years float64) time.Time {
		return date("2018-01-01").Add(time.Duration(years * 365.25 * 24 * float64(time.Hour)))
	}
	var h hallway
	h.sheet(alpha())
	beta := alpha()
	beta.Name = "Beta"
	h.add(sootline.LongAgo, sootline.Sheet{TypeSheet: beta})
	for i := range 7 {
		from := len(h.entries)
		h.fit(date("2018-01-01"))
		for v := range 10 {
			h.read(day(float64(v)/4), math.Round(20+2*float64(v)))
		}
		h.add(day(2.5), sootline.Replaced{Type: "Beta"})
		for v := range 9 {
			h.read(day(2.5+float64(v)/4), 20+float64((v+i)%2))
		}
		h.points++
		id := sootline.DerivedID(date("2026-01-01"), []byte{byte(i)})
		for k := range h.entries[from:] {
			h.entries[from+k].Point = id
		}
	}
	on := date("2023-01-01")
	for _, j := range judge.Site(sootline.Fold(h.entries, on), on) {
		if j.DriftPerYear == nil || math.Abs(*j.DriftPerYear) > 0.5 {
			t.Errorf("drift %s", text(j.DriftPerYear))
		}
	}
}
