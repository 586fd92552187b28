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
// looks at all points, since they teach of one another. It keeps its working
// space from point to point; each goroutine needs its own.
type Judge struct {
	ctx      context.Context // of the judgement; see [shared]
	register *sootline.Register
	on       time.Time
	next     time.Time        // the visit after that day
	overnext time.Time        // the visit after that one
	types    map[string]typed // by the name as points write it
	quantity string           // what is judged; empty: the type's own
	scratch  robust.Scratch
	study    study

	survey     *survey                 // of the register; nil before the first judgement
	looks      []visited               // at the points of the register, in its order
	index      map[*sootline.Point]int // into looks
	experience Experience              // of all points
	others     []*other                // quantities beside the types' own
}

// New makes a Judge for a register that was folded as of on.
func New(r *sootline.Register, on time.Time) *Judge {
	months := r.Site.Rules.VisitMonths
	on = on.In(r.AsOf.Location()) // the days that are named are those of the people on site
	return &Judge{
		ctx: context.Background(), register: r, on: on, types: map[string]typed{},
		next: on.AddDate(0, months, 0), overnext: on.AddDate(0, 2*months, 0),
	}
}

// Site judges the points that are worth it, in the order of the register, on all
// cores.
func (j *Judge) Site() []Judgement {
	j.look()
	var worth []int
	points := j.register.Points()
	for i, p := range points {
		if sheet := j.sheet(p.Type); sheet == nil || sheet.Kind.Judged() || len(p.SinceReset()) > 0 {
			worth = append(worth, i)
		}
	}
	judgements := make([]Judgement, len(worth))
	hands := sync.Pool{New: func() any { return j.hand() }}
	shared(j.ctx, len(worth), func(i int) {
		hand := hands.Get().(*Judge)
		hand.point(points[worth[i]], &j.looks[worth[i]], &judgements[i])
		hands.Put(hand)
	})
	j.addOthers(judgements)
	return judgements
}

// hand gives the same judge with a working space of its own.
func (j *Judge) hand() *Judge {
	return &Judge{
		ctx: j.ctx, register: j.register, on: j.on, next: j.next, overnext: j.overnext,
		types: j.types, quantity: j.quantity, experience: j.experience.hand(),
	}
}

// typed is what is known of a type by its name; key is the spelling that all of
// one type share.
type typed struct {
	sheet *sootline.TypeSheet
	key   string
}

// typed looks a type up; points of one type write it alike, which spares
// cleaning the name anew for each.
func (j *Judge) typed(name string) typed {
	t, known := j.types[name]
	if !known {
		t = typed{j.register.Sheet(name), sootline.TypeKey(name)}
		j.types[name] = t
	}
	return t
}

// sheet finds a type sheet, or nil.
func (j *Judge) sheet(name string) *sootline.TypeSheet { return j.typed(name).sheet }

// Point judges one point.
func (j *Judge) Point(p *sootline.Point) Judgement {
	var judgement Judgement
	v := j.visits(p)
	j.point(p, &v, &judgement)
	judgement.with(j.othersOf(p))
	return judgement
}

// point judges a point into a judgement that is empty yet.
func (j *Judge) point(p *sootline.Point, v *visited, into *Judgement) {
	s := &j.study
	*s = study{Judge: j, Judgement: into, visited: *v}
	s.Reasons = make([]string, 0, 6)
	s.Quantity = j.quantity
	s.Judgement.Point, s.Sheet, s.ResetAt = p, j.sheet(p.Type), p.LastReset().At
	if s.Sheet != nil {
		s.Band = s.Sheet.Band(p.Settings())
	}
	s.ReadingsSinceReset = len(s.readings)
	s.place()
	s.stands = s.standing()
	s.fitLine()
	s.findLeaving()
	s.findUnsteady()
	s.findCourse()
	s.findAlarmShare()
	s.decide()
	s.explain()
}

// study is a judgement in the making.
type study struct {
	*Judgement
	*Judge

	visited
	stands string // what was read and where that lies, in words
	broken bool   // the latest reading holds a number that no device gives

	outlook  Outlook   // with spoken or fitted
	fitted   bool      // there are visits enough for a line of its own and its noise
	spoken   bool      // there is a line to speak of, its own or with the help of others
	beyond   bool      // the line is at or beyond the limit Leaves at the last visit
	away     bool      // the line leads away from the only limit known
	capped   time.Time // the day beyond which the line says nothing, when a day to give lies there
	rises    float64   // chance that the line is above the band at the next visit
	falls    float64   // chance that it is below
	constant bool      // all visits gave the same value
}
