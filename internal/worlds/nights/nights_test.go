package nights_test

import (
	"math"
	"reflect"
	"testing"
	"time"

	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/nights"
)

func TestYearIsDrawnAgain(t *testing.T) {
	a, b, c := nights.Draw(1000, 365, 1), nights.Draw(1000, 365, 1), nights.Draw(1000, 365, 2)
	if !reflect.DeepEqual(a, b) || reflect.DeepEqual(a, c) {
		t.Error("a seed does not settle the year")
	}
	kinds := map[string]int{}
	for _, ch := range a.Changes {
		kinds[ch.Kind]++
	}
	if len(kinds) != 6 || len(a.Values) < 340_000 || len(a.Values) == 365_000 || len(a.Odd) < 20 {
		t.Errorf("%v, %d values, %d odd", kinds, len(a.Values), len(a.Odd))
	}
}

// TestWeigh: to keep all finds all; what is kept by change of four steps finds most with a fraction; to keep one a quarter misses most.
func TestWeigh(t *testing.T) {
	y := nights.Draw(1000, 365, 3)
	all := y.Weigh(y.Values)
	if all.Strange != 0 || all.OddKept < 20 || all.Changes < 40 || all.Found != all.Changes {
		t.Errorf("all of it: %+v", all)
	}
	change, quarter := y.Weigh(kept(y, 4, 365)), y.Weigh(kept(y, math.Inf(1), 91))
	t.Logf("all %+v\nby change %+v\nby the quarter %+v", all, change, quarter)
	if change.Found*10 < change.Changes*8 || change.Kept*4 > all.Kept {
		t.Errorf("by change: %+v", change)
	}
	if quarter.Found*2 > quarter.Changes || quarter.Kept > 5000 || quarter.RMS < all.RMS || all.RMS > 1.5 {
		t.Errorf("by the quarter: %+v", quarter)
	}
	v := y.Values[5]
	if w := y.Weigh([]nights.Value{v, v, {Point: 1, Night: 1, Value: 77}}); w.Strange != 2 {
		t.Errorf("%+v", w)
	}
}

// kept keeps a value that differs by so much from the last kept, or is older than so many nights.
func kept(y *nights.Year, by float64, age int) []nights.Value {
	var out []nights.Value
	last := map[int]nights.Value{}
	for _, v := range y.Values {
		was, ok := last[v.Point]
		if !ok || math.Abs(v.Value-was.Value) >= by || v.Night-was.Night >= age {
			out, last[v.Point] = append(out, v), v
		}
	}
	return out
}

func TestNightsOfALevel(t *testing.T) {
	w := instruments.World{}
	site := w.Make(1, w.Scenarios()[0])
	a := nights.Of(&site, 365, 1)
	if b := nights.Of(&site, 365, 1); !reflect.DeepEqual(a, b) {
		t.Error("a seed does not settle the nights")
	}
	if n := 365 * len(site.Points); len(a) < n/2 || len(a) >= n {
		t.Errorf("%d values of %d", len(a), n)
	}
	for _, r := range a {
		if off := math.Abs(r.Value-r.Level) / r.Level; off > 0.15 && r.Level > 5 || !r.At.Before(site.Now) || r.At.Before(site.Now.Add(-366*24*time.Hour)) {
			t.Fatalf("%+v", r)
		}
	}
}
