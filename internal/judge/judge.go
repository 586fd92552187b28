package judge

import (
	"context"
	"sync"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Site judges the points of a register that was folded as of on, in its order:
// those whose type has a resting value worth judging, and those that have
// readings all the same.
func Site(r *sootline.Register, on time.Time) []Judgement { return New(r, on).Site() }

// Point judges one point of a register that was folded as of on.
func Point(r *sootline.Register, p *sootline.Point, on time.Time) Judgement {
	return New(r, on).Point(p)
}

// Judge judges the points of one register as of one day. The first judgement
// looks at all points, since they teach of one another. It is not for use by
// several goroutines at once.
type Judge struct {
	ctx      context.Context // of the judgement; see [shared]
	register *sootline.Register
	on       time.Time
	next     time.Time // the visit after that day
	overnext time.Time // the visit after that one
	losses   sootline.Losses
	quantity string     // what is judged; empty: the type's own
	model    *model     // of the register; nil before the first judgement
	others   []*other   // quantities beside the types' own
	raised   []Question // all that seems likely enough to ask about; nil before it was looked for
	refused  []Question // those of them that were answered with no
	scratch  robust.Scratch
}

// New makes a Judge for a register that was folded as of on, where the next visit comes the months of the site's
// rules later.
func New(r *sootline.Register, on time.Time) *Judge {
	return newUntil(r, on, on.AddDate(0, r.Site.Rules.VisitMonths, 0))
}

func newUntil(r *sootline.Register, on, next time.Time) *Judge {
	zone := r.AsOf.Location() // the days that are named are those of the people on site
	return &Judge{
		ctx: context.Background(), register: r, on: on.In(zone), next: next.In(zone),
		overnext: next.In(zone).AddDate(0, r.Site.Rules.VisitMonths, 0), losses: r.Site.Rules.Losses.Filled(),
	}
}

// look looks at all points, if that was not done yet.
func (j *Judge) look() {
	if j.model == nil {
		j.model = modelOf(j.ctx, j.register, years(j.on))
		if j.register.AnyAnswered() {
			j.raise()
		}
		j.findOthers()
	}
}

// Site judges the points that are worth it, in the order of the register, on all
// cores.
func (j *Judge) Site() []Judgement {
	j.look()
	var worth []*past
	for _, p := range j.model.points {
		if p.sheet == nil || p.sheet.Kind.Judged() || len(p.point.SinceReset()) > 0 {
			worth = append(worth, p)
		}
	}
	judgements := make([]Judgement, len(worth))
	hands := sync.Pool{New: func() any { same := *j; same.scratch = robust.Scratch{}; return &same }}
	shared(j.ctx, len(worth), func(i int) {
		hand := hands.Get().(*Judge)
		hand.judge(worth[i], &judgements[i])
		hands.Put(hand)
	})
	j.addOthers(judgements)
	return judgements
}

// Point judges one point.
func (j *Judge) Point(p *sootline.Point) Judgement {
	var judgement Judgement
	j.judge(j.past(p), &judgement)
	judgement.with(j.othersOf(p))
	return judgement
}

// past gives what is known of a point, also of one that the register does not hold.
func (j *Judge) past(p *sootline.Point) *past {
	j.look()
	if i, known := j.model.index[p]; known {
		return j.model.points[i]
	}
	return j.model.stranger(p)
}

// judge judges a point into a judgement that is empty yet.
func (j *Judge) judge(p *past, into *Judgement) *study {
	s := &study{Judge: j, Judgement: into, past: p}
	s.readings = p.sinceReset()
	s.Reasons = make([]string, 0, 6)
	s.Quantity = j.quantity
	s.Judgement.Point, s.Sheet, s.Band, s.ResetAt = p.point, p.sheet, p.band, p.point.LastReset().At
	s.ReadingsSinceReset = len(s.readings)
	s.place()
	s.stands = s.standing()
	s.lookAhead()
	s.unsure = s.odd > likelySo
	s.findUnsteady()
	s.findCourse()
	s.findAlarmShare()
	s.decide()
	s.explain()
	return s
}

// sinceReset gives the readings since the last recorded reset, also where the log holds both on one day in the other order.
func (p *past) sinceReset() []sootline.Reading {
	all := p.point.SinceReset()
	if len(all) == 0 {
		for i := p.since(); i < len(p.looks); i++ {
			all = append(all, p.looks[i].readings...)
		}
	}
	return all
}

// study is a judgement in the making.
type study struct {
	*Judgement
	*Judge
	*past

	readings []sootline.Reading // since the last recorded reset, of the type's own quantity
	stands   string             // what was read and where that lies, in words
	broken   bool               // the latest reading holds a number that no device gives

	onLevel  int // the first look since the last change at once, noted or not
	ahead    *ahead
	soonest  chances // of the level, now, by the next visit and by the one after
	odd      float64 // chance that the last look is not what was shown
	oddKind  QuestionKind
	sudden   float64 // chance that it shows another device, or works
	stuckFor float64 // chance that it is stuck
	wild     float64 // chance that it became unsteady
	beyond   bool    // the level is likelier than not outside now
}

// chances are those of the level to be beyond a limit: that towards which dirt or age leads, and the other one.
type chances struct{ now, next, over [2]float64 }

const (
	worse  = 0
	better = 1
)

// latest is the latest reading since the reset, or nil. Of several of one instant it is the one on the side of dirt,
// since their order in the log tells nothing.
func (s *study) latest() *sootline.Reading {
	if len(s.readings) == 0 {
		return nil
	}
	last := &s.readings[len(s.readings)-1]
	best, _ := robust.Median(last.Samples)
	for i := len(s.readings) - 2; i >= 0 && s.readings[i].At.Equal(last.At); i-- {
		if y, ok := robust.Median(s.readings[i].Samples); ok && (y-best)*s.kin.scale.width > 0 {
			last, best = &s.readings[i], y
		}
	}
	return last
}
