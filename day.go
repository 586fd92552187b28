package sootline

import (
	"time"
)

// Day is a day of the site's calendar, counted from 1 January 1970. The zero Day
// means that the day is not known: [LongAgo] falls on it.
type Day int

// DayOf gives the day on which an instant falls in a time zone.
func DayOf(t time.Time, zone *time.Location) Day {
	if !t.After(LongAgo) {
		return 0
	}
	y, m, d := t.In(zone).Date()
	return Date(y, m, d)
}

// Date gives a day by year, month and day of the month.
func Date(year int, month time.Month, day int) Day {
	return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Known reports whether the day is known.
func (d Day) Known() bool { return d != 0 }

// Time gives midnight, UTC, of the day.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// String writes the day as 2026-01-31, and one that is not known as nothing.
func (d Day) String() string {
	if !d.Known() {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

// AddMonths gives the same day of the month so many months later, or the last
// day of that month where it has no such day: 31 August and six months is 28 or
// 29 February. A term is always counted from the day it began, never from a day
// that was shortened in this way, so that terms do not creep. For a day that is
// not known it gives one that is not known.
func (d Day) AddMonths(n int) Day {
	if !d.Known() {
		return 0
	}
	y, m, day := d.Time().Date()
	last := time.Date(y, m+time.Month(n)+1, 0, 0, 0, 0, 0, time.UTC)
	return Date(last.Year(), last.Month(), min(day, last.Day()))
}
