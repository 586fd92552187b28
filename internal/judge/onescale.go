package judge

import (
	"slices"

	"sootline"
)

// onOneScale is the register as it would look had no type ever changed its scale, and the judgements with the points
// of it in place of theirs. Readings are on the scale of today, or, for what is held against a band, on that of the
// type sheet. Without such a change it is the register itself.
func (j *Judge) onOneScale(judgements []Judgement, sheet bool) (*sootline.Register, []Judgement) {
	m := j.model
	if len(m.rescaled) == 0 {
		return j.register, judgements
	}
	points := make([]*sootline.Point, len(m.points))
	sheets := map[string]*sootline.TypeSheet{}
	for i, p := range m.points {
		points[i] = p.onScale(sheet)
		if p.sheet != nil {
			sheets[sootline.TypeKey(p.point.Type)] = p.sheet
		}
	}
	var all []*sootline.TypeSheet
	for _, one := range sheets {
		all = append(all, one)
	}
	same := slices.Clone(judgements)
	for i := range same {
		if at, known := m.index[same[i].Point]; known {
			same[i].Point = points[at]
		}
	}
	return j.register.With(points, all), same
}

// onScale is the point with its readings on one scale.
func (p *past) onScale(sheet bool) *sootline.Point {
	if len(p.kin.rescaled) == 0 || len(p.looks) == 0 {
		return p.point
	}
	to := look{factor: 1}
	if !sheet {
		to = p.looks[len(p.looks)-1]
	}
	same := *p.point
	same.Readings = slices.Clone(same.Readings)
	at := 0
	for i := range same.Readings {
		r := &same.Readings[i]
		for at+1 < len(p.looks) && r.At.After(p.looks[at].at) {
			at++
		}
		if r.Quantity != "" || p.looks[at].factor == to.factor && p.looks[at].added() == to.added() {
			continue
		}
		r.Samples = slices.Clone(r.Samples)
		for k, y := range r.Samples {
			r.Samples[k] = (y*p.looks[at].factor + p.looks[at].added() - to.added()) / to.factor
		}
	}
	return &same
}

// added is what is added to a value times the factor to bring it to the scale of the type sheet.
func (l *look) added() float64 { return l.now - l.y*l.factor }
