package count

import (
	"slices"
	"strings"
	"time"

	"sootline"
)

// Signal is one fire signal: an alarm of the log, sorted.
type Signal struct {
	At       time.Time
	Point    *sootline.Point // nil: the book names none
	Category sootline.AlarmCategory
	Told     Told
	Cause    string // as it was written
	Text     string
	Attended bool // the fire service came
	Entry    *sootline.Entry
	Asked    bool   // raised while a visit lasted, and nobody knows yet whether it was a test: it counts as nothing
	Why      string // it is asked, as the end of a sentence
	Walk     bool   // a point of the round gave it while the visit lasted, and it was a test: it is one of its point
}

// Signals are the fire signals of a site, in order.
type Signals struct {
	All   []Signal
	walks map[sootline.ID]bool
}

// SignalsOf sorts every alarm of a register. not lists those of which somebody
// said that they were no test.
func SignalsOf(r *sootline.Register, zone *time.Location, not map[sootline.ID]bool) *Signals {
	s := &Signals{walks: map[sootline.ID]bool{}}
	visits := lastings(r)
	add := func(p *sootline.Point, events []sootline.Event) {
		for i := range events {
			e := events[i].Entry
			if alarm, ok := e.Body.(sootline.Alarm); ok {
				s.All = append(s.All, signalOf(visits, e, &alarm, p, zone, not[e.ID]))
			}
		}
	}
	for _, p := range slices.Concat(r.Points(), r.Former(), r.Strays()) {
		add(p, p.Events)
	}
	add(nil, r.Events)
	slices.SortStableFunc(s.All, func(a, b Signal) int { return sootline.Compare(a.Entry, b.Entry) })
	for i := range s.All {
		if s.All[i].Walk {
			s.walks[s.All[i].Entry.ID] = true
		}
	}
	return s
}

// signalOf sorts one alarm: by what was said, by its cause, by the visit that
// lasted, by its words, in this order.
func signalOf(visits []lasting, e *sootline.Entry, alarm *sootline.Alarm, p *sootline.Point, zone *time.Location, not bool) Signal {
	s := Signal{At: e.At, Point: p, Cause: strings.TrimSpace(alarm.Cause), Text: alarm.Text, Attended: alarm.Attended, Entry: e}
	s.Category, s.Told = sorting().sort(alarm)
	v := during(visits, e, zone)
	onRound := v != nil && p != nil && slices.Contains(v.round, p.ID)
	if v != nil && !not && s.Told != BySaying && s.Told != ByCause {
		switch {
		case e.Day:
			s.Asked, s.Why = true, "nobody wrote down at what time"
		case !onRound:
			s.Asked, s.Why = true, "its point is not on the round"
		default:
			s.Category, s.Told = sootline.TestAlarm, ByVisit
		}
	}
	s.Walk = onRound && !e.Day && s.Category == sootline.TestAlarm
	return s
}

// Walks gives the alarms that were tests of their points, by their entries.
func (s *Signals) Walks() map[sootline.ID]bool { return s.walks }

// Counts reports whether it is a false alarm.
func (s *Signal) Counts() bool { return False(s.Category) && !s.Asked }

// Area names where it was: the point's area, else its zone, else "".
func (s *Signal) Area() string {
	switch {
	case s.Point == nil:
		return ""
	case s.Point.Area != "":
		return s.Point.Area
	case s.Point.Zone != "":
		return "zone " + s.Point.Zone
	}
	return ""
}

// Place is what incidents are grouped by: the area, else the point itself; empty
// where the book names neither.
func (s *Signal) Place() string {
	if area := s.Area(); area != "" || s.Point == nil {
		return area
	}
	return s.Point.ID.String()
}

// Signalled is how many fire signals of a span were what.
type Signalled struct {
	Signals    int // all fire signals
	False      int
	Incidents  int
	Attended   int // false alarms to which the fire service came
	Fires      int
	Tests      int
	Asked      int                            // to be asked: counted as nothing else
	ByCategory map[sootline.AlarmCategory]int // of the false alarms
}

// Between counts the signals of the days after one day and up to another.
func (s *Signals) Between(after, until sootline.Day, zone *time.Location) Signalled {
	n := Signalled{ByCategory: map[sootline.AlarmCategory]int{}}
	var counted []Signal
	for i := range s.All {
		x := &s.All[i]
		if day := sootline.DayOf(x.At, zone); day <= after || day > until {
			continue
		}
		n.Signals++
		switch {
		case x.Asked:
			n.Asked++
		case x.Category == sootline.RealFire:
			n.Fires++
		case x.Category == sootline.TestAlarm:
			n.Tests++
		default:
			n.False++
			n.Attended += truth(x.Attended)
			n.ByCategory[x.Category]++
			counted = append(counted, *x)
		}
	}
	n.Incidents = len(Incidents(counted, func(x *Signal) *Signal { return x }))
	return n
}

// Year counts the signals of the twelve months to a day.
func (s *Signals) Year(on sootline.Day, zone *time.Location) Signalled {
	return s.Between(on.AddMonths(-12), on, zone)
}

// incident is how long an incident lasts at most.
const incident = 24 * time.Hour

// Incidents groups false alarms that are in order. One belongs to the incident of
// its place that began less than a day before; those of which the book names no
// place are incidents of their own.
func Incidents[T any](alarms []T, signal func(*T) *Signal) [][]T {
	var all [][]T
	open := map[string]int{} // place -> its last incident
	for i := range alarms {
		s := signal(&alarms[i])
		at, begun := open[s.Place()]
		if begun && s.Place() != "" && s.At.Sub(signal(&all[at][0]).At) < incident {
			all[at] = append(all[at], alarms[i])
			continue
		}
		open[s.Place()] = len(all)
		all = append(all, []T{alarms[i]})
	}
	return all
}
