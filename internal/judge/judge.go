package judge

import (
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

// Judge judges the points of one register as of one day. It keeps its working
// space from point to point; each goroutine needs its own.
type Judge struct {
	register *sootline.Register
	on       time.Time
	next     time.Time // the visit after that day
	overnext time.Time // the visit after that one
	sheets   map[string]*sootline.TypeSheet
	scratch  robust.Scratch
	samples  []float64
	t, y     []float64
}

// New makes a Judge for a register that was folded as of on.
func New(r *sootline.Register, on time.Time) *Judge {
	months := r.Site.Rules.VisitMonths
	return &Judge{
		register: r, on: on, sheets: map[string]*sootline.TypeSheet{},
		next: on.AddDate(0, months, 0), overnext: on.AddDate(0, 2*months, 0),
	}
}

// Site judges the points that are worth it, in the order of the register.
func (j *Judge) Site() []Judgement {
	judgements := make([]Judgement, 0, len(j.register.Points()))
	for _, p := range j.register.Points() {
		if sheet := j.sheet(p.Type); sheet == nil || sheet.Kind.Judged() || hasReadings(p) {
			judgements = append(judgements, j.Point(p))
		}
	}
	return judgements
}

func hasReadings(p *sootline.Point) bool {
	for i := range p.Readings {
		if p.Readings[i].Quantity == "" {
			return true
		}
	}
	return false
}

// sheet finds a type sheet; points of one type write it alike, which spares
// cleaning the name anew for each.
func (j *Judge) sheet(name string) *sootline.TypeSheet {
	sheet, known := j.sheets[name]
	if !known {
		sheet = j.register.Sheet(name)
		j.sheets[name] = sheet
	}
	return sheet
}

// Point judges one point.
func (j *Judge) Point(p *sootline.Point) Judgement {
	s := study{Judge: j}
	s.Reasons = make([]string, 0, 4)
	s.Judgement.Point, s.Sheet, s.ResetAt = p, j.sheet(p.Type), p.LastReset().At
	if s.Sheet != nil {
		s.Band = s.Sheet.Band(p.Settings())
	}
	s.gather()
	s.place()
	s.stands = s.standing()
	s.fitLine()
	s.findLeaving()
	s.findUnsteady()
	s.decide()
	s.explain()
	return s.Judgement
}

// study is a judgement in the making.
type study struct {
	Judgement
	*Judge

	readings    []sootline.Reading // since the last reset, of the type's own quantity
	first, last time.Time          // visits among them
	noise       float64            // usual standard deviation of a visit's value about its trend
	stands      string             // what was read and where that lies, in words
	broken      bool               // the latest reading holds a number that no device gives

	drift    robust.Drift // with fitted
	fitted   bool         // there are visits enough for a line and its noise
	spoken   bool         // and for speaking of a drift
	beyond   bool         // the line is at or beyond the limit Leaves at the last visit
	away     bool         // the line leads away from the only limit known
	capped   time.Time    // the day beyond which the line says nothing, when a day to give lies there
	rises    float64      // chance that the line is above the band at the next visit
	falls    float64      // chance that it is below
	constant bool         // all visits gave the same value
}
