package nuisance

import (
	"slices"
	"time"

	"sootline"
)

// Span is a stretch of time, from its first instant to, and not with, its last.
type Span struct{ From, To time.Time }

// Holds reports whether an instant lies in the span.
func (s Span) Holds(at time.Time) bool { return !at.Before(s.From) && at.Before(s.To) }

// back is the span of so many months up to now, on the site's clock. The day
// from which it counts is kept; a day that its month lacks is the first of the
// next, as package time has it.
func (rec *Record) back(months int) Span {
	return Span{rec.On.In(rec.Zone).AddDate(0, -months, 0), after(rec.On)}
}

// after is the instant after: an as-of date holds what happened at it.
func after(t time.Time) time.Time { return t.Add(time.Millisecond) }

// covered is the part of a span of which the book has a record.
func (rec *Record) covered(s Span) Span {
	switch {
	case rec.Begins.IsZero():
		return Span{s.To, s.To}
	case rec.Begins.After(s.From):
		s.From = rec.Begins
	}
	return s
}

// Covers reports whether the record reaches back to the start of the span, give
// or take a week: nobody writes something down every day.
func (rec *Record) Covers(s Span) bool {
	return !rec.Begins.IsZero() && rec.Begins.Before(s.From.AddDate(0, 0, 7))
}

// present sums how long tenures lasted within a span, in milliseconds: as a
// time.Duration the sum would overflow at 292 years.
func (s Span) present(tenures []tenure) int64 {
	var sum int64
	for _, t := range tenures {
		sum += t.within(s).Milliseconds()
	}
	return sum
}

func (t tenure) within(s Span) time.Duration {
	from, to := t.from, t.to
	if from.Before(s.From) {
		from = s.From
	}
	if after(to).Before(s.To) {
		s.To = to
	}
	return max(0, s.To.Sub(from))
}

// Rate is how often incidents were, with what chance allows.
type Rate struct {
	Span
	Covered       float64 // share of the span of which there is a record
	Alarms        int     // false alarms in the span
	Incidents     int     // those of one area within a day counted once
	Detectors     float64 // the mean number of them, over the span
	DetectorYears float64 // where there is a record
	Per100        float64 // incidents for a hundred detectors and year; NaN without exposure
	Low, High     float64 // its exact interval at 95 %
	Low90, High90 float64 // at 90 %: each end at 5 %, for the three-way answer
}

// rate works a rate out over a span of so many months. A month is a twelfth of
// a year whatever its days, so that 240 detectors over twelve months are 240
// detector-years.
func (rec *Record) rate(s Span, months float64) Rate {
	alarms := rec.alarms(s)
	known := rec.covered(s)
	r := Rate{Span: s, Alarms: len(alarms), Incidents: len(group(alarms))}
	whole := s.length()
	r.Covered = float64(known.length()) / float64(whole)
	r.Detectors = float64(s.present(rec.watches)) / float64(whole)
	r.DetectorYears = float64(known.present(rec.watches)) / float64(whole) * months / 12
	scale := 100 / r.DetectorYears
	r.Per100 = float64(r.Incidents) * scale
	low, high := Interval(r.Incidents, 0.95)
	r.Low, r.High = low*scale, high*scale
	low, high = Interval(r.Incidents, 0.90)
	r.Low90, r.High90 = low*scale, high*scale
	return r
}

// length is in milliseconds.
func (s Span) length() int64 { return s.To.Sub(s.From).Milliseconds() }

// Known reports whether there is a rate: some detector, and some record.
func (r *Rate) Known() bool { return r.DetectorYears > 0 }

// Incident is one or more false alarms of one area within a day.
type Incident struct {
	Alarms []Alarm
}

// First is the alarm that began it.
func (i *Incident) First() *Alarm { return &i.Alarms[0] }

// Category is the first that was known among its alarms.
func (i *Incident) Category() sootline.AlarmCategory {
	for _, a := range i.Alarms {
		if a.Category != Unknown {
			return a.Category
		}
	}
	return Unknown
}

// day is how long an incident lasts at most.
const day = 24 * time.Hour

// group makes incidents of false alarms in order of time. An alarm belongs to
// the incident of its area that began less than a day before; alarms of which
// the book names no place are incidents of their own.
func group(alarms []Alarm) []Incident {
	var all []Incident
	open := map[string]int{} // area -> its last incident
	for _, a := range alarms {
		i, begun := open[a.place()]
		if begun && a.place() != "" && a.At.Sub(all[i].First().At) < day {
			all[i].Alarms = append(all[i].Alarms, a)
			continue
		}
		open[a.place()] = len(all)
		all = append(all, Incident{Alarms: []Alarm{a}})
	}
	return all
}

// Month is a calendar month on the site's clock.
type Month struct {
	Span
	By     map[sootline.AlarmCategory]int // incidents
	Year   Rate                           // over the twelve months that end with it
	Broken bool                           // it goes on after the as-of date
}

// months gives the calendar months that end with that of the as-of date, oldest
// first.
func (rec *Record) months(count int) []Month {
	on := rec.On.In(rec.Zone)
	month := func(back int) time.Time {
		return sootline.DayBegins(on.Year(), on.Month()-time.Month(back), 1, rec.Zone)
	}
	all := make([]Month, 0, count)
	for back := range count {
		m := Month{Span: Span{month(back), month(back - 1)}, By: map[sootline.AlarmCategory]int{}}
		m.Broken = m.To.After(after(rec.On))
		for _, incident := range group(rec.alarms(m.Span)) {
			m.By[incident.Category()]++
		}
		end := m.To
		if m.Broken {
			end = after(rec.On).In(rec.Zone)
		}
		m.Year = rec.rate(Span{end.AddDate(-1, 0, 0), end}, 12)
		all = append(all, m)
	}
	slices.Reverse(all)
	return all
}
