package count

import (
	"slices"
	"time"

	"sootline"
)

// Visit is one visit as the log tells of it.
type Visit struct {
	Opened, Closed *sootline.Event // Closed is nil while it lasts; Opened where only the end was written down

	after, until time.Time // the end of the visit before, and the opening of the next; zero: there is none
}

// From is when it began, as far as is known.
func (v *Visit) From() time.Time {
	if v.Opened != nil {
		return v.Opened.At
	}
	return v.Closed.At
}

// To is when it ended, or the zero time.
func (v *Visit) To() time.Time {
	if v.Closed != nil {
		return v.Closed.At
	}
	return time.Time{}
}

// Said gives what the opening says.
func (v *Visit) Said() sootline.Visit {
	if v.Opened == nil {
		return sootline.Visit{}
	}
	said, _ := v.Opened.Entry.Body.(sootline.Visit)
	return said
}

// Holds reports whether what an entry says was done belongs to the visit. Work
// goes by the day: a list may give no more, and people write the opening down when
// they have begun. What is known to have been done after the closing belongs to no
// visit, and where a day has two visits, a time that is known decides.
func (v *Visit) Holds(e *sootline.Entry, zone *time.Location) bool {
	day := sootline.DayOf(e.At, zone)
	switch {
	case day < sootline.DayOf(v.From(), zone),
		v.Closed != nil && day > sootline.DayOf(v.To(), zone),
		!v.until.IsZero() && day > sootline.DayOf(v.until, zone):
		return false
	case e.Day:
		return true
	case v.Closed != nil && !v.Closed.Entry.Day && e.At.After(v.Closed.At):
		return false
	}
	return !e.At.Before(v.after) && (v.until.IsZero() || e.At.Before(v.until))
}

// Lasts reports whether nobody ended the visit, and no other began since.
func (v *Visit) Lasts() bool { return v.Closed == nil && v.until.IsZero() }

// Visits lists the visits of a site in order. An opening while another visit
// lasts ends that one unclosed.
func Visits(r *sootline.Register) []Visit {
	var all []Visit
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
			v := Visit{Opened: event}
			if last >= 0 {
				v.after = all[last].To()
				all[last].until = event.At
			}
			all = append(all, v)
		case last >= 0 && all[last].Closed == nil:
			all[last].Closed = event
		default:
			all = append(all, Visit{Closed: event})
		}
	}
	return all
}

// quiet is how long a visit that nobody closed lasts after its last sign.
const quiet = 24 * time.Hour

// lasting is a stretch of time, both instants included, in which somebody was
// there, and the points of the round.
type lasting struct {
	from, to time.Time
	round    []sootline.ID
}

// lastings gives how long each visit lasted, as far as alarms go. One that nobody
// closed lasts until a day after its last sign: what was forgotten must not
// swallow a year's alarms, and a visit of several days goes on.
func lastings(r *sootline.Register) []lasting {
	var all []lasting
	for _, v := range Visits(r) {
		if v.Opened == nil {
			continue // nobody wrote down when it began
		}
		l := lasting{v.From(), v.To(), v.Said().Round}
		if v.Closed == nil {
			l.to = l.from.Add(quiet)
			for _, at := range signs(r, &l) {
				if at.After(l.to) {
					break
				}
				l.to = at.Add(quiet)
			}
			for _, end := range []time.Time{v.until, r.AsOf} {
				if !end.IsZero() && end.Before(l.to) {
					l.to = end
				}
			}
		}
		all = append(all, l)
	}
	return all
}

// signs lists when something with its time known was written down of a point of
// the round, from the beginning on, in order.
func signs(r *sootline.Register, l *lasting) []time.Time {
	var at []time.Time
	see := func(e *sootline.Entry) {
		if e != nil && !e.Day && !e.At.Before(l.from) {
			at = append(at, e.At)
		}
	}
	for _, id := range l.round {
		p := r.Point(id)
		if p == nil {
			continue
		}
		for i := range p.Readings {
			see(p.Readings[i].Entry)
		}
		for i := range p.Events {
			see(p.Events[i].Entry)
		}
		for i := range p.Resets {
			see(p.Resets[i].Entry)
		}
		for _, d := range p.Defects {
			for _, e := range d.Story {
				see(e)
			}
		}
	}
	slices.SortFunc(at, time.Time.Compare)
	return at
}

// during gives the visit that lasted when an entry happened; nil: none did. Of an
// entry without its time it is one that lasted on its day.
func during(all []lasting, e *sootline.Entry, zone *time.Location) *lasting {
	day := sootline.DayOf(e.At, zone)
	for i := len(all) - 1; i >= 0; i-- {
		l := &all[i]
		if e.Day && sootline.DayOf(l.from, zone) <= day && day <= sootline.DayOf(l.to, zone) ||
			!e.Day && !e.At.Before(l.from) && !e.At.After(l.to) {
			return l
		}
	}
	return nil
}
