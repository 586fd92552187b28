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
	Day   bool          // only the day is known
	Kind  sootline.Kind // alarm or tested
	Entry sootline.ID
	Why   string // of an alarm that may be real: why nobody knows; of what a panel says otherwise: what
}

// WalkTest is how a walk test by one person stands: the panel's list of events,
// taken in, ticks off the points that were expected to act.
type WalkTest struct {
	Seen    []Tick            // the first activation of each point of the round, in order of time
	Waiting []*sootline.Point // of the round, not yet seen to act
	Still   []*sootline.Point // of the round, of a kind that cannot be made to act: they are not expected to
	Others  []Tick            // alarms of which nobody knows yet whether they were tests: they may be real
	Unlike  []Tick            // what a panel said of an activation that the register has otherwise; Why says what
}

// Walk compares the activations expected in a visit with those in the log.
// Points whose kind cannot be made to act, such as isolators, are not expected.
func Walk(r *sootline.Register, a *Attendance, raised Raised, zone *time.Location) WalkTest {
	var w WalkTest
	for _, p := range a.Round {
		if !acts(r, p) {
			w.Still = append(w.Still, p)
			continue
		}
		if i := slices.IndexFunc(p.Events, func(e sootline.Event) bool { return a.activation(&e, raised, zone) }); i >= 0 {
			w.Seen = append(w.Seen, tick(p, &p.Events[i], ""))
		} else {
			w.Waiting = append(w.Waiting, p)
		}
	}
	for _, p := range r.Points() {
		for i := range p.Events {
			e := &p.Events[i]
			if why := raised.Asked[e.Entry.ID]; why != "" && a.Holds(e.Entry, zone) {
				w.Others = append(w.Others, tick(p, e, why))
			}
		}
	}
	byTime := func(a, b Tick) int { return a.At.Compare(b.At) }
	slices.SortStableFunc(w.Seen, byTime)
	slices.SortStableFunc(w.Others, byTime)
	w.Unlike = Unlike(r, a, zone)
	return w
}

// Unlike lists what a panel said in a visit of activations that the register has otherwise, in order of time: another zone, or
// another text.
func Unlike(r *sootline.Register, a *Attendance, zone *time.Location) []Tick {
	var all []Tick
	for _, p := range r.Points() {
		for i := range p.Events {
			e := &p.Events[i]
			if note, ok := e.Entry.Body.(sootline.Note); ok && note.Unlike != "" && a.Holds(e.Entry, zone) {
				all = append(all, tick(p, e, note.Unlike))
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Tick) int { return a.At.Compare(b.At) })
	return all
}

func tick(p *sootline.Point, e *sootline.Event, why string) Tick {
	return Tick{p, e.At, e.Entry.Day, e.Kind, e.Entry.ID, why}
}

// activation reports whether an event shows, within the visit, that a device
// acts: a test passed, or an alarm that was a test.
func (a *Attendance) activation(e *sootline.Event, raised Raised, zone *time.Location) bool {
	passed := e.Kind == sootline.TestedKind && !e.Failed || e.Kind == sootline.AlarmKind && raised.Tests[e.Entry.ID]
	return passed && a.Holds(e.Entry, zone)
}

// acts reports whether a point can be made to act.
func acts(r *sootline.Register, p *sootline.Point) bool {
	sheet := r.Sheet(p.Type)
	return sheet == nil || sheet.Kind.Judged() || sheet.Kind == sootline.CallPoint
}
