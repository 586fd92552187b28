package visit

import (
	"fmt"
	"slices"
	"time"

	"sootline"
)

// State says how an obligation stands.
type State string

// The states.
const (
	Met     State = "met"     // nothing to do before the visit after this one
	Due     State = "due"     // to be done at a visit on this day: the one after would be too late
	Overdue State = "overdue" // its last day is past
)

// The kinds of work that are asked for.
const (
	Attend  = "visit"   // somebody comes
	Test    = "test"    // the device is made to act
	Read    = "read"    // its resting value, or its sensitivity, is looked at
	Look    = "look"    // somebody looks again at what the readings leave open
	Clean   = "clean"   // it is cleaned
	Replace = "replace" // another unit is fitted
	Press   = "press"   // the user operates it; not part of a visit
	Ask     = "ask"     // a day that nobody wrote down is to be found out
)

// Obligation is one thing that a rule asks for.
type Obligation struct {
	Rule    sootline.ServiceRule
	Work    string
	Of      string            // what of: a zone, a loop, a share of the visit; empty for a single point or the site
	Points  []*sootline.Point // the point; or those of which some meet it, the ones to take first at the front
	Need    int               // how many of the points are still to be seen; 0 for what no point meets
	Why     string            // in words
	Since   Day               // from when the term runs; 0: nobody knows
	From    Day               // the first day on which doing it counts; 0: any
	Until   Day               // the last day; 0: at this visit
	State   State
	Entries []sootline.ID // what it rests on

	share bool                    // an even share of a visit
	last  map[*sootline.Point]Day // of several points, when each was last tested
}

// Alarm is an unwanted alarm, as far as due dates depend on it.
type Alarm struct {
	At    time.Time
	Point *sootline.Point
}

// Input is what due dates depend on besides the register.
type Input struct {
	On       Day // the day of the question: a visit on this day
	Next     Day // the day of the visit after it; 0: as the rules say
	Zone     *time.Location
	Unwanted []Alarm
	Raised   Raised // alarms that were tests; the zero Raised: none was
}

// List says what every rule of the site asks for, as of a day: what is overdue
// first, then by last day, in the order of rules and points. The register must
// have been folded as of that day.
func List(r *sootline.Register, in Input) []Obligation {
	if in.Zone == nil {
		in.Zone = time.UTC
	}
	rules := Rules(r)
	d := newDiary(r, in, rules)
	all := d.askDefects()
	for i := range rules {
		all = append(all, d.ask(&rules[i])...)
	}
	slices.SortStableFunc(all, func(a, b Obligation) int {
		if a.State != b.State {
			return rank(a.State) - rank(b.State)
		}
		return int(a.Until - b.Until)
	})
	return all
}

func rank(s State) int { return slices.Index([]State{Overdue, Due, Met}, s) }

// ask gives what one rule asks for.
func (d *diary) ask(rule *sootline.ServiceRule) []Obligation {
	switch rule.Form {
	case sootline.VisitForm:
		return d.askVisit(rule)
	case sootline.EveryForm:
		return slices.Concat(d.askEvery(rule), d.askShare(rule), d.askLoops(rule))
	case sootline.ZoneForm:
		return d.askZones(rule)
	case sootline.RotationForm:
		return d.askRotation(rule)
	case sootline.SensitivityForm:
		return d.askSensitivity(rule)
	case sootline.LifeForm:
		return d.askLife(rule)
	case sootline.RetestForm:
		return d.askRetest(rule)
	}
	return nil
}

// state compares the last day with this one and with that of the visit after.
func (d *diary) state(until Day) State {
	switch {
	case !until.Known():
		return Due
	case until < d.in.On:
		return Overdue
	case until < d.next:
		return Due
	}
	return Met
}

// atVisit is the state of what is to be done at every visit.
func (d *diary) atVisit(need int) State {
	switch {
	case need <= 0:
		return Met
	case d.visitBy.Known() && d.visitBy < d.in.On && d.from == d.in.On:
		return Overdue
	}
	return Due
}

func (d *diary) askVisit(rule *sootline.ServiceRule) []Obligation {
	o := Obligation{Rule: *rule, Work: Attend, Since: d.attended.day, Entries: entries(d.attended)}
	if !o.Since.Known() {
		o.State, o.Why = Due, "no visit is written down"
		return []Obligation{o}
	}
	o.Until = o.Since.AddMonths(max(rule.Months, rule.To))
	if o.From = o.Since.AddMonths(rule.From); rule.From == 0 {
		o.From = 0
	}
	o.Why = fmt.Sprintf("last visit on %s; nominally every %d months", o.Since, rule.Months)
	if d.guessed {
		o.Why = fmt.Sprintf("no visit before is written down; the last day on which several points were seen is %s; nominally every %d months", o.Since, rule.Months)
	}
	if rule.To != 0 {
		o.Why += fmt.Sprintf(", from %d to %d", rule.From, rule.To)
	}
	// A visit is called due in its last month, or within its window.
	opens := o.Until.AddMonths(-1)
	if o.From.Known() {
		opens = o.From
	}
	switch {
	case o.Until < d.in.On:
		o.State = Overdue
	case d.in.On >= opens:
		o.State = Due
	default:
		o.State = Met
	}
	return []Obligation{o}
}

func entries(proofs ...proof) []sootline.ID {
	var ids []sootline.ID
	for _, p := range proofs {
		if !p.entry.Zero() {
			ids = append(ids, p.entry)
		}
	}
	return ids
}

func plural(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}
