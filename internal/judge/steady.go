package judge

import (
	"fmt"
	"math"
	"slices"
	"time"
)

const (
	// spreadFactor times the usual noise is the largest normal spread of samples
	// where the type sheet gives none: a judgement of ours, no source.
	spreadFactor = 3
	// unusual is the chance at which noise about the trend counts as unusual.
	unusual = 0.01
	// stuckVisits is how many equal visits make a value look stuck: a judgement
	// of ours, no source.
	stuckVisits = 8
	// livelyNoise is the noise, in whole numbers, below which equal readings are
	// no wonder: they are then all rounded to the same number.
	livelyNoise = 0.5
)

// findUnsteady says whether the value jumps about, within the latest reading or
// from visit to visit.
func (s *study) findUnsteady() {
	s.UnsteadyWhy = s.wideSamples()
	if s.UnsteadyWhy == "" {
		s.UnsteadyWhy = s.wildVisits()
	}
	s.Unsteady = s.UnsteadyWhy != ""
}

func (s *study) wideSamples() string {
	if s.Spread == nil {
		return ""
	}
	if s.Sheet != nil && s.Sheet.SpreadLimit != nil {
		if *s.Spread <= *s.Sheet.SpreadLimit {
			return ""
		}
		return fmt.Sprintf("its samples on %s spread by %s, and its type allows %s",
			date(s.ReadAt), s.amount(*s.Spread), s.amount(*s.Sheet.SpreadLimit))
	}
	if *s.Spread <= spreadFactor*s.outlook.Wide {
		return ""
	}
	return fmt.Sprintf("its samples on %s spread by %s, more than %d times the usual noise of %s (a judgement of ours: its type sheet gives no limit)",
		date(s.ReadAt), s.amount(*s.Spread), spreadFactor, s.amount(s.outlook.Wide))
}

func (s *study) wildVisits() string {
	if !s.fitted {
		return ""
	}
	line, n := &s.outlook.Own, s.outlook.Wide
	excess := line.SSE / (n * n)
	if excess <= float64(line.DF) || chiSquaredBeyond(excess, line.DF) >= unusual {
		return "" // at or below its mean, chi-squared needs no closer look
	}
	return fmt.Sprintf("its readings lie %s about their own line, where %s is usual", s.amount(line.SD), s.amount(n))
}

// chiSquaredBeyond is the chance that chi-squared with df degrees of freedom
// exceeds x.
//
// Source: Abramowitz & Stegun (1964), Handbook of Mathematical Functions,
// 26.4.4 and 26.4.5 (from memory): with z = x/2, the sum of z^k e^-z / k! over
// k = 0, 1, ... df/2-1, or for odd df erfc(sqrt z) and that sum over k = 1/2,
// 3/2, ... df/2-1.
func chiSquaredBeyond(x float64, df int) float64 {
	z := x / 2
	switch {
	case !(z > 0) || df < 1:
		return 1
	case math.IsInf(z, 1):
		return 0
	}
	beyond, k := 0.0, 0.0
	if df%2 == 1 {
		beyond, k = math.Erfc(math.Sqrt(z)), 0.5
	}
	for ; k < float64(df)/2; k++ {
		factorial, _ := math.Lgamma(k + 1)
		beyond += math.Exp(k*math.Log(z) - z - factorial) // by logarithms: each factor alone may leave the range
	}
	return min(1, beyond)
}

// odd says that the last visit was set aside as far from the line of the
// others.
func (s *study) odd() string {
	last := len(s.y) - 1
	if !s.fitted || !slices.Contains(s.outlook.Drift.Screened, last) {
		return ""
	}
	return fmt.Sprintf("the reading of %s, %s, lies far off the line of the others, which leads to %s there: read it again",
		date(s.last), s.amount(s.y[last]), s.amount(s.expected(last)))
}

// stuck says that the value never moves. A value that device or panel corrects
// stays flat by design, and one with little noise by rounding; so do other
// quantities, of which a clean device may go on giving the same.
func (s *study) stuck() string {
	if !s.constant || len(s.y) < stuckVisits || s.outlook.Noise < livelyNoise || s.Sheet == nil || s.Sheet.Compensated || !s.Sheet.Kind.Judged() || s.Quantity != "" {
		return ""
	}
	return fmt.Sprintf("%d visits since %s all gave exactly %s: check that it is the device that was read", len(s.y), date(s.first), s.amount(s.y[0]))
}

// date writes the day of an instant, in the zone that the register gives its times
// in.
func date(t time.Time) string {
	var text [len(time.DateOnly)]byte
	return string(t.AppendFormat(text[:0], time.DateOnly))
}
