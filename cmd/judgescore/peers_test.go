package main

import (
	"math"
	"os"
	"testing"
	"time"

	"sootline"
	"sootline/internal/robust"
	"sootline/internal/worlds/levels"
)

var fittedOn = time.Date(2020, 1, 6, 9, 0, 0, 0, time.UTC)

// line is a point whose level goes straight.
type line struct {
	rest, drift float64
	offs        []float64 // of its readings, half a year apart
}

// straight writes a site of such points, of a type with a band from 10 to 40; now is a month after the last
// reading, and somebody comes five months later.
func straight(t *testing.T, kind sootline.DeviceKind, lines []line) (entries []sootline.Entry, now, next time.Time) {
	t.Helper()
	book := levels.NewBook(1, fittedOn.Add(-time.Hour), sootline.Opened{Name: "lines"})
	low, high := 10.0, 40.0
	book.Write(levels.Line{At: fittedOn.Add(-time.Minute), Body: sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Straight", Kind: kind, Bands: []sootline.Band{{Low: &low, High: &high}},
	}}})
	for i, l := range lines {
		id := book.Point(fittedOn)
		book.Write(levels.Line{At: fittedOn, Point: id, Body: sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: i + 1, Area: []string{"hall", "yard"}[i%2]}, Type: "Straight"}})
		book.Write(levels.Line{At: fittedOn, Point: id, Body: sootline.Addressed{Wanted: i + 1}})
		for k, off := range l.offs {
			at := fittedOn.AddDate(0, 6*k, 0)
			book.Write(levels.Line{At: at.Add(time.Hour), Point: id, Body: sootline.Read{Samples: []float64{l.rest + l.drift*years(fittedOn, at) + off}}})
			now = at.AddDate(0, 1, 0)
		}
	}
	entries, err := book.Entries()
	if err != nil {
		t.Fatal(err)
	}
	return entries, now, now.AddDate(0, 5, 0)
}

// noise is as good as any.
func noise(n int, size float64) []float64 {
	var all []float64
	for i := range n {
		all = append(all, size*math.Sin(float64(i*i)*1.7+float64(i)))
	}
	return all
}

func TestLimitsGoByTheLastReading(t *testing.T) {
	lines := []line{{20, 0, noise(4, 1)}, {50, 0, noise(4, 1)}, {5, 0, noise(4, 1)}, {20, 0, nil}}
	entries, now, next := straight(t, sootline.Smoke, lines)
	a := limits(entries, now, next)
	want := []string{levels.Leave, levels.CleanNow, levels.Replace, levels.LookAgain}
	for i, x := range a {
		if x.Action != want[i] || x.Outside != (i == 1 || i == 2) || !x.Earliest.IsZero() {
			t.Errorf("point %d: %+v", i, x)
		}
	}
}

// Least squares gives the days of Fieller's set, as internal/robust finds it from its ends.
func TestLeastSquaresDaysAreFiellers(t *testing.T) {
	entries, now, next := straight(t, sootline.Smoke, []line{{15, 3, noise(9, 1.5)}})
	a := leastSquares(entries, now, next)[0]
	s := subjects(entries, now)[0]
	fit, err := robust.LeastSquares(s.now().t, s.now().y)
	if err != nil {
		t.Fatal(err)
	}
	d := robust.Drift{Line: fit, SD: fit.SD, DF: float64(fit.DF), Last: s.now().t[8]}
	found, err := new(robust.Scratch).Departure(d, 40, robust.High, 0.9)
	if err != nil || found.Status != robust.Bounded {
		t.Fatal(err, found.Status)
	}
	for _, day := range []struct {
		name string
		said time.Time
		want robust.When
	}{{"earliest", a.Earliest, found.Earliest}, {"likely", a.Likely, found.Point}, {"latest", a.Latest, found.Latest}} {
		if off := years(s.now().begin, day.said) - day.want.At; off < 0 || off > step {
			t.Errorf("%s: %s is %.3f years off", day.name, day.said, off)
		}
	}
}

// A line that rises to its limit is found by all that draw lines, one that stays is not.
func TestPeersSeeARise(t *testing.T) {
	lines := []line{{20, 0, noise(10, 1)}, {18, 4.6, noise(10, 1)}}
	entries, now, next := straight(t, sootline.Smoke, lines)
	for name, peer := range map[string]levels.Judge{"least squares": leastSquares, "Theil-Sen": theilSen} {
		a := peer(entries, now, next)
		if a[0].Outside || a[0].Chance > 0.01 || a[0].Action != levels.Leave {
			t.Errorf("%s of what stays: %+v", name, a[0])
		}
		if !a[1].Outside || a[1].Action != levels.CleanNow || a[1].Earliest.IsZero() || a[1].Earliest.After(next) || a[1].Latest.IsZero() {
			t.Errorf("%s of what rises: %+v", name, a[1])
		}
	}
}

// What nobody cleans is replaced; what does not fall to the visit after the next is left.
func TestPeersReplaceCells(t *testing.T) {
	entries, now, next := straight(t, sootline.Gas, []line{{32, -4.4, noise(10, 1)}, {32, -1, noise(10, 1)}})
	a := leastSquares(entries, now, next)
	if a[0].Action != levels.Replace || a[1].Action != levels.Leave {
		t.Errorf("%+v", a)
	}
}

// The hierarchical model of the library gives lines back that were drawn from such a model, and knows of points
// without readings what others of their type teach.
func TestHierarchicalFindsLines(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to fit by statsmodels (needs /usr/bin/python3 with python3-statsmodels)")
	}
	var lines []line
	for i := range 40 {
		offs := noise(3+i%8, 0.8)
		lines = append(lines, line{20 + 1.5*math.Sin(float64(i)), 2 + 0.8*math.Cos(2.3*float64(i)), offs})
	}
	lines = append(lines, line{20, 2, nil})
	entries, now, _ := straight(t, sootline.Smoke, lines)
	all := subjects(entries, now)
	said, err := library.ask(telling(all))
	if err != nil {
		t.Fatal(err)
	}
	within := 0
	for i, e := range said {
		if e == nil {
			t.Fatalf("nothing is said of point %d", i)
		}
		level, drift := (lines[i].rest-25)/30, lines[i].drift/30
		if math.Abs(e[0]-level) < 3*math.Sqrt(e[2]) && math.Abs(e[1]-drift) < 3*math.Sqrt(e[4]) {
			within++
		}
		if i == 40 && (math.Abs(e[1]-2.0/30) > 0.02 || math.Sqrt(e[4]) < 0.005 || math.Sqrt(e[4]) > 0.05) {
			t.Errorf("of a point that was never read it says %v", e)
		}
		if i == 39 && math.Sqrt(e[4]) > 0.015 {
			t.Errorf("of ten readings it knows as little as %v", e)
		}
	}
	if within < 37 {
		t.Errorf("%d of %d lines lie within three standard errors", within, len(said))
	}
}
