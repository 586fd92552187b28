package visit

import (
	"slices"
	"time"

	"sootline"
)

// Tick is an activation that was seen.
type Tick struct {
	Point *sootline.Point
	At    time.Time
	Kind  sootline.Kind // alarm or tested
	Entry sootline.ID
}

// WalkTest is how a walk test by one person stands: the panel's list of events,
// taken in, ticks off the points that were expected to act.
type WalkTest struct {
	Seen    []Tick            // the first activation of each point of the round, in order of time
	Waiting []*sootline.Point // of the round, not yet seen to act
	Others  []Tick            // alarms from points that are not on the round: they may be real
}

// Walk compares the activations expected in a visit with those in the log.
// Points whose kind cannot be made to act, such as isolators, are not expected.
func Walk(r *sootline.Register, a *Attendance, zone *time.Location) WalkTest {
	var w WalkTest
	for _, p := range a.Round {
		if !acts(r, p) {
			continue
		}
		if i := slices.IndexFunc(p.Events, func(e sootline.Event) bool { return a.activation(&e, zone) }); i >= 0 {
			w.Seen = append(w.Seen, tick(p, &p.Events[i]))
		} else {
			w.Waiting = append(w.Waiting, p)
		}
	}
	for _, p := range r.Points() {
		if slices.Contains(a.Round, p) {
			continue
		}
		for i := range p.Events {
			if e := &p.Events[i]; e.Kind == sootline.AlarmKind && a.activation(e, zone) {
				w.Others = append(w.Others, tick(p, e))
			}
		}
	}
	byTime := func(a, b Tick) int { return a.At.Compare(b.At) }
	slices.SortStableFunc(w.Seen, byTime)
	slices.SortStableFunc(w.Others, byTime)
	return w
}

func tick(p *sootline.Point, e *sootline.Event) Tick { return Tick{p, e.At, e.Kind, e.Entry.ID} }

// activation reports whether an event shows, within the visit, that a device
// acts. A test is compared by its day, since a list may give no more; an alarm,
// which a panel logs with its time, by the instant.
func (a *Attendance) activation(e *sootline.Event, zone *time.Location) bool {
	switch {
	case e.Kind == sootline.AlarmKind:
		return a.lasts(e.At)
	case e.Kind != sootline.TestedKind || e.Failed:
		return false
	}
	day := DayOf(e.At, zone)
	return day >= DayOf(a.From(), zone) && (a.Closed == nil || day <= DayOf(a.To(), zone))
}

// acts reports whether a point can be made to act.
func acts(r *sootline.Register, p *sootline.Point) bool {
	sheet := r.Sheet(p.Type)
	return sheet == nil || sheet.Kind.Judged() || sheet.Kind == sootline.CallPoint
}

// Unseen lists the points of a visit's round at which nothing was done since the
// day it began: no test, no reading, no cleaning, no other unit.
func Unseen(a *Attendance, zone *time.Location) []*sootline.Point {
	from := DayOf(a.From(), zone)
	since := func(at time.Time) bool { return DayOf(at, zone) >= from }
	var unseen []*sootline.Point
	for _, p := range a.Round {
		done := slices.ContainsFunc(p.Readings, func(reading sootline.Reading) bool { return since(reading.At) }) ||
			slices.ContainsFunc(p.Resets, func(reset sootline.Reset) bool { return since(reset.At) }) ||
			slices.ContainsFunc(p.Events, func(e sootline.Event) bool {
				return since(e.At) && (e.Kind == sootline.TestedKind || e.Kind == sootline.AlarmKind && a.activation(&e, zone))
			})
		if !done {
			unseen = append(unseen, p)
		}
	}
	return unseen
}
