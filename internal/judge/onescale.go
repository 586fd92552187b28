package judge

import (
	"fmt"
	"slices"

	"sootline"
)

// onOneScale is the register as it would look had no type ever changed its scale, and the judgements with the points
// of it in place of theirs. Readings are on the scale of today, or, for what is held against a band, on that of the
// type sheet and without what is likelier not what was shown.
func (j *Judge) onOneScale(judgements []Judgement, sheet bool) (*sootline.Register, []Judgement) {
	m := j.model
	if len(m.rescaled) == 0 && !sheet {
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
	slips := p.slips()
	if len(p.looks) == 0 || len(p.kin.rescaled) == 0 && len(slips) == 0 {
		return p.point
	}
	to := look{factor: 1}
	if !sheet {
		to, slips = p.looks[len(p.looks)-1], nil
	}
	same := *p.point
	same.Readings = slices.DeleteFunc(slices.Clone(same.Readings), func(r sootline.Reading) bool { return r.Entry != nil && slices.Contains(slips, r.Entry.ID) })
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

// slips are the entries of the readings that are likelier not what was shown.
func (p *past) slips() (all []sootline.ID) {
	chances := make([]float64, len(p.looks))
	for e, chance := range p.ahead().events() {
		if e.isSlip() {
			if chances[e.look] += chance; chances[e.look] > likelySo {
				all = append(all, entries(p.looks[e.look:e.look+1])...)
			}
		}
	}
	return all
}

// added is what is added to a value times the factor to bring it to the scale of the type sheet.
func (l *look) added() float64 { return l.now - l.y*l.factor }

// onNewScale holds where somebody wrote down that the scale was changed, and the type sheet speaks of the one before.
func (s *study) onNewScale() string {
	if _, changed := s.onSheet(); !changed {
		return ""
	}
	return s.stands
}

// onSheet is the value on the scale of the type sheet, where somebody wrote down that it is read on another one since.
func (s *study) onSheet() (value float64, changed bool) {
	r := s.onOtherScale()
	if r == nil || !r.noted || r.oneVisit || s.ReadAt.IsZero() {
		return s.Value, false
	}
	last := &s.looks[len(s.looks)-1]
	return s.Value*last.factor + last.added(), true
}

// onOtherScale is the change of scale after which the last look was taken, where the type sheet speaks of the scale
// before; nil where there was none.
func (s *study) onOtherScale() *rescaled {
	for i := range s.kin.rescaled {
		r := &s.kin.rescaled[i]
		if n := len(s.looks); n > 0 && !r.sheetNew && s.looks[n-1].t >= r.to && s.looks[n-1].t < r.until {
			return r
		}
	}
	return nil
}

// onSheetScale says what the last look shows there.
func (s *study) onSheetScale() string {
	r := s.onOtherScale()
	if _, said := s.onSheet(); said || r == nil || s.latest() == nil {
		return ""
	}
	without := "on the scale of its type sheet"
	if r.oneVisit {
		without = "without that, as of another instrument,"
	}
	return fmt.Sprintf("all of its type %s by %s: %s it shows about %s", r.how(), date(s.instant(r.to)), without, s.knownLevel(s.looks[len(s.looks)-1].now))
}
