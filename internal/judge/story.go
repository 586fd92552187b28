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

// Path follows what a point is expected to do, from its last visit to a day, no
// farther than its line is believed; nil where there is no line to speak of.
func (a *Assessment) Path(p *sootline.Point, until time.Time) []PathAt {
	s := a.study(p)
	if !s.spoken {
		return nil
	}
	from, to := s.outlook.Drift.Last, min(s.years(until), s.farthest())
	half50 := s.scratch.StudentT(0.75, s.outlook.Drift.DF)
	half90 := s.scratch.StudentT(0.5+confidence/2, s.outlook.Drift.DF)
	var path []PathAt
	for i := range pathSteps + 1 {
		t := from + float64(i)*(to-from)/pathSteps
		fit, se, ok := s.outlook.at(t)
		if !ok || to <= from {
			break
		}
		path = append(path, PathAt{
			At: s.instant(t), Median: fit,
			Low50: fit - half50*se, High50: fit + half50*se, Low90: fit - half90*se, High90: fit + half90*se,
		})
	}
	return path
}

// SetAside lists the readings since the last reset that the drift does not rest
// on: those far off the line of the others, and those before a step that nobody
// wrote down.
func (a *Assessment) SetAside(p *sootline.Point) []sootline.ID {
	s := a.study(p)
	days := map[int64]bool{}
	if s.spoken {
		for _, i := range s.outlook.Drift.Screened {
			days[day(s.instant(s.t[i]))] = true
		}
	}
	var aside []sootline.ID
	for i := range s.readings {
		r := &s.readings[i]
		if r.Entry != nil && (r.At.Before(s.first) || days[day(r.At)]) {
			aside = append(aside, r.Entry.ID)
		}
	}
	return aside
}

// study judges a point once more, to tell of it what a judgement does not keep:
// an empty one of a point that the register does not hold.
func (a *Assessment) study(p *sootline.Point) *study {
	i, known := a.judge.index[p]
	if !known {
		return &study{}
	}
	hand := a.judge.hand()
	var judgement Judgement
	hand.point(p, &a.judge.looks[i], &judgement)
	return &hand.study
}
