package judge

import (
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
	for _, p := range j.model.points {
		if p.sheet != nil && !p.sheet.Kind.Judged() && len(p.point.Readings) == 0 {
			continue
		}
		var judgement Judgement
		all = append(all, j.judge(p, &judgement).expectation())
	}
	return all
}

// expectation is the level as it stands on the judge's day: the interval is that of one more look, so it holds the
// noise of a look beside the doubt about the level.
func (s *study) expectation() Expectation {
	x := Expectation{Point: s.Judgement.Point, Low: s.limit(LowLimit), High: s.limit(HighLimit)}
	if s.Sheet != nil && s.Sheet.SpreadLimit != nil {
		x.Spread = s.Sheet.SpreadLimit
	} else {
		x.Spread = given(spreadFactor * s.noiseSD())
	}
	if s.broken || s.latest() == nil || len(s.looks) == 0 {
		return x
	}
	k := s.kin
	low, high := s.ahead.quantile(years(s.on), (1-expectedShare)/2, k.noise), s.ahead.quantile(years(s.on), (1+expectedShare)/2, k.noise)
	from, to := k.scale.value(low), k.scale.value(high)
	if from > to {
		from, to = to, from
	}
	value := s.levelAt(years(s.on))
	if from < to && given(from) != nil && given(to) != nil {
		x.Value, x.From, x.To = given(value), given(from), given(to)
	}
	return x
}
