package sootline

import (
	"fmt"
	"strings"
	"time"
)

// Moment is when something happened, as people say it: an instant, or a day of
// which nobody wrote the time down.
type Moment struct {
	At  time.Time
	Day bool // only the day is known; At is its noon on the site's clock
}

// Clock is a local date and time, before anybody knows in which zone.
type Clock struct {
	Year                             int
	Month                            time.Month
	Day                              int
	Hour, Minute, Second, Nanosecond int
}

// In gives the instant at which the clocks of a zone show this. A time that the
// clocks leave out on the night of a change is refused with the two around it;
// one that they show twice is asked, with the two ways to write it.
func (c Clock) In(zone *time.Location) (time.Time, error) {
	found := c.instants(zone)
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 2:
		return time.Time{}, Errorf(Invalid, fmt.Sprintf("say which: %s or %s", c.which(found[0], "summer time", found[1]), c.which(found[1], "winter time", found[0])),
			"the clocks showed %s twice that night", c)
	}
	change := changeAfter(c.first(zone), zone)
	before, after := change.Add(-time.Second).In(zone), change.In(zone)
	return time.Time{}, Errorf(Invalid, "give a time that the clocks showed",
		"there was no %s: the clocks went from %s straight to %s", c, before.Format(clockLayout), after.Format(clockLayout))
}

const clockLayout = "2006-01-02 15:04:05"

// String writes it with its seconds only where it has some.
func (c Clock) String() string {
	text := fmt.Sprintf("%04d-%02d-%02d %02d:%02d", c.Year, c.Month, c.Day, c.Hour, c.Minute)
	if c.Second != 0 {
		text += fmt.Sprintf(":%02d", c.Second)
	}
	return text
}

// which names one of two instants that clocks show alike: the earlier is in
// summer time and the later in winter time, where it is for these that the clocks
// were changed.
func (c Clock) which(at time.Time, season string, other time.Time) string {
	layout := "2006-01-02T15:04Z07:00"
	if c.Second != 0 {
		layout = "2006-01-02T15:04:05Z07:00"
	}
	if at.IsDST() == other.IsDST() {
		return at.Format(layout)
	}
	return at.Format(layout) + " (" + season + ")"
}

// instants lists the instants at which the clocks of a zone show this, earliest
// first: one, or on the night of a change none or two.
func (c Clock) instants(zone *time.Location) []time.Time {
	asUTC := time.Date(c.Year, c.Month, c.Day, c.Hour, c.Minute, c.Second, c.Nanosecond, time.UTC)
	var found []time.Time
	for _, near := range []time.Duration{-26 * time.Hour, 26 * time.Hour} { // offsets on either side of any change
		_, offset := asUTC.Add(near).In(zone).Zone()
		at := asUTC.Add(-time.Duration(offset) * time.Second).In(zone)
		if _, shown := at.Zone(); shown == offset && (len(found) == 0 || !found[0].Equal(at)) {
			found = append(found, at)
		}
	}
	if len(found) == 2 && found[1].Before(found[0]) {
		found[0], found[1] = found[1], found[0]
	}
	return found
}

// first gives the earliest instant at which the clocks show this, or, where they
// leave it out, the last one before the change.
func (c Clock) first(zone *time.Location) time.Time {
	if found := c.instants(zone); len(found) > 0 {
		return found[0]
	}
	asUTC := time.Date(c.Year, c.Month, c.Day, c.Hour, c.Minute, c.Second, c.Nanosecond, time.UTC)
	_, offset := asUTC.Add(-26 * time.Hour).In(zone).Zone()
	at := asUTC.Add(-time.Duration(offset) * time.Second) // so much after the change as it was left out
	return changeAfter(at.Add(-26*time.Hour), zone).Add(-time.Nanosecond).In(zone)
}

// changeAfter gives the first instant after another, and within two days, at
// which the clocks of a zone have changed.
func changeAfter(at time.Time, zone *time.Location) time.Time {
	_, offset := at.In(zone).Zone()
	low, high := at, at
	for step := range 48 * 4 { // changes last for more than a quarter of an hour
		high = at.Add(time.Duration(step+1) * 15 * time.Minute)
		if _, shown := high.In(zone).Zone(); shown != offset {
			break
		}
		low = high
	}
	for high.Sub(low) > time.Nanosecond {
		middle := low.Add(high.Sub(low) / 2)
		if _, shown := middle.In(zone).Zone(); shown == offset {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// DayHour gives an instant for a day of which nobody wrote the time down: that
// hour on the clocks of a zone, the earlier one where they show it twice, and
// where they leave it out the first instant after.
func DayHour(year int, month time.Month, day, hour int, zone *time.Location) time.Time {
	date := time.Date(year, month, day, 0, 0, 0, 0, time.UTC) // so that a day past the month's last is one of the next
	c := Clock{Year: date.Year(), Month: date.Month(), Day: date.Day(), Hour: hour}
	if found := c.instants(zone); len(found) > 0 {
		return found[0]
	}
	return changeAfter(c.first(zone), zone).In(zone)
}

// Noon is the instant kept for a day without a time.
const Noon = 12

// DayBegins gives the first instant of a day on the clocks of a zone.
func DayBegins(year int, month time.Month, day int, zone *time.Location) time.Time {
	return DayHour(year, month, day, 0, zone)
}

// DayEnds gives the last millisecond of a day on the clocks of a zone, so that
// what happened on it counts.
func DayEnds(year int, month time.Month, day int, zone *time.Location) time.Time {
	return DayBegins(year, month, day+1, zone).Add(-time.Millisecond)
}

// ParseDayBegins reads a day as its first instant on the clocks of a zone.
func ParseDayBegins(text string, zone *time.Location) (time.Time, error) {
	year, month, day, err := ParseDate(text)
	if err != nil {
		return time.Time{}, err
	}
	return DayBegins(year, month, day, zone), nil
}

// ParseDayEnds reads a day as its last millisecond on the clocks of a zone.
func ParseDayEnds(text string, zone *time.Location) (time.Time, error) {
	year, month, day, err := ParseDate(text)
	if err != nil {
		return time.Time{}, err
	}
	return DayEnds(year, month, day, zone), nil
}

// ParseMoment reads when something happened, as people type it: a day as [ParseDate]
// reads it, alone or with a time, as 2026-01-15T09:30 or 15.01.2026 09:30, with or without
// seconds, on the clocks of a zone, or with an offset of its own, 2026-01-15T09:30+01:00.
func ParseMoment(text string, zone *time.Location) (Moment, error) {
	text = strings.TrimSpace(text)
	year, month, day, err := ParseDate(text)
	if err == nil {
		return Moment{DayHour(year, month, day, Noon, zone), true}, nil
	}
	typed, clock, _ := strings.Cut(strings.Replace(text, "T", " ", 1), " ")
	year, month, day, err = ParseDate(typed)
	if len(daysTyped(typed)) > 1 {
		return Moment{}, err
	}
	dated := fmt.Sprintf("%04d-%02d-%02dT%s", year, month, day, clock)
	for _, layout := range []string{"2006-01-02T15:04Z07:00", "2006-01-02T15:04:05Z07:00"} {
		if at, err := time.Parse(layout, dated); err == nil {
			return Moment{At: at}, nil
		}
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02T15:04:05"} {
		if at, err := time.Parse(layout, dated); err == nil {
			at, err = ClockOf(at).In(zone)
			return Moment{At: at}, err
		}
	}
	return Moment{}, Errorf(Invalid, "write 2026-01-15 or 2026-01-15T09:30", "%q is not a date", clip(text))
}

// ClockOf gives what the clocks of an instant's own zone show.
func ClockOf(at time.Time) Clock {
	year, month, day := at.Date()
	hour, minute, second := at.Clock()
	return Clock{year, month, day, hour, minute, second, at.Nanosecond()}
}

// When writes when an entry happened on the clocks of a zone: with its time in
// the layout, or the day alone where no more is known.
func (e *Entry) When(zone *time.Location, layout string) string {
	if e.Day {
		layout = time.DateOnly
	}
	return e.At.In(zone).Format(layout)
}

// Clocked writes an instant on the clocks of a zone, so that it can be read back
// by ParseMoment: with its offset where the clocks show the time twice.
func Clocked(at time.Time, zone *time.Location) string {
	at = at.In(zone)
	text := at.Format(clockLayout)
	if at.Nanosecond() != 0 {
		text += fmt.Sprintf(".%03d", at.Nanosecond()/1e6)
	}
	if len(ClockOf(at).instants(zone)) > 1 {
		text += at.Format("Z07:00")
	}
	return text
}
