package visit

import (
	"slices"
	"time"

	"sootline"
)

// Attendance is one visit as the log tells of it.
type Attendance struct {
	Opened, Closed *sootline.Event // Closed is nil while it lasts; Opened where only the end was written down
	Round          []*sootline.Point
}

// From is when it began, as far as is known.
func (a *Attendance) From() time.Time {
	if a.Opened != nil {
		return a.Opened.At
	}
	return a.Closed.At
}

// To is when it ended, or the zero time.
func (a *Attendance) To() time.Time {
	if a.Closed != nil {
		return a.Closed.At
	}
	return time.Time{}
}

// lasts reports whether an instant lies within the attendance.
func (a *Attendance) lasts(at time.Time) bool {
	return !at.Before(a.From()) && (a.Closed == nil || !at.After(a.Closed.At))
}

// Attendances lists the visits of a site in order. An opening while another
// visit lasts ends that one unclosed.
func Attendances(r *sootline.Register) []Attendance {
	var all []Attendance
	for i := range r.Events {
		event := &r.Events[i]
		if event.Kind != sootline.VisitKind {
			continue
		}
		said, ok := event.Entry.Body.(sootline.Visit)
		last := len(all) - 1
		switch {
		case !ok:
		case said.State == sootline.VisitOpened:
			a := Attendance{Opened: event}
			for _, id := range said.Round {
				if p := r.Point(id); p != nil && p.Removed == nil {
					a.Round = append(a.Round, p)
				}
			}
			all = append(all, a)
		case last >= 0 && all[last].Closed == nil:
			all[last].Closed = event
		default:
			all = append(all, Attendance{Closed: event})
		}
	}
	return all
}

// Open gives the visit that lasts, or nil.
func Open(r *sootline.Register) *Attendance {
	all := Attendances(r)
	if n := len(all); n > 0 && all[n-1].Closed == nil {
		return &all[n-1]
	}
	return nil
}

// Said gives what the opening says.
func (a *Attendance) Said() sootline.Visit {
	if a.Opened == nil {
		return sootline.Visit{}
	}
	said, _ := a.Opened.Entry.Body.(sootline.Visit)
	return said
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
