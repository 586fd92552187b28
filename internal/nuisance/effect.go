package nuisance

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/count"
)

// Effect is what became of the incidents of a point, an area or the site after
// something was done.
type Effect struct {
	What          string // what was done, and where
	On            time.Time
	Point         *sootline.Point // nil for an area or the site
	Before, After Tally
	Ratio         Ratio
	State         Help
	Reason        string
	Entries       []sootline.ID
}

// Tally is a number of incidents over an exposure.
type Tally struct {
	Incidents int
	Span
	Exposure float64 // device-years
}

// Help is the answer whether an action helped.
type Help string

// The answers.
const (
	Fewer     Help = "fewer since"
	MoreSince Help = "more since"
	TooFew    Help = "too few to tell"
)

// reach is how many months before and after an action are compared.
const reach = 12

// effects looks at what was done at points that had alarmed before: cleanings,
// replacements, new resting values.
func (rec *Record) effects() []Effect {
	byPoint := map[*sootline.Point][]Alarm{}
	for _, a := range rec.Alarms {
		if a.Point != nil && a.Counts() {
			byPoint[a.Point] = append(byPoint[a.Point], a)
		}
	}
	var all []Effect
	for _, t := range rec.tenures {
		alarms := byPoint[t.point]
		resets := t.point.Resets
		for i, reset := range resets {
			if reset.Why == "fitted" || len(alarms) == 0 || !alarms[0].At.Before(reset.At) {
				continue
			}
			e := Effect{What: reset.Why + " " + t.point.Ref().String(), On: reset.At, Point: t.point, Entries: []sootline.ID{reset.Entry.ID}}
			spans := rec.around(reset.At, t)
			if i > 0 && spans[0].From.Before(resets[i-1].At) {
				spans[0].From = resets[i-1].At
			}
			if i+1 < len(resets) && resets[i+1].At.Before(spans[1].To) {
				spans[1].To = resets[i+1].At
			}
			e.compare(spans, alarms, []tenure{t})
			if e.Before.Incidents > 0 {
				all = append(all, e)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Effect) int { return b.On.Compare(a.On) })
	for i := range all {
		all[i].conclude(rec, len(all))
	}
	return all
}

// around gives the spans before and after a day, within the record and the
// tenure.
func (rec *Record) around(at time.Time, t tenure) [2]Span {
	before := rec.covered(Span{at.AddDate(0, -reach, 0), at})
	if t.from.After(before.From) {
		before.From = t.from
	}
	afterwards := Span{at, at.AddDate(0, reach, 0)}
	if end := after(t.to); end.Before(afterwards.To) {
		afterwards.To = end
	}
	return [2]Span{before, afterwards}
}

// Since compares the incidents before a day with those after it: of the site, or
// of one area.
func (rec *Record) Since(what, area string, at time.Time) Effect {
	e := Effect{What: what, On: at}
	var alarms []Alarm
	for _, a := range rec.Alarms {
		if a.Counts() && (area == "" || strings.EqualFold(a.Area(), area)) {
			alarms = append(alarms, a)
		}
	}
	var there []tenure
	for _, t := range rec.watches {
		if area == "" || strings.EqualFold((&count.Signal{Point: t.point}).Area(), area) {
			there = append(there, t)
		}
	}
	e.compare(rec.around(at, tenure{to: rec.On}), alarms, there)
	e.conclude(rec, 1)
	return e
}

func (e *Effect) compare(spans [2]Span, alarms []Alarm, there []tenure) {
	const year = 365.25 * 24 * 60 * 60 * 1000
	for i, tally := range []*Tally{&e.Before, &e.After} {
		var in []Alarm
		for _, a := range alarms {
			if spans[i].Holds(a.At) {
				in = append(in, a)
			}
		}
		*tally = Tally{len(group(in)), spans[i], float64(spans[i].present(there)) / year}
	}
}

// conclude says in words whether it helped, with the error rate shared out over
// as many as were looked at.
func (e *Effect) conclude(rec *Record, looked int) {
	e.State = TooFew
	if !e.Known() {
		e.Reason = "there is no record of the time before it, or none of the time since"
		return
	}
	e.Ratio = Compare(e.Before.Incidents, e.Before.Exposure, e.After.Incidents, e.After.Exposure)
	e.Reason = fmt.Sprintf("%s in the %.0f days before, %d in the %.0f days since", plural(e.Before.Incidents, "incident"), e.Before.days(), e.After.Incidents, e.After.days())
	fewer := float64(e.Before.Incidents)/e.Before.Exposure > float64(e.After.Incidents)/e.After.Exposure
	switch {
	case e.Ratio.P*float64(looked) <= significance && fewer:
		e.State = Fewer
		e.Reason += fmt.Sprintf(" (p = %.2g); what is done after a bad spell often seems to help, since bad spells end by themselves", e.Ratio.P)
	case e.Ratio.P*float64(looked) <= significance:
		e.State = MoreSince
		e.Reason += fmt.Sprintf(" (p = %.2g)", e.Ratio.P)
	default:
		e.Reason += e.doubt()
	}
}

// doubt says whether there was a chance to see anything.
func (e *Effect) doubt() string {
	need := fewestShowing(e.Before.Exposure, e.After.Exposure)
	if e.Before.Incidents+e.After.Incidents == 0 {
		return ""
	}
	if e.After.Incidents > 0 || need <= e.Before.Incidents {
		return fmt.Sprintf(" (p = %.2g)", e.Ratio.P)
	}
	return fmt.Sprintf("; with none since, it would take %d before to show that it helped", need)
}

func (s Span) days() float64 { return s.To.Sub(s.From).Hours() / 24 }

// Known reports whether there is a time before and a time since to compare.
func (e *Effect) Known() bool { return e.Before.Exposure > 0 && e.After.Exposure > 0 }
