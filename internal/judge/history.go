package judge

import (
	"math"
	"time"

	"sootline"
)

const (
	dayMillis  = 24 * 60 * 60 * 1000
	yearMillis = 365.25 * dayMillis
)

// roundingSD is the standard deviation that rounding to whole numbers adds:
// sqrt(1/12), that of the uniform distribution one wide.
const roundingSD = 0.28867513459481287

// visited is the visits to a point since its drift last started afresh, one value
// a day: the median of all samples of that day, since samples minutes apart
// are no independent look at a drift that takes months. A visit with a number
// that no device gives is left out.
type visited struct {
	readings    []sootline.Reading // since the last recorded reset, of the type's own quantity
	t, y        []float64          // years since the first, value
	first, last time.Time
	history     int      // in the experience of the site
	step        *stepped // after which the visits begin, where nobody wrote down why; or nil
}

// look looks at all points of the register: at each by itself on all cores, then
// at all together.
func (j *Judge) look() {
	points := j.register.Points()
	if j.survey != nil {
		return
	}
	j.survey = surveyOf(j.ctx, j.register)
	for _, p := range points {
		j.typed(p.Type) // the hands only read it
	}
	j.looks = make([]visited, len(points))
	pasts := make([]Past, len(points))
	shared(j.ctx, len(points), func(i int) { j.looks[i], pasts[i] = j.visit(points[i], &j.survey.points[i]) })
	j.index = make(map[*sootline.Point]int, len(points))
	for i, p := range points {
		j.looks[i].history, j.index[p] = j.experience.Add(pasts[i]), i
	}
	j.experience.settle()
	j.findOthers()
}

// visits gives the visits to a point, having looked at all points first.
func (j *Judge) visits(p *sootline.Point) visited {
	j.look()
	if i, known := j.index[p]; known {
		return j.looks[i]
	}
	one := surveyed{stretches: stretches(j.register, p, j.sheet(p.Type))}
	v, past := j.visit(p, &one) // it was removed, or never placed
	v.history = j.experience.Add(past)
	return v
}

// visit sorts the looks at a point into those since its drift last started
// afresh and the runs before.
func (j *Judge) visit(p *sootline.Point, s *surveyed) (visited, Past) {
	v := visited{readings: p.SinceReset()}
	past := Past{Type: j.types[p.Type].key, Area: p.Area}
	past.Usual = usualNoise(j.register, j.types[p.Type].sheet)
	reset := p.LastReset()
	for k := range s.stretches {
		one := &s.stretches[k]
		looks := one.looks
		if step := s.latestStep(one); step != nil {
			cut := 0
			for looks[cut].at.Before(step.to) {
				cut++
			}
			past.addRun(one, looks[:cut])
			looks, v.step = looks[cut:], step
		}
		if one.first().at.Before(reset.At) {
			past.addRun(one, looks)
			v.step = nil
			continue
		}
		past.Run = runOf(looks)
		v.t, v.y = past.T, past.Y
		v.first, v.last = looks[0].at, looks[len(looks)-1].at
		if one.whole {
			past.Least = roundingSD
		}
	}
	return v, past
}

// addRun adds looks from before the drift last started afresh, unless another
// type was fitted then.
func (p *Past) addRun(s *stretch, looks []look) {
	if sootline.TypeKey(s.reset.Type) == p.Type || s.reset.Type == "" {
		p.Earlier = append(p.Earlier, runOf(looks))
	}
}

// runOf gives looks as numbers.
func runOf(looks []look) Run {
	numbers := make([]float64, 2*len(looks))
	run := Run{T: numbers[:len(looks):len(looks)], Y: numbers[len(looks):]}
	if len(looks) == 0 {
		return run
	}
	from := looks[0].t
	run.Start = float64(looks[0].at.UnixMilli()) / yearMillis
	for i := range looks {
		run.T[i], run.Y[i] = looks[i].t-from, looks[i].y
	}
	return run
}

// years is the time of an instant on the scale of t.
func (v *visited) years(at time.Time) float64 {
	return float64(at.UnixMilli()-v.first.UnixMilli()) / yearMillis
}

// instant is the inverse of years.
func (v *visited) instant(years float64) time.Time {
	return time.UnixMilli(v.first.UnixMilli() + int64(math.Round(years*yearMillis))).In(v.first.Location())
}

// day numbers the days of the zone that the register gives its times in.
func day(at time.Time) int64 {
	_, offset := at.Zone()
	return int64(math.Floor(float64(at.UnixMilli()+1000*int64(offset)) / dayMillis))
}

func differ(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// latest is the latest reading since the reset, or nil.
func (s *study) latest() *sootline.Reading {
	if len(s.readings) == 0 {
		return nil
	}
	return &s.readings[len(s.readings)-1]
}
