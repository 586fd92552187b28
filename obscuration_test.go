package sootline_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sootline"
)

// The table was computed apart from this module, by the relations between the
// units that UL 268, NFPA 72 Annex B and the SFPE Handbook state (from memory),
// and its pairs of %/ft and %/m 0.5/1.6, 4/12.5 and 10/29.2 are those that UL
// 268 prints (from memory). Tolerance: half of the last digit given.
func TestObscuration(t *testing.T) {
	for _, c := range []struct{ foot, metre, decibels, k float64 }{
		{0.2, 0.6547, 0.02853, 0.00657},
		{0.5, 1.6311, 0.07142, 0.01645},
		{1, 3.2436, 0.14320, 0.03297},
		{2.5, 7.9707, 0.36074, 0.08306},
		{4, 12.5349, 0.58165, 0.13393},
		{10, 29.2255, 1.50123, 0.34567},
		{12, 34.2559, 1.82143, 0.41940},
	} {
		o, err := sootline.PercentPerFoot(c.foot)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			unit                 string
			got, want, tolerance float64
		}{
			{"%/ft", o.PercentPerFoot(), c.foot, 1e-12},
			{"%/m", o.PercentPerMetre(), c.metre, 0.5e-4},
			{"dB/m", o.DecibelsPerMetre(), c.decibels, 0.5e-5},
			{"1/m", float64(o), c.k, 0.5e-5},
		} {
			if math.Abs(x.got-x.want) > x.tolerance {
				t.Errorf("%v %%/ft in %s: %v, want %v", c.foot, x.unit, x.got, x.want)
			}
		}
	}
	// From the same source: dB/m to %/m and %/ft.
	for _, c := range []struct{ decibels, metre, foot float64 }{{0.05, 1.1447, 0.3503}, {0.15, 3.3949, 1.0472}, {1, 20.5672, 6.7777}} {
		o, err := sootline.DecibelsPerMetre(c.decibels)
		if err != nil || math.Abs(o.PercentPerMetre()-c.metre) > 0.5e-4 || math.Abs(o.PercentPerFoot()-c.foot) > 0.5e-4 {
			t.Errorf("%v dB/m: %v %%/m, %v %%/ft, %v", c.decibels, o.PercentPerMetre(), o.PercentPerFoot(), err)
		}
	}
}

func TestObscurationThereAndBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		percent := rapid.Float64Range(0, 99).Draw(rt, "percent")
		o, err := sootline.PercentPerMetre(percent)
		if err != nil {
			rt.Fatal(err)
		}
		foot, err := sootline.PercentPerFoot(o.PercentPerFoot())
		if err != nil {
			rt.Fatal(err)
		}
		decibels, err := sootline.DecibelsPerMetre(foot.DecibelsPerMetre())
		if err != nil || math.Abs(decibels.PercentPerMetre()-percent) > 1e-9 {
			rt.Errorf("%v %%/m came back as %v, %v", percent, decibels.PercentPerMetre(), err)
		}
	})
}

func TestObscurationRefuses(t *testing.T) {
	for _, percent := range []float64{-1, 100, math.NaN(), math.Inf(1)} {
		if _, err := sootline.PercentPerFoot(percent); err == nil {
			t.Errorf("%v %%/ft was taken", percent)
		}
		if _, err := sootline.PercentPerMetre(percent); err == nil {
			t.Errorf("%v %%/m was taken", percent)
		}
	}
	for _, decibels := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := sootline.DecibelsPerMetre(decibels); err == nil {
			t.Errorf("%v dB/m was taken", decibels)
		}
	}
}
