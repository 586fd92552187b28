package judge

import (
	"slices"
	"time"

	"sootline"
)

// Judgement is what the readings of one point come to. A nil pointer means that
// the figure cannot be given honestly; Reasons say why.
type Judgement struct {
	Point *sootline.Point
	Sheet *sootline.TypeSheet // nil: the type has no sheet
	Band  *sootline.Band      // nil: no band, or none for the point's settings

	Quantity string      // what is judged here; empty: the type's own
	Others   []Judgement // what else was read, each by itself; Action is the most pressing of all

	Value   float64   // median of the samples of the latest reading since the last reset
	Spread  *float64  // standard deviation of those samples; nil for a single one
	ReadAt  time.Time // when it was read; zero when there is no reading
	Verdict Verdict
	Margin  *float64 // distance to the nearer limit as a share of the band's width, negative outside

	Unsteady    bool // the value jumps about more than the type does
	UnsteadyWhy string
	Course      Course   // how the samples of the latest reading followed one another
	AlarmShare  *float64 // share of the way from rest to the alarm level that the value has drifted, negative away from it; nil: not known

	DriftPerYear        *float64 // of the level, now
	DriftLow, DriftHigh *float64 // its 90 % interval
	DriftReal           Real     // by the order of the point's own visits alone
	Borrowed            *float64 // share of what is known of how it drifts now that comes from others of its type; nil: there are none
	Curved              bool     // the drift speeds up

	Leaves         Limit      // the limit that the three days speak of
	LeavesEarliest *time.Time // not before this day, at 95 %; the day to plan on
	LeavesLikely   *time.Time // as likely before as after
	LeavesLatest   *time.Time // not after this day, at 95 %; nil: beyond thirty years
	ChanceNow      *float64   // chance that the level is outside the band; nil without a band
	ChanceOutside  *float64   // chance that it is so now, or at some time until the next visit,
	ChanceBy       *time.Time // which is on this day; nil without a chance

	ReadingsSinceReset int
	ResetAt            time.Time

	Action Action
	used   []sootline.Reading // the readings since the last reset
	unsure bool               // its last reading is likelier not what was shown
	latest *sootline.Reading  // one from before the reset, where there is none since

	Reasons []string // the one that decided first
	Advice  string   // what to do, in words: it follows from that reason
}

// Sentences are the reasons with what to do behind the one that decided.
func (j *Judgement) Sentences() []string {
	all := slices.Clone(j.Reasons)
	if len(all) > 0 && j.Advice != "" {
		all[0] += ": " + j.Advice
	}
	return all
}

// Risk is the chance that the point is outside its band now or will be by the
// next visit, as far as its readings tell: 0 where they tell nothing.
func (j *Judgement) Risk() float64 {
	if j.ChanceOutside != nil {
		return *j.ChanceOutside
	}
	return 0
}

// Verdict says where a value lies.
type Verdict string

// The verdicts. A band of which one limit is known judges that side alone.
const (
	Below     Verdict = "below"
	Inside    Verdict = "inside"
	Above     Verdict = "above"
	NoBand    Verdict = "no band"
	NoReading Verdict = "no reading"
)

// Real says whether a drift is more than chance.
type Real string

// The answers. Two tests must agree on Yes.
const (
	Yes    Real = "yes"
	No     Real = "no"
	TooFew Real = "too few"
)

// Course says how samples of one visit follow one another.
type Course string

// The courses. Few samples, or samples that hardly differ, have none to tell.
const (
	NoCourse Course = ""
	Settling Course = "settling" // each near the one before: it wanders, or has not come to rest
	Flipping Course = "flipping" // to and fro
)

// Limit names an end of a band.
type Limit string

// The limits.
const (
	NoLimit   Limit = ""
	HighLimit Limit = "high"
	LowLimit  Limit = "low"
)

// Action is what to do with a point.
type Action string

// The actions.
const (
	Read         Action = "read"
	LookAgain    Action = "look again"
	CleanNow     Action = "clean now"
	CleanAtVisit Action = "clean at visit"
	Replace      Action = "replace"
	Leave        Action = "leave"
)

// Entries lists the entries that the judgement rests on: the latest reading, the
// reset before it, the other readings since, and those of other quantities.
func (j *Judgement) Entries() []sootline.ID {
	latest, others := j.latest, j.used
	if latest == nil && len(others) > 0 {
		latest, others = &others[len(others)-1], others[:len(others)-1]
	}
	ids := make([]sootline.ID, 0, len(others)+2)
	add := func(e *sootline.Entry) {
		if e != nil {
			ids = append(ids, e.ID)
		}
	}
	if latest != nil {
		add(latest.Entry)
	}
	add(j.Point.LastReset().Entry)
	for i := range others {
		add(others[i].Entry)
	}
	for i := range j.Others {
		for _, id := range j.Others[i].Entries() {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	return ids
}
