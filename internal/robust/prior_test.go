package robust_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sootline/internal/robust"
)

// Bivariate normal posterior of level and slope, computed apart in Python from
// the 2x2 matrix of information (NumPy), with the noise and the weight of the
// prior by the formulas of the docstring. Tolerance 1e-9.
func TestInformed(t *testing.T) {
	times, values := []float64{0, 0.25, 0.5, 0.8, 1.1}, []float64{25, 26, 25, 27, 27}
	for _, c := range []struct {
		name                     string
		t, y                     []float64
		prior                    robust.SlopePrior
		slope, fit, se, borrowed float64 // fit and se at t = 2
	}{
		{"five readings", times, values, robust.SlopePrior{Slope: 1.2, SD: 0.4}, 1.277323935659, 27.877666185419, 0.695064190138, 0.880482171218},
		{"a prior far from them", times, values, robust.SlopePrior{Slope: 6, SD: 0.4}, 4.694697364266, 32.901205125471, 0.989566751579, 0.685699047685},
		{"two readings", []float64{0, 0.3}, []float64{24, 25}, robust.SlopePrior{Slope: 1.2, SD: 0.4}, 1.212619125863, 26.743345382846, 1.072082472635, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			var s robust.Scratch
			var sen robust.SenLine
			if len(c.t) > 2 {
				var err error
				if sen, err = s.Sen(c.t, c.y); err != nil {
					t.Fatal(err)
				}
			}
			d, err := s.Informed(sen, c.t, c.y, robust.Noise{SD: 1.1, DF: 4}, c.prior)
			if err != nil {
				t.Fatal(err)
			}
			fit, se, ok := d.At(2)
			if !ok || len(d.Screened) > 0 {
				t.Fatalf("line %t, set aside %v", ok, d.Screened)
			}
			for _, x := range []struct {
				name      string
				got, want float64
			}{{"slope", d.Line.Slope, c.slope}, {"fit", fit, c.fit}, {"error", se, c.se}, {"borrowed", d.Borrowed, c.borrowed}} {
				if x.want >= 0 && math.Abs(x.got-x.want) > 1e-9 {
					t.Errorf("%s %.12f, want %.12f", x.name, x.got, x.want)
				}
			}
		})
	}
}

// A prior that knows next to nothing leaves the line alone, one that knows all
// replaces its slope; between them the slope lies between both.
func TestInformedBetween(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(rt, "n")
		times, values := make([]float64, n), make([]float64, n)
		for i := range n {
			times[i] = float64(i) / 4
			values[i] = float64(rapid.IntRange(20, 30).Draw(rt, "y"))
		}
		var s robust.Scratch
		noise := robust.Noise{SD: 1, DF: 4}
		own, err := s.FitDrift(times, values, noise)
		if err != nil {
			rt.Fatal(err)
		}
		mean := rapid.Float64Range(-3, 3).Draw(rt, "slope")
		informed := func(sd float64) robust.Informed {
			d, err := s.Informed(own.Sen, times, values, noise, robust.SlopePrior{Slope: mean, SD: sd})
			if err != nil {
				rt.Fatal(err)
			}
			return d
		}
		// Of three readings, one may be set aside only with a prior.
		if d := informed(1e9); d.Own.N == own.Line.N && math.Abs(d.Line.Slope-own.Line.Slope) > 1e-9 || d.Borrowed > 1e-9 {
			rt.Errorf("with no knowledge: slope %v, alone %v, borrowed %v", d.Line.Slope, own.Line.Slope, d.Borrowed)
		}
		if d := informed(1e-9); math.Abs(d.Line.Slope-mean) > 1e-6 {
			rt.Errorf("with all knowledge: slope %v, prior %v", d.Line.Slope, mean)
		}
		d := informed(rapid.Float64Range(0.01, 10).Draw(rt, "sd"))
		low, high := min(mean, d.Own.Slope), max(mean, d.Own.Slope)
		if d.Line.Slope < low-1e-9 || d.Line.Slope > high+1e-9 || d.Borrowed < 0 || d.Borrowed > 1 {
			rt.Errorf("slope %v of %v and %v, borrowed %v", d.Line.Slope, d.Own.Slope, mean, d.Borrowed)
		}
	})
}

func TestInformedRefuses(t *testing.T) {
	var s robust.Scratch
	noise, prior := robust.Noise{SD: 1}, robust.SlopePrior{SD: 1}
	for _, c := range []struct {
		name  string
		t, y  []float64
		noise robust.Noise
		prior robust.SlopePrior
		want  error
	}{
		{"nothing", nil, nil, noise, prior, robust.ErrTooFew},
		{"lengths", []float64{1}, nil, noise, prior, robust.ErrLength},
		{"NaN", []float64{1}, []float64{math.NaN()}, noise, prior, robust.ErrNotFinite},
		{"no noise", []float64{1}, []float64{1}, robust.Noise{}, prior, robust.ErrArgument},
		{"no prior", []float64{1}, []float64{1}, noise, robust.SlopePrior{}, robust.ErrArgument},
	} {
		if _, err := s.Informed(robust.SenLine{}, c.t, c.y, c.noise, c.prior); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}
