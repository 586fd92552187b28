package robust

import (
	"fmt"
	"math"
)

// SlopePrior is what is known of the slope of a series before it is looked at, from others of its kind: normal
// about Slope, unless the series itself says that it is not one of them. The zero SlopePrior knows nothing.
type SlopePrior struct {
	Slope float64
	SD    float64 // above zero; 0: nothing is known
}

// tailDF shapes the tails of a prior: those of Student's t with so many degrees of freedom, by which a series
// that runs unlike the others draws little from them.
//
// Source: the choice of 4 after Gelman et al., Bayesian Data Analysis, 3rd ed., section 17.2 (from memory).
const tailDF = 4

// Sen is the line by medians through the values y at times t, as [FitDrift] draws it, without its interval and,
// up to 1000 values, without its separate intercept. Errors as for FitDrift,
// except ErrArgument.
func (s *Scratch) Sen(t, y []float64) (SenLine, error) {
	if err := s.load(t, y); err != nil {
		return SenLine{}, err
	}
	if len(t) < leastKept {
		return SenLine{}, fmt.Errorf("%d of at least %d: %w", len(t), leastKept, ErrTooFew)
	}
	var line SenLine
	if len(t) > allPairsUpTo {
		line = s.plainSen()
	} else {
		s.listSlopes()
		line.Pairs = int64(len(s.slopes))
		line.Slope = median(s.slopes)
		line.Joint = s.jointIntercept(line.Slope)
	}
	return line, line.check()
}

// FitDriftAbout is [FitDrift] for a series whose line by medians is known already.
func (s *Scratch) FitDriftAbout(sen SenLine, t, y []float64, noise Noise) (Drift, error) {
	if err := noise.check(); err != nil {
		return Drift{}, err
	}
	d := Drift{Last: t[len(t)-1], Sen: sen}
	var err error
	if d.Line, d.Screened, err = s.screened(t, y, sen, noise.SD); err != nil {
		return Drift{}, err
	}
	d.weighNoise(noise, s.chiSquared(noisierThan, float64(d.Line.DF)))
	return d, nil
}

// Informed is a drift whose slope is part its own and part that of others.
type Informed struct {
	Drift            // its Line is the weighed one; SSE, DF and SD are those of Own
	Own      Line    // least squares through the same readings alone, flat where the times do not differ
	Borrowed float64 // share of what is known of the slope that comes from the prior, 0 to 1
}

// Informed draws a line through the values y at ascending times t, from one reading on, whose slope is part its
// own and part the prior's. Readings are set aside as by [FitDrift], about a line by medians of which the slope
// is weighed likewise. A normal prior on the slope beside none on the level is exactly a least-squares line with
// more spread in time: Sxx grows by noise^2/prior.SD^2 and the slope becomes the weighed mean of both, so that
// all that is said of a [Drift] holds of the result.
//
// sen is the line by medians, see [Scratch.Sen], and not looked at below 3 readings. Errors: ErrLength,
// ErrNotFinite, ErrTooFew (none), ErrArgument, ErrOverflow.
func (s *Scratch) Informed(sen SenLine, t, y []float64, noise Noise, prior SlopePrior) (Informed, error) {
	if err := checkInformed(t, y, noise, prior); err != nil {
		return Informed{}, err
	}
	d := Informed{Drift: Drift{Last: t[len(t)-1], Sen: sen, SD: noise.SD, DF: noise.DF}}
	d.Screened = s.keepNear(s.expected(sen, t, y, noise, prior), t, y, noise.SD)
	d.Own = lineOf(s.keptT, s.keptY)
	if d.Line = d.Own; d.Own.DF > 0 {
		d.weighNoise(noise, s.chiSquared(noisierThan, float64(d.Own.DF)))
	}
	d.Line, d.Borrowed = d.Own.informed(d.SD, prior)
	for _, v := range [...]float64{d.Line.Slope, d.Line.Intercept, d.Line.Sxx, d.SD, d.Own.Slope} {
		if !usable(v) {
			return Informed{}, fmt.Errorf("line with a prior: %w", ErrOverflow)
		}
	}
	return d, nil
}

func checkInformed(t, y []float64, noise Noise, prior SlopePrior) error {
	if err := checkPairs(t, y); err != nil {
		return err
	}
	if len(t) == 0 {
		return fmt.Errorf("no reading: %w", ErrTooFew)
	}
	if !usable(prior.Slope) || !usable(prior.SD) || prior.SD <= leastUnit {
		return fmt.Errorf("slope %v give or take %v: %w", prior.Slope, prior.SD, ErrArgument)
	}
	return noise.check()
}

// expected is the line about which readings are screened.
func (s *Scratch) expected(sen SenLine, t, y []float64, noise Noise, prior SlopePrior) SenLine {
	line := SenLine{Slope: prior.Slope}
	if len(t) >= leastKept {
		sxx, ratio := squares(t, average(t)), noise.SD/prior.SD
		line.Slope = (sxx*sen.Slope + ratio*ratio*prior.Slope) / (sxx + ratio*ratio)
	}
	s.work = resize(s.work, len(t))
	for i := range t {
		s.work[i] = y[i] - line.Slope*t[i]
	}
	line.Joint = median(s.work)
	return line
}

// lineOf is the least-squares line through the values y at times t, one or more, flat where the times do not
// differ. Its standard errors are left out.
func lineOf(t, y []float64) Line {
	l := Line{N: len(t), Weight: float64(len(t)), MeanT: average(t), MeanY: average(y), DF: max(0, len(t)-2)}
	sxy := 0.0
	for i := range t {
		d := t[i] - l.MeanT
		l.Sxx += d * d
		sxy += d * (y[i] - l.MeanY)
	}
	if l.Sxx > 0 {
		l.Slope = sxy / l.Sxx
	}
	for i := range t {
		r := y[i] - l.At(t[i])
		l.SSE += r * r
	}
	if l.DF > 0 {
		l.SD = math.Sqrt(l.SSE / float64(l.DF))
	}
	return l
}

// StudentT returns the p-quantile, 0 < p < 1, of Student's t with df degrees of freedom, above zero.
func (s *Scratch) StudentT(p, df float64) float64 { return s.studentT(p, df) }

// informed is the line with its slope weighed against the prior, under noise of the standard deviation sd.
func (l Line) informed(sd float64, prior SlopePrior) (line Line, borrowed float64) {
	own := l.Sxx / (sd * sd) // information of the line on its slope, one over its squared error
	other := 1 / (prior.SD * prior.SD)
	if own > 0 {
		gap := (l.Slope - prior.Slope) / math.Sqrt(1/own+1/other)
		other *= min(1, (tailDF+1)/(tailDF+gap*gap))
	}
	l.Slope = (own*l.Slope + other*prior.Slope) / (own + other)
	l.Sxx = (own + other) * sd * sd
	l.Intercept = l.MeanY - l.Slope*l.MeanT
	return l, other / (own + other)
}
