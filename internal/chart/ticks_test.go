package chart

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The first is the worked example of P. S. Heckbert, "Nice numbers for graph
// labels", Graphics Gems I, 1990, page 61 (from memory): data from 105 to 543 with
// five ticks get labels from 100 to 600 by 100. The others are worked out by hand
// from his rule: 7 with five ticks: range 10, 10/4 = 2.5, rounded to 2.
func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		most      int
		want      []float64
		decimals  int
	}{
		{105, 543, 5, []float64{100, 200, 300, 400, 500, 600}, 0},
		{0, 7, 5, []float64{0, 2, 4, 6, 8}, 0},
		{-0.3, 0.4, 5, []float64{-0.4, -0.2, 0, 0.2, 0.4}, 1},
		{23, 23.5, 5, []float64{23, 23.1, 23.2, 23.3, 23.4, 23.5}, 1},
		{24, 24, 5, []float64{23.4, 23.6, 23.8, 24, 24.2, 24.4, 24.6}, 1},
	} {
		got, decimals := ticks(c.low, c.high, c.most)
		same := slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
		if !same || decimals != c.decimals {
			t.Errorf("%v to %v: %v with %d decimals, want %v with %d", c.low, c.high, got, decimals, c.want, c.decimals)
		}
	}
}

// Ticks cover the data, are evenly apart by 1, 2 or 5 times a power of ten, and
// are neither few nor many.
func TestTicksAny(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, high := rapid.Float64Range(-1e15, 1e15).Draw(t, "low"), rapid.Float64Range(-1e15, 1e15).Draw(t, "high")
		if low > high {
			low, high = high, low
		}
		most := rapid.IntRange(2, 12).Draw(t, "most")
		at, decimals := ticks(low, high, most)
		if len(at) < 2 || len(at) > 2*most+3 || decimals < 0 {
			t.Fatalf("%d ticks, at most about %d wanted, %d decimals", len(at), most, decimals)
		}
		step := at[1] - at[0]
		tiny := 1e-6 * step
		if at[0] > low+tiny || at[len(at)-1] < high-tiny {
			t.Fatalf("%v do not cover %v to %v", at, low, high)
		}
		mantissa := step / math.Pow(10, math.Floor(math.Log10(step)+1e-6))
		if !slices.ContainsFunc([]float64{1, 2, 5, 10}, func(n float64) bool { return math.Abs(mantissa-n) < 1e-4 }) {
			t.Fatalf("step %v", step)
		}
		for i := range len(at) - 1 {
			if math.Abs(at[i+1]-at[i]-step) > tiny {
				t.Fatalf("uneven: %v", at)
			}
		}
	})
}

func TestFixed(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{{-1e-17, 1, "0.0"}, {0.1 + 0.2, 1, "0.3"}, {-0.4, 1, "-0.4"}, {600, 0, "600"}} {
		if got := fixed(c.v, c.decimals); got != c.want {
			t.Errorf("%v: %q, want %q", c.v, got, c.want)
		}
	}
}
