package papers

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/visit"
)

// visitSpan is the time that a visit report is about: what was asked for, or else
// the days of the last visit that was written down, or the last run of days with
// work.
func (p *paperwork) visitSpan() (from, to time.Time) {
	from, to = p.wish.From, p.wish.To
	if to.IsZero() {
		to = p.wish.On
	}
	if !from.IsZero() {
		return from, to
	}
	if v := p.attendance(); v != nil {
		end := v.To()
		if end.IsZero() {
			end = to
		}
		return p.midnight(v.From()), p.dayEnd(end)
	}
	return p.lastWork(to)
}

// attendance is the last visit that was written down until then, or nil; where a span
// was asked for, the last one that falls into it.
func (p *paperwork) attendance() *visit.Attendance {
	limit := p.wish.To
	if limit.IsZero() {
		limit = p.wish.On
	}
	all := visit.Attendances(p.r)
	for i := len(all) - 1; i >= 0; i-- {
		v := &all[i]
		if v.From().After(limit) {
			continue
		}
		if end := latest(v.From(), v.To()); !p.wish.From.IsZero() && end.Before(p.wish.From) && !v.Lasts() {
			return nil
		}
		return v
	}
	return nil
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// nobodyCame reports whether neither a visit nor any work is written down until then.
func (p *paperwork) nobodyCame() bool {
	if !p.wish.From.IsZero() || p.attendance() != nil {
		return false
	}
	to := p.wish.To
	if to.IsZero() {
		to = p.wish.On
	}
	return len(p.workDays(to)) == 0
}

// closing is what the end of that visit says; the zero Visit when it has none.
func (p *paperwork) closing() sootline.Visit {
	v := p.attendance()
	if v == nil || v.Closed == nil {
		return sootline.Visit{}
	}
	said, _ := v.Closed.Entry.Body.(sootline.Visit)
	return said
}

// pause is how long nothing is done between two visits, at least.
const pause = 14 * 24 * time.Hour

// lastWork finds the last run of days with work on points until then: days that
// are less than a pause apart belong together. Without any, it is that day.
func (p *paperwork) lastWork(until time.Time) (from, to time.Time) {
	days := p.workDays(until)
	if len(days) == 0 {
		return until, until
	}
	to = days[len(days)-1]
	from = to
	for i := len(days) - 1; i >= 0 && from.Sub(days[i]) <= pause; i-- {
		from = days[i]
	}
	return p.midnight(from), p.dayEnd(to)
}

func (p *paperwork) midnight(t time.Time) time.Time {
	year, month, day := t.In(p.zone).Date()
	return sootline.DayBegins(year, month, day, p.zone)
}

func (p *paperwork) dayEnd(t time.Time) time.Time {
	year, month, day := t.In(p.zone).Date()
	return sootline.DayEnds(year, month, day, p.zone)
}

// workDays lists when points were tested, cleaned, replaced, re-based or read, and
// defects mended or tried again.
func (p *paperwork) workDays(until time.Time) []time.Time {
	var days []time.Time
	see := func(at time.Time) {
		if !at.After(until) {
			days = append(days, at)
		}
	}
	walks := p.survey().Signals().Walks()
	for _, point := range p.r.Points() {
		for _, test := range count.TestsOf(point, walks, p.zone) {
			see(test.At)
		}
		for _, e := range point.Events {
			if worked(e.Kind) {
				see(e.At)
			}
		}
		for i := range point.Readings {
			see(point.Readings[i].At)
		}
	}
	for _, d := range p.r.Defects() {
		for _, e := range d.Story {
			if worked(e.Body.Kind()) {
				see(e.At)
			}
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	return days
}

// worked reports whether an entry tells of work, beside tests and readings.
func worked(k sootline.Kind) bool {
	return slices.Contains([]sootline.Kind{sootline.CleanedKind, sootline.ReplacedKind, sootline.RebasedKind, sootline.MendedKind, sootline.RetestedKind}, k)
}

// within tells what was done at the visit: by the day, where it was written down;
// else in the span that was asked for.
func (p *paperwork) within() func(*sootline.Entry) bool {
	if a := p.attendance(); a != nil && p.wish.From.IsZero() {
		return func(e *sootline.Entry) bool { return a.Holds(e, p.zone) }
	}
	from, to := p.visitSpan()
	return func(e *sootline.Entry) bool { return !e.At.Before(from) && !e.At.After(to) }
}

// previousOr is the end of the visit before, else so long ago as visits are apart.
func previousOr(p *paperwork, from time.Time) time.Time {
	if days := p.workDays(from.Add(-time.Millisecond)); len(days) > 0 {
		return days[len(days)-1]
	}
	return from.AddDate(0, -p.r.Site.Rules.VisitMonths, 0)
}
