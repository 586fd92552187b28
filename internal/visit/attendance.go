package visit

import (
	"slices"

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
