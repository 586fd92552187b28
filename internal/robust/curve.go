package robust

import "math"

// Curve is the least-squares parabola through the readings of a drift that were not set aside. About the mean time
// of its line, u = t - own.MeanT, it is own + Bend*q(u) with q(u) = u^2 - lean*u - level, which no line explains any
// part of.
//
// Source: least squares with one added column, by its residual on the others (Frisch & Waugh 1933, from memory).
type Curve struct {
	Bend        float64 // half the change of the slope, per unit of time squared
	own         Line
	lean, level float64
	squares     float64 // of q, summed
	last        float64
}

// CurveOf draws the parabola through the readings that d kept; own is the least-squares line through these alone.
// ok is false below four readings, or when their times cannot carry a parabola.
func CurveOf(d *Drift, own Line, t, y []float64) (c Curve, ok bool) {
	c = Curve{own: own, last: d.Last}
	if own.N < leastCurve {
		return c, false
	}
	cubes, along := 0.0, 0.0
	c.each(d.Screened, t, y, func(u, _ float64) { cubes += u * u * u })
	c.lean, c.level = cubes/own.Sxx, own.Sxx/float64(own.N)
	c.each(d.Screened, t, y, func(u, r float64) {
		q := c.q(u)
		c.squares += q * q
		along += q * r
	})
	c.Bend = along / c.squares
	return c, c.squares > leastUnit && usable(c.Bend) && usable(c.squares)
}

// leastCurve is the fewest readings a parabola with an error of its own can be drawn through.
const leastCurve = 4

func (c *Curve) q(u float64) float64 { return u*u - c.lean*u - c.level }

// each goes through the readings that were kept: their times about the mean, and their residuals about the line.
func (c *Curve) each(screened []int, t, y []float64, use func(u, r float64)) {
	next := 0
	for i := range t {
		if next < len(screened) && screened[next] == i {
			next++
			continue
		}
		use(t[i]-c.own.MeanT, y[i]-c.own.At(t[i]))
	}
}

// Z is the bend in its standard errors, under noise of the standard deviation sd.
func (c *Curve) Z(sd float64) float64 { return c.Bend * math.Sqrt(c.squares) / sd }

// At is the value of the parabola at time t and its standard error under noise of the standard deviation sd.
func (c *Curve) At(t, sd float64) (fit, se float64) {
	u := t - c.own.MeanT
	q := c.q(u)
	return c.own.At(t) + c.Bend*q, sd * math.Sqrt(c.own.Leverage(t)+q*q/c.squares)
}

// Tangent is the line that the parabola follows at the last reading, with its errors. It is a [Drift] like any other:
// value and slope of the parabola there are correlated, and its MeanT is the time at which the tangent's value is not
// correlated with its slope, so that Sxx and Weight say all of the errors.
func (s *Scratch) Tangent(c Curve, d Drift, noise Noise) Drift {
	u := c.last - c.own.MeanT
	q, turn := c.q(u), 2*u-c.lean // of the parabola at the last reading, and its derivative
	slope := c.own.Slope + c.Bend*turn
	value := c.own.At(c.last) + c.Bend*q
	// In squares of the noise:
	varSlope := 1/c.own.Sxx + turn*turn/c.squares
	varValue := 1/float64(c.own.N) + u*u/c.own.Sxx + q*q/c.squares
	both := u/c.own.Sxx + q*turn/c.squares
	back := both / varSlope
	d.Line = Line{
		N: c.own.N, Weight: 1 / (varValue - both*back), MeanT: c.last - back, MeanY: value - slope*back,
		Sxx: 1 / varSlope, Slope: slope, SSE: max(0, c.own.SSE-c.Bend*c.Bend*c.squares), DF: c.own.DF - 1,
	}
	d.Line.Intercept = d.Line.MeanY - slope*d.Line.MeanT
	d.Line.SD = math.Sqrt(d.Line.SSE / float64(d.Line.DF))
	d.weighNoise(noise, s.chiSquared(noisierThan, float64(d.Line.DF)))
	return d
}
