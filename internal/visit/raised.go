package visit

import (
	"slices"
	"time"

	"sootline"
)

// Raised sorts the alarms that were raised while somebody was on site, by the id of
// their entries. Tests are tests of their points, and no unwanted alarms; of those
// that are asked nobody knows yet, so that they are neither.
type Raised struct {
	Tests map[sootline.ID]bool
	Asked map[sootline.ID]string // why it is not certain, as the end of a sentence
}

// Raise sorts the alarms of a site. An alarm is a test when somebody said so, or
// when a point of a round gave it while its visit lasted, and nobody said
// otherwise. told tells the category that the words of an alarm mean, where nobody
// said one; nil: words tell nothing.
func Raise(r *sootline.Register, zone *time.Location, told func(*sootline.Alarm) (sootline.AlarmCategory, bool)) Raised {
	raised := Raised{Tests: map[sootline.ID]bool{}, Asked: map[sootline.ID]string{}}
	visits := Attendances(r)
	sort := func(events []sootline.Event, p *sootline.Point) {
		for i := range events {
			e := events[i].Entry
			alarm, ok := e.Body.(sootline.Alarm)
			if !ok {
				continue
			}
			test, why := sortAlarm(visits, e, &alarm, p, zone, told)
			if test {
				raised.Tests[e.ID] = true
			} else if why != "" {
				raised.Asked[e.ID] = why
			}
		}
	}
	for _, p := range slices.Concat(r.Points(), r.Former(), r.Strays()) {
		sort(p.Events, p)
	}
	sort(r.Events, nil)
	return raised
}

// sortAlarm reports whether an alarm was a test, or why that is not certain.
func sortAlarm(visits []Attendance, e *sootline.Entry, alarm *sootline.Alarm, p *sootline.Point, zone *time.Location, told func(*sootline.Alarm) (sootline.AlarmCategory, bool)) (test bool, why string) {
	if alarm.Category != "" {
		return alarm.Category == sootline.TestAlarm, ""
	}
	category, known := sootline.AlarmCategory(""), false
	if told != nil {
		category, known = told(alarm)
	}
	if known && category == sootline.TestAlarm {
		return true, ""
	}
	a, certain := during(visits, e, zone)
	switch {
	case a == nil:
		return false, ""
	case !slices.Contains(a.Said().Round, e.Point) || p == nil:
		return false, "its point is not on the round"
	case known:
		return false, "its words say something else: " + string(category)
	case e.Day:
		return false, "nobody wrote down at what time"
	case !certain:
		return false, "nobody wrote down when the visit ended"
	}
	return true, ""
}

// longest is how long a visit may be planned to last: of what happened later, one
// that nobody closed says nothing.
const longest = 7 * 24 * time.Hour

// during gives the visit in which an entry happened, and whether it is known to
// have lasted until then; nil: there was none.
func during(visits []Attendance, e *sootline.Entry, zone *time.Location) (a *Attendance, certain bool) {
	for i := len(visits) - 1; i >= 0; i-- {
		a := &visits[i]
		switch {
		case a.Opened == nil:
			continue // nobody wrote down when it began
		case e.Day && a.Holds(e, zone), a.lasts(e.At, zone):
			return a, !e.Day
		case i == len(visits)-1 && a.Closed == nil && e.At.After(a.From()) && e.At.Before(a.From().Add(longest)):
			return a, false
		}
	}
	return nil, false
}
