package chart

import "time"

// calendar is a step from one tick of a time axis to the next.
type calendar struct {
	years, months, days, hours int
	layout                     string
}

// calendars are the steps from fine to coarse.
func calendars() []calendar {
	const hour, day, month, year = "01-02 15:04", "2006-01-02", "2006-01", "2006"
	steps := []calendar{
		{hours: 1, layout: hour},
		{hours: 6, layout: hour},
		{days: 1, layout: day},
		{days: 2, layout: day},
		{days: 7, layout: day},
		{days: 14, layout: day},
		{months: 1, layout: month},
		{months: 3, layout: month},
		{months: 6, layout: month},
	}
	for _, n := range []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000} {
		steps = append(steps, calendar{years: n, layout: year})
	}
	return steps
}

// tick is a place on a time axis and its words.
type tick struct {
	at    time.Time
	words string
}

// dateTicks gives the ticks from one instant to another: hours, days, months,
// quarters or years, the finest of which the words fit. room is how many letters
// are as wide as the axis.
func dateTicks(from, to time.Time, zone *time.Location, room float64) []tick {
	from, to = from.In(zone), to.In(zone)
	steps := calendars()
	for i, step := range steps {
		wide := float64(len(step.layout) + 2)
		if (seconds(to)-seconds(from))/step.seconds()*wide > room && i < len(steps)-1 {
			continue
		}
		var all []tick
		for at := step.first(from); !at.After(to); at = step.next(at) {
			if !at.Before(from) {
				all = append(all, tick{at, step.date(at).Format(step.layout)})
			}
		}
		return all
	}
	return nil
}

// date is the instant whose date a tick bears: where summer time leaves midnight
// out, the tick may lie before it.
func (s calendar) date(at time.Time) time.Time {
	if s.hours > 0 {
		return at
	}
	return at.Add(3 * time.Hour)
}

// seconds is about how long the step is.
func (s calendar) seconds() float64 {
	const day = 24 * 3600
	return float64(s.years)*365.25*day + float64(s.months)*30.44*day + float64(s.days)*day + float64(s.hours)*3600
}

// first is a whole step not after t.
func (s calendar) first(t time.Time) time.Time {
	year, month, day := t.Date()
	switch {
	case s.years > 0:
		return time.Date(year-(year%s.years+s.years)%s.years, 1, 1, 0, 0, 0, 0, t.Location())
	case s.months > 0:
		return time.Date(year, month-(month-1)%time.Month(s.months), 1, 0, 0, 0, 0, t.Location())
	case s.days >= 7:
		back := (int(t.Weekday()) + 6) % 7 // weeks begin on Monday, ISO 8601
		return time.Date(year, month, day-back, 0, 0, 0, 0, t.Location())
	case s.days > 0:
		return time.Date(year, month, day, 0, 0, 0, 0, t.Location())
	}
	return time.Date(year, month, day, t.Hour()-t.Hour()%s.hours, 0, 0, 0, t.Location())
}

func (s calendar) next(t time.Time) time.Time {
	year, month, day := s.date(t).Date()
	if s.hours == 0 {
		return time.Date(year+s.years, month+time.Month(s.months), day+s.days, 0, 0, 0, 0, t.Location())
	}
	if at := time.Date(year, month, day, t.Hour()+s.hours, 0, 0, 0, t.Location()); at.After(t) {
		return at
	}
	return t.Add(time.Duration(s.hours) * time.Hour)
}
