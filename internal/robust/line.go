package robust

import (
	"fmt"
	"math"
)

// Line is a least-squares line y = Intercept + Slope*t with the sums it rests on.
type Line struct {
	N           int
	Weight      float64 // readings' worth of its value at MeanT: N, or less at the end of a [Curve]
	MeanT       float64
	MeanY       float64
	Sxx         float64 // sum of squares of t about MeanT
	Slope       float64
	Intercept   float64
	SSE         float64 // sum of squared residuals
	DF          int     // N-2
	SD          float64 // residual standard deviation, sqrt(SSE/DF)
	SlopeSE     float64
	InterceptSE float64
	R2          float64 // share of the variance of y explained; 0 when y does not vary
}

// At returns the line's value at time t.
func (l Line) At(t float64) float64 { return l.MeanY + l.Slope*(t-l.MeanT) }

// Leverage returns the variance of the line's value at time t in units of the noise variance.
func (l Line) Leverage(t float64) float64 {
	d := t - l.MeanT
	return 1/l.Weight + d/l.Sxx*d
}

// LeastSquares fits a line to y at times t, working about the means so that large times, such as seconds
// of a calendar, lose no digits. Errors: ErrLength, ErrNotFinite, ErrTooFew (below 3), ErrNoSpread,
// ErrOverflow.
func LeastSquares(t, y []float64) (Line, error) {
	if err := checkPairs(t, y); err != nil {
		return Line{}, err
	}
	if len(t) < 3 {
		return Line{}, fmt.Errorf("%d of at least 3: %w", len(t), ErrTooFew)
	}
	l := Line{N: len(t), Weight: float64(len(t)), MeanT: average(t), MeanY: average(y), DF: len(t) - 2}
	sxy := 0.0
	for i := range t {
		d := t[i] - l.MeanT
		l.Sxx += d * d
		sxy += d * (y[i] - l.MeanY)
	}
	if l.Sxx == 0 {
		return Line{}, ErrNoSpread
	}
	l.Slope = sxy / l.Sxx
	l.Intercept = l.MeanY - l.Slope*l.MeanT
	for i := range t {
		r := y[i] - l.At(t[i])
		l.SSE += r * r
	}
	l.SD = math.Sqrt(l.SSE / float64(l.DF))
	l.SlopeSE = l.SD / math.Sqrt(l.Sxx)
	l.InterceptSE = l.SD * math.Sqrt(l.Leverage(0))
	if total := squares(y, l.MeanY); total > 0 {
		l.R2 = max(0, 1-l.SSE/total)
	}
	for _, v := range [...]float64{l.Slope, l.Intercept, l.SD, l.SlopeSE, l.InterceptSE} {
		if !usable(v) {
			return Line{}, fmt.Errorf("least-squares line: %w", ErrOverflow)
		}
	}
	return l, nil
}
