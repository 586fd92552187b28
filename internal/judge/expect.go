package judge

import (
	"math"
	"time"

	"sootline"
)

// Expectation is what a value read on a day is held against where nothing can
// be computed but a comparison: on a phone without network. A nil pointer means
// that nothing is known.
type Expectation struct {
	Point           *sootline.Point
	Low, High       *float64 // the band
	Spread          *float64 // the largest normal standard deviation of the samples of one look
	Value, From, To *float64 // the value to expect, and the interval in which a look lies in 99 of 100 cases
}

// expectedShare is the share of looks that lie within the interval: of a hundred
// that are as they should be, one is asked about again. A choice of ours, no source.
const expectedShare = 0.99

// Expect says what to expect of each point that has a resting value, in the order
// of the register, which was folded as of on.
func Expect(r *sootline.Register, on time.Time) []Expectation {
	j := New(r, on)
	j.look()
	var all []Expectation
	for i, p := range r.Points() {
		if sheet := j.sheet(p.Type); sheet != nil && !sheet.Kind.Judged() && len(p.Readings) == 0 {
			continue
		}
		var judgement Judgement
		j.point(p, &j.looks[i], &judgement)
		all = append(all, j.study.expectation())
	}
	return all
}

// expectation is the line as it stands on the judge's day: the interval is that of
// one more look, so it holds the noise of a look beside the error of the line
// (Draper & Smith, Applied Regression Analysis, 3rd ed. 1998, section 1.4; from
// memory). Without a line it is the last look, give or take the noise of two.
func (s *study) expectation() Expectation {
	x := Expectation{Point: s.Judgement.Point, Low: s.limit(LowLimit), High: s.limit(HighLimit)}
	if s.Sheet != nil && s.Sheet.SpreadLimit != nil {
		x.Spread = s.Sheet.SpreadLimit
	} else {
		x.Spread = given(spreadFactor * s.outlook.Wide)
	}
	if s.broken || s.latest() == nil {
		return x
	}
	value, half := s.Value, math.Sqrt2*math.Erfinv(expectedShare)*math.Sqrt2*s.outlook.Wide
	if s.spoken {
		t := float64(s.on.Sub(s.first).Milliseconds()) / yearMillis
		if fit, se, ok := s.outlook.at(t); ok {
			value = fit
			half = s.scratch.StudentT(0.5+expectedShare/2, s.outlook.Drift.DF) * math.Hypot(se, s.outlook.Drift.SD)
		}
	}
	if half > 0 && given(value-half) != nil && given(value+half) != nil {
		x.Value, x.From, x.To = given(value), given(value-half), given(value+half)
	}
	return x
}
