package chart

import (
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Nothing that reaches farthest is lost, nothing is invented, the order stays.
func TestThin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, buckets := rapid.IntRange(1, 400).Draw(t, "n"), rapid.IntRange(1, 50).Draw(t, "buckets")
		places := make([]XY, n)
		x := 0.0
		for i := range places {
			x += rapid.Float64Range(0, 3).Draw(t, "step")
			places[i] = XY{x, rapid.Float64Range(-100, 100).Draw(t, "y")}
		}
		got := thin(places, buckets)
		if len(got) > 2*buckets && len(got) > n {
			t.Fatalf("%d of %d kept in %d buckets", len(got), n, buckets)
		}
		byY := func(a, b XY) int { return cmp.Compare(a.Y, b.Y) }
		if slices.MaxFunc(got, byY).Y != slices.MaxFunc(places, byY).Y || slices.MinFunc(got, byY).Y != slices.MinFunc(places, byY).Y {
			t.Fatal("a peak was lost")
		}
		next := 0
		for _, p := range got {
			i := slices.Index(places[next:], p)
			if i < 0 {
				t.Fatalf("%v was not there, or not in this order", p)
			}
			next += i + 1
		}
	})
}

// Worked out by hand: two buckets of ten places, of each the lowest and highest.
func TestThinWorked(t *testing.T) {
	var places []XY
	for i, y := range []float64{3, 1, 4, 1.5, 5, 9, 2, 6, 5.5, 3.5} {
		places = append(places, XY{float64(i), y})
	}
	want := []XY{{1, 1}, {4, 5}, {5, 9}, {6, 2}}
	if got := thin(places, 2); !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// TestLongHistoryIsSmall: ten thousand readings are drawn as few places, and the
// one peak among them is seen.
func TestLongHistoryIsSmall(t *testing.T) {
	p := longHistory(10000).Picture()
	if size := len(svgOf(t, p)); size > 20_000 {
		t.Errorf("%d bytes", size)
	}
	line := parsed(t, p).all("polyline", "course")[0].pairs(t)
	top := slices.MinFunc(line, func(a, b XY) int { return cmp.Compare(a.Y, b.Y) })
	if share := (top.X - line[0].X) / (line[len(line)-1].X - line[0].X); share < 0.33 || share > 0.34 {
		t.Errorf("the peak is at %v of the way, it was a third", share)
	}
	if len(p.Table.Rows) != 10000 {
		t.Errorf("the table has %d rows", len(p.Table.Rows))
	}
}

func BenchmarkLongHistory(b *testing.B) {
	h := longHistory(10000)
	for b.Loop() {
		svgOf(b, h.Picture())
	}
}
