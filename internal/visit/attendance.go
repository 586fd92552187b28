package visit

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/count"
)

// Attendance is one visit as the log tells of it, with the points of its round that
// are still there.
type Attendance struct {
	count.Visit
	Round []*sootline.Point
	Work  [][]string // planned at each point of the round; empty: nobody wrote it down
}

// Attendances lists the visits of a site in order.
func Attendances(r *sootline.Register) []Attendance {
	var all []Attendance
	for _, v := range count.Visits(r) {
		a := Attendance{Visit: v}
		a.plan(r, a.Said())
		all = append(all, a)
	}
	return all
}

// plan notes the points of the round that are still there, with the work planned.
func (a *Attendance) plan(r *sootline.Register, said sootline.Visit) {
	for i, id := range said.Round {
		if p := r.Point(id); p != nil && p.Removed == nil {
			a.Round = append(a.Round, p)
			if len(said.Work) > 0 {
				a.Work = append(a.Work, said.Work[i])
			}
		}
	}
}

// Open gives the visit that lasts, or nil.
func Open(r *sootline.Register) *Attendance {
	all := Attendances(r)
	if n := len(all); n > 0 && all[n-1].Closed == nil {
		return &all[n-1]
	}
	return nil
}

// ClosedAt is the attendance as it would be if it ended at an instant.
func (a *Attendance) ClosedAt(at time.Time) *Attendance {
	closed := *a
	closed.Closed = &sootline.Event{At: at, Kind: sootline.VisitKind, Entry: &sootline.Entry{At: at}}
	return &closed
}

// Clash says in words why a visit cannot begin at an instant: another is open, or
// lasted then. It looks at all the register knows, also at what happened later.
// Empty: it can.
func Clash(r *sootline.Register, at time.Time, zone *time.Location) string {
	const layout = "2006-01-02 15:04"
	for _, a := range Attendances(r) {
		switch from := a.From().In(zone).Format(layout); {
		case a.Opened == nil:
		case a.Lasts():
			return "the visit of " + from + " is still open"
		case a.Closed != nil && !at.Before(a.From()) && at.Before(a.To()):
			return "the visit from " + from + " to " + a.To().In(zone).Format(layout) + " lasted then"
		}
	}
	return ""
}

// Untold counts the visits of which an end is missing: those that another began
// before they were closed, and those of which only the closing is there.
func Untold(r *sootline.Register) (n int) {
	for _, a := range Attendances(r) {
		if a.Opened == nil || a.Closed == nil && !a.Lasts() {
			n++
		}
	}
	return n
}

// Standing lists the disablements of parts of the site that still stand: those
// that no restoring in the same words, or in none, came after.
func Standing(r *sootline.Register) []sootline.Event {
	var standing []sootline.Event
	for _, event := range r.Events {
		switch event.Kind {
		case sootline.DisabledKind:
			standing = append(standing, event)
		case sootline.RestoredKind:
			standing = slices.DeleteFunc(standing, func(before sootline.Event) bool {
				return event.Text == "" || event.Text == before.Text
			})
		}
	}
	return standing
}
