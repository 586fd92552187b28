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
	Work           [][]string // planned at each point of the round; empty: nobody wrote it down

	after, until time.Time // the end of the visit before, and the opening of the next; zero: there is none
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

// ends is the last instant at which alarms count as raised in the attendance. One
// that nobody closed is known to have lasted for its day, and no longer.
func (a *Attendance) ends(zone *time.Location) time.Time {
	if a.Closed != nil {
		return a.Closed.At
	}
	year, month, day := a.Opened.At.In(zone).Date()
	end := sootline.DayEnds(year, month, day, zone)
	if !a.until.IsZero() && a.until.Before(end) {
		return a.until.Add(-time.Millisecond)
	}
	return end
}

// lasts reports whether an instant lies within the attendance, as far as it is
// known to have lasted.
func (a *Attendance) lasts(at time.Time, zone *time.Location) bool {
	return !at.Before(a.From()) && !at.After(a.ends(zone))
}

// Holds reports whether what an entry says was done belongs to the attendance. Work
// goes by the day: a list may give no more, and people write the opening down when
// they have begun. What is known to have been done after the closing belongs to no
// visit, and where a day has two visits, a time that is known decides.
func (a *Attendance) Holds(e *sootline.Entry, zone *time.Location) bool {
	day := DayOf(e.At, zone)
	switch {
	case day < DayOf(a.From(), zone),
		a.Closed != nil && day > DayOf(a.To(), zone),
		!a.until.IsZero() && day > DayOf(a.until, zone):
		return false
	case e.Day:
		return true
	case a.Closed != nil && !a.Closed.Entry.Day && e.At.After(a.Closed.At):
		return false
	}
	return !e.At.Before(a.after) && (a.until.IsZero() || e.At.Before(a.until))
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
			a.plan(r, said)
			if last >= 0 {
				a.after = all[last].To()
				all[last].until = event.At
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
		case a.Closed == nil && a.until.IsZero():
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
		if a.Opened == nil || a.Closed == nil && !a.until.IsZero() {
			n++
		}
	}
	return n
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
