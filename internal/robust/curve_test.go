package robust_test

import (
	"math"
	"testing"

	"sootline/internal/robust"
)

// A parabola through six values, and its end: coefficients, errors and bend
// computed with NumPy 1.24 (lstsq and the inverse of X'X, noise of standard
// deviation one).
func TestCurve(t *testing.T) {
	at, y := []float64{0, 0.3, 0.5, 1, 1.4, 2}, []float64{20, 20.5, 20, 22, 23.5, 28}
	noise := robust.Noise{SD: 1, DF: 1e12} // so well known that the residuals change nothing
	d, err := robust.FitDrift(at, y, noise)
	if err != nil || d.Screened != nil {
		t.Fatalf("%v, set aside %v", err, d.Screened)
	}
	c, ok := robust.CurveOf(&d, d.Line, at, y)
	if !ok {
		t.Fatal("no parabola")
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	near("bend", math.Round(1e8*c.Bend)/1e8, 2.27333267)
	near("bend in its errors", c.Z(1), 2.188105757305978)
	for _, p := range [][3]float64{{2, 27.953072526537202, 0.9604861516027076}, {3, 38.69529170543815, 3.90457758609228}} {
		fit, se := c.At(p[0], 1)
		near("value", fit, p[1])
		near("its error", se, p[2])
	}
	end := new(robust.Scratch).Tangent(c, d, noise)
	near("slope at the end", end.Line.Slope, 8.468886505068388)
	near("its error", end.SlopeSE(), math.Sqrt(4.702498168339642))
	near("residual squares", end.Line.SSE, 0.3819425981857495)
	fit, se, _ := end.At(2)
	near("value at the end", fit, 27.953072526537202)
	near("its error", se, 0.9604861516027076)
}

// Three values, or values at two times only, carry no parabola.
func TestNoCurve(t *testing.T) {
	for _, at := range [][]float64{{0, 1, 2}, {0, 0, 1, 1}} {
		y := []float64{20, 21, 23, 24}[:len(at)]
		d, err := robust.FitDrift(at, y, robust.Noise{SD: 1, DF: 4})
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := robust.CurveOf(&d, d.Line, at, y); ok {
			t.Errorf("%v: %+v", at, c)
		}
	}
}
