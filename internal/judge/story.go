package judge

import (
	"time"

	"sootline"
)

// PathAt is where the value of a point, free of noise, is expected on a day: the
// middle, and between what it lies with 50 and with 90 %.
type PathAt struct {
	At                           time.Time
	Median                       float64
	Low50, High50, Low90, High90 float64
}

// pathSteps is how many days a path is drawn through.
const pathSteps = 24

// Path follows what a point is expected to do, from its last visit to a day; nil where it was not read since its last
// reset.
func (a *Assessment) Path(p *sootline.Point, until time.Time) []PathAt {
	s := a.study(p)
	if s.past == nil || s.latest() == nil || len(s.looks) == s.since() {
		return nil
	}
	from, to := s.looks[len(s.looks)-1].t, years(until)
	var path []PathAt
	for i := range pathSteps + 1 {
		if to <= from {
			break
		}
		t := from + float64(i)*(to-from)/pathSteps
		at := PathAt{At: s.instant(t)}
		into := [...]*float64{&at.Low90, &at.Low50, &at.Median, &at.High50, &at.High90}
		for n, q := range [...]float64{0.05, 0.25, 0.5, 0.75, 0.95} {
			if s.kin.scale.width < 0 {
				q = 1 - q
			}
			*into[n] = s.kin.scale.value(s.ahead.quantile(t, q, 0))
		}
		path = append(path, at)
	}
	return path
}

// SetAside lists the readings since the last reset that the level does not rest
// on: those likelier not what was shown, and those before something that likely happened and nobody wrote down.
func (a *Assessment) SetAside(p *sootline.Point) []sootline.ID {
	s := a.study(p)
	if s.past == nil {
		return nil
	}
	aside := map[int]bool{}
	for e, chance := range s.ahead.events() {
		switch {
		case chance <= likelySo || e.look < s.since():
		case e.isSlip():
			aside[e.look] = true
		case e.kind != AskUnsteady:
			for i := s.since(); i < e.look; i++ {
				aside[i] = true
			}
		}
	}
	var ids []sootline.ID
	for i := s.since(); i < len(s.looks); i++ {
		if aside[i] {
			ids = append(ids, entries(s.looks[i:i+1])...)
		}
	}
	return ids
}

// study judges a point once more, to tell of it what a judgement does not keep:
// an empty one of a point that the register does not hold.
func (a *Assessment) study(p *sootline.Point) *study {
	i, known := a.judge.model.index[p]
	if !known {
		return &study{}
	}
	hand := *a.judge
	var judgement Judgement
	return hand.judge(hand.model.points[i], &judgement)
}
