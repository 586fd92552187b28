package robust

import (
	"errors"
	"math"
	"testing"
)

func TestBrokenSeries(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := []float64{1, 2, 3, 4}
	tests := []struct {
		name string
		t, y []float64
		want error
	}{
		{"lengths", good, good[:3], ErrLength},
		{"not a number", good, []float64{1, nan, 2, 3}, ErrNotFinite},
		{"infinite time", []float64{1, inf, 3, 4}, good, ErrNotFinite},
		{"huge", good, []float64{1, 1e151, 2, 3}, ErrNotFinite},
		{"empty", nil, nil, ErrTooFew},
		{"one", good[:1], good[:1], ErrTooFew},
		{"one time", []float64{2, 2, 2, 2}, good, ErrNoSpread},
		{"steep", []float64{0, 1e-150, 2e-150, 3e-150}, []float64{0, 1e140, -1e140, 1e140}, ErrOverflow},
	}
	noise := Noise{SD: 1, DF: PriorDF}
	for _, c := range tests {
		_, trend := TheilSen(c.t, c.y, 0.9)
		_, kendall := MannKendall(c.t, c.y)
		_, line := LeastSquares(c.t, c.y)
		_, drift := FitDrift(c.t, c.y, noise)
		for name, err := range map[string]error{"trend": trend, "line": line, "drift": drift, "kendall": kendall} {
			want := c.want
			if name == "kendall" && c.name == "steep" {
				want = nil // ranks do not care
			}
			if !errors.Is(err, want) {
				t.Errorf("%s: %s: %v, want %v", c.name, name, err, want)
			}
		}
	}
}

func TestBrokenArguments(t *testing.T) {
	x, y := []float64{0, 1, 2, 3}, []float64{25, 26, 26, 28}
	for _, conf := range []float64{0, 1, -0.5, 90, math.NaN()} {
		if _, err := TheilSen(x, y, conf); !errors.Is(err, ErrArgument) {
			t.Errorf("confidence %v: %v", conf, err)
		}
		if _, err := Crossing(x, y, Query{30, High, Noise{1, 4}, conf}); !errors.Is(err, ErrArgument) {
			t.Errorf("confidence %v: %v", conf, err)
		}
	}
	for _, q := range []Query{
		{math.NaN(), High, Noise{1, 4}, 0.9},
		{30, 0, Noise{1, 4}, 0.9},
		{30, High, Noise{0, 4}, 0.9},
		{30, High, Noise{math.NaN(), 4}, 0.9},
		{30, High, Noise{1, -1}, 0.9},
	} {
		if _, err := Crossing(x, y, q); !errors.Is(err, ErrArgument) {
			t.Errorf("%+v: %v", q, err)
		}
	}
	if _, err := new(Scratch).Departure(Drift{}, 30, High, 0.9); !errors.Is(err, ErrArgument) {
		t.Errorf("empty drift: %v", err)
	}
	// A perfect line and no trust in the pooled noise leave no error to divide by.
	if _, err := Crossing(x, x, Query{30, High, Noise{1, 0}, 0.9}); !errors.Is(err, ErrOverflow) {
		t.Errorf("no noise at all: %v", err)
	}
}

func TestBrokenSamples(t *testing.T) {
	for _, x := range [][]float64{nil, {math.NaN()}, {1, math.Inf(-1)}, {1e200, 1}} {
		for name, f := range map[string]func([]float64) (float64, bool){
			"Median": Median, "HodgesLehmann": HodgesLehmann, "Lag1": Lag1,
			"SuccessiveSD": SuccessiveSD, "VonNeumann": VonNeumann, "Range": Range,
		} {
			if v, ok := f(x); ok || v != 0 {
				t.Errorf("%s(%v) = %v, %v", name, x, v, ok)
			}
		}
		if _, _, ok := Moments(x); ok {
			t.Errorf("Moments(%v) ok", x)
		}
		if _, ok := ModifiedScale(x); ok {
			t.Errorf("ModifiedScale(%v) ok", x)
		}
		if _, ok := RobustScale(x, 1); ok {
			t.Errorf("RobustScale(%v) ok", x)
		}
		if _, ok := Quantile(Type7, 0.5, x); ok {
			t.Errorf("Quantile(%v) ok", x)
		}
	}
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		if _, ok := Quantile(Type7, p, []float64{1, 2}); ok {
			t.Errorf("quantile %v ok", p)
		}
	}
	if _, ok := Quantile(5, 0.5, []float64{1, 2}); ok {
		t.Error("quantile of a kind that is not offered")
	}
}
