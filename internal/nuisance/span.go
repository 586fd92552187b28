package nuisance

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/count"
)

// Span is a stretch of time, from its first instant to, and not with, its last.
type Span struct{ From, To time.Time }

// Holds reports whether an instant lies in the span.
func (s Span) Holds(at time.Time) bool { return !at.Before(s.From) && at.Before(s.To) }

// back is the span of so many months up to now, on the site's clock, to count
// detectors over.
func (rec *Record) back(months int) Span {
	return Span{rec.monthsBefore(months), after(rec.On)}
}

// monthsBefore is this time of day so many months ago.
func (rec *Record) monthsBefore(months int) time.Time {
	on := rec.On.In(rec.Zone)
	y, m, d := sootline.DayOf(on, rec.Zone).AddMonths(-months).Time().Date()
	return time.Date(y, m, d, on.Hour(), on.Minute(), on.Second(), on.Nanosecond(), rec.Zone)
}

// recent gives the false alarms of the last months, by their days: the same day so
// many months ago is not among them.
func (rec *Record) recent(months int, leave ...sootline.AlarmCategory) []Alarm {
	return rec.alarms(Span{rec.dayAfter(months), after(rec.On)}, leave...)
}

// dayAfter gives the first instant after the same day so many months ago.
func (rec *Record) dayAfter(months int) time.Time {
	y, m, day := sootline.DayOf(rec.On, rec.Zone).AddMonths(-months).Time().Date()
	return after(sootline.DayEnds(y, m, day, rec.Zone))
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
func (rec *Record) rate(s Span, alarms []Alarm, months float64) Rate {
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

// Category is that of its first alarm.
func (i *Incident) Category() sootline.AlarmCategory { return i.First().Category }

// group makes incidents of false alarms in order of time.
func group(alarms []Alarm) []Incident {
	var all []Incident
	for _, together := range count.Incidents(alarms, func(a *Alarm) *count.Signal { return &a.Signal }) {
		all = append(all, Incident{together})
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
		if m.Broken {
			m.Year = rec.rate(rec.back(12), rec.recent(12), 12)
		} else {
			year := Span{month(back + 11), m.To}
			m.Year = rec.rate(year, rec.alarms(year), 12)
		}
		all = append(all, m)
	}
	slices.Reverse(all)
	return all
}
