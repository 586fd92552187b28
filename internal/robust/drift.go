package robust

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Noise is what is known of the noise of a series before it is looked at.
type Noise struct {
	SD float64 // standard deviation pooled from many series of the kind, above zero
	DF float64 // readings' worth of trust in it, 0 or more; see PriorDF
}

// PriorDF is the trust in the pooled standard deviation under which the method was tried by simulation.
const PriorDF = 4

// noisierThan is the chance level at which residuals count as noisier than the pooled noise allows.
const noisierThan = 0.90

// leastKept is the fewest readings that a line with an error of its own can be drawn through.
const leastKept = 3

// Drift is a straight line through a series with its wild readings set aside, and the noise about it.
type Drift struct {
	Sen      SenLine // line by medians, from which readings were screened; without interval
	Screened []int   // indices of the readings set aside, ascending; nil when none were
	Line     Line    // least squares through the others
	SD       float64 // noise used: pooled and own together, or own alone when Noisier
	DF       float64 // its degrees of freedom
	Noisier  bool    // the residuals are larger than the pooled noise explains
	Last     float64 // time of the last reading, screened or not
}

// FitDrift draws a line through the values y at times t in four steps: a line by medians (Theil-Sen, joint
// intercept); readings further from it than 3.5*max(noise.SD, 1.4826*median|residual|) set aside, unless
// that left fewer than 3 or no spread in time; least squares through the rest; and the noise about it, the
// pooled variance and the residuals weighed by their degrees of freedom, or the residuals alone where they
// pass the 90 % point of chi-squared. Errors: ErrLength, ErrNotFinite, ErrTooFew (below 3), ErrNoSpread,
// ErrArgument (noise), ErrOverflow.
func FitDrift(t, y []float64, noise Noise) (Drift, error) {
	return new(Scratch).FitDrift(t, y, noise)
}

// FitDrift is the function [FitDrift] in the working space s.
func (s *Scratch) FitDrift(t, y []float64, noise Noise) (Drift, error) {
	if err := noise.check(); err != nil {
		return Drift{}, err
	}
	if err := s.load(t, y); err != nil {
		return Drift{}, err
	}
	if len(t) < leastKept {
		return Drift{}, fmt.Errorf("%d of at least %d: %w", len(t), leastKept, ErrTooFew)
	}
	d := Drift{Last: s.points[len(s.points)-1].t, Sen: s.plainSen()}
	if err := d.Sen.check(); err != nil {
		return Drift{}, err
	}
	var err error
	if d.Line, d.Screened, err = s.screened(t, y, d.Sen, noise.SD); err != nil {
		return Drift{}, err
	}
	d.weighNoise(noise, s.chiSquared(noisierThan, float64(d.Line.DF)))
	return d, nil
}

func (n Noise) check() error {
	if !usable(n.SD) || n.SD <= leastUnit || !usable(n.DF) || n.DF < 0 {
		return fmt.Errorf("pooled noise %v with %v degrees of freedom: %w", n.SD, n.DF, ErrArgument)
	}
	return nil
}

// plainSen is the line by medians through the loaded series, without interval.
func (s *Scratch) plainSen() SenLine {
	line := SenLine{Pairs: s.tally().slopes}
	median := float64(line.Pairs+1) / 2
	line.Slope = s.slopesAt([3]float64{median, median, median})[1]
	line.Joint = s.jointIntercept(line.Slope)
	line.Separate = s.separateIntercept(line.Slope)
	return line
}

// screened fits least squares to the readings that lie near the line by medians, and names the others.
func (s *Scratch) screened(t, y []float64, sen SenLine, pooled float64) (Line, []int, error) {
	out := s.keepNear(sen, t, y, pooled)
	if len(s.keptT) >= leastKept && spread(s.keptT) {
		line, err := LeastSquares(s.keptT, s.keptY)
		return line, out, err
	}
	line, err := LeastSquares(t, y)
	return line, nil, err
}

// keepNear puts the readings near the line into s.keptT and s.keptY, and names the others.
func (s *Scratch) keepNear(line SenLine, t, y []float64, pooled float64) (out []int) {
	s.work = resize(s.work, len(t))
	for i := range t {
		s.work[i] = math.Abs(y[i] - line.At(t[i]))
	}
	bound := OutlierZ * max(pooled, madToSD*median(s.work))
	s.keptT, s.keptY = s.keptT[:0], s.keptY[:0]
	for i := range t {
		if math.Abs(y[i]-line.At(t[i])) > bound {
			out = append(out, i)
			continue
		}
		s.keptT, s.keptY = append(s.keptT, t[i]), append(s.keptY, y[i])
	}
	return out
}

// spread reports whether x holds two different values.
func spread(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// weighNoise sets the noise from the pooled one and the residuals; bound is the chi-squared quantile.
func (d *Drift) weighNoise(noise Noise, bound float64) {
	own, df := d.Line.SSE, float64(d.Line.DF)
	pooled := noise.SD * noise.SD
	if d.Noisier = own > pooled*bound; d.Noisier {
		d.SD, d.DF = math.Sqrt(own/df), df
		return
	}
	d.DF = noise.DF + df
	d.SD = math.Sqrt((noise.DF*pooled + own) / d.DF)
}

// SlopeSE returns the standard error of the slope d.Line.Slope with the noise used.
func (d Drift) SlopeSE() float64 { return d.SD / math.Sqrt(d.Line.Sxx) }

// At returns the line's value at time t and its standard error. ok is false when t is unusable or the
// result too large.
func (d Drift) At(t float64) (fit, se float64, ok bool) {
	if d.Line.N == 0 || !usable(t) {
		return 0, 0, false
	}
	fit, se = d.Line.At(t), d.SD*math.Sqrt(d.Line.Leverage(t))
	return fit, se, usable(fit) && usable(se)
}

// ChanceBeyond returns the chance that the line lies beyond the limit at time t: Student's t of its
// distance in standard errors. ok is false as for [Drift.At], and for an unusable limit or side.
func (d Drift) ChanceBeyond(t, limit float64, side Side) (p float64, ok bool) {
	fit, se, ok := d.At(t)
	if !ok || !usable(limit) || side.sign() == 0 {
		return 0, false
	}
	return d.Chance(side.sign()*(fit-limit), se), true
}

// ChanceTowards returns the chance that the slope leads towards the side.
func (d Drift) ChanceTowards(side Side) (p float64, ok bool) {
	if d.Line.N == 0 || side.sign() == 0 {
		return 0, false
	}
	return d.Chance(side.sign()*d.Line.Slope, d.SlopeSE()), true
}

// Chance is the chance that a quantity estimated as v, with standard error se under the noise of the drift, is
// above zero.
func (d Drift) Chance(v, se float64) float64 {
	z := v / se
	switch {
	case v == 0:
		return 0.5
	case !usable(z): // no error to speak of
		return 0.5 + math.Copysign(0.5, v)
	}
	return studentBelow(z, d.DF)
}

// fewSteps is the most degrees of freedom for which Student's t is summed term by term, and farOut the distance
// beyond which the sum has lost the digits of a small chance.
const (
	fewSteps = 100
	farOut   = 8
)

// studentBelow is the chance that Student's t with df degrees of freedom is below z.
//
// Source: Abramowitz & Stegun (1964), Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (from memory), for
// whole df: a finite sum of powers of the cosine of atan(z/sqrt df).
func studentBelow(z, df float64) float64 {
	if df != math.Trunc(df) || df < 1 || df > fewSteps || math.Abs(z) > farOut {
		return distuv.StudentsT{Sigma: 1, Nu: df}.CDF(z)
	}
	square := df / (df + z*z) // of the cosine
	sine := z / math.Sqrt(df+z*z)
	term, sum := 1.0, 0.0
	odd := math.Mod(df, 2)
	for power := odd; power <= df-2; power += 2 {
		sum += term
		term *= square * (power + 1) / (power + 2)
	}
	if odd == 0 {
		return 0.5 + sine*sum/2
	}
	return 0.5 + (math.Atan(z/math.Sqrt(df))+sine*math.Sqrt(square)*sum)/math.Pi
}
