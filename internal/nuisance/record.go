package nuisance

import (
	"bytes"
	"slices"
	"strings"
	"time"

	"sootline"
)

// Record is what a log book tells of alarms, and of the detectors that could
// have given them.
type Record struct {
	Register *sootline.Register
	On       time.Time      // the instant it speaks of
	Zone     *time.Location // in which people say hours and days
	Begins   time.Time      // the first thing that was written down of the site's daily life; zero: nothing
	Alarms   []Alarm        // all of them in order of time, fires and tests too

	tenures  []tenure            // of points that can or could alarm
	watches  []tenure            // of these the stretches as a detector, by the type of then: they count in the denominator
	byPoint  map[sootline.ID]int // into tenures
	raised   Raised
	Unsheets int // points whose type has no sheet; they count as detectors
}

// Alarm is one alarm, sorted.
type Alarm struct {
	At       time.Time
	Point    *sootline.Point // nil: the book names none
	Category sootline.AlarmCategory
	Told     Told
	Cause    string // as it was written
	Text     string
	Attended bool
	Entry    *sootline.Entry
	Tested   bool // the point was tested on the same day: perhaps this was a test
	Asked    bool // during a visit, and nobody knows yet whether it was a test: it counts as nothing
}

// tenure is the time during which a point was there.
type tenure struct {
	point    *sootline.Point
	from, to time.Time
}

// Raised tells, by their entries, which alarms were tests and of which that is
// asked, as whoever knows the visits of the site found.
type Raised struct {
	Tests map[sootline.ID]bool
	Asked map[sootline.ID]string
}

// Read gathers what a register, folded as of on, tells of alarms.
func Read(r *sootline.Register, on time.Time, zone *time.Location, raised Raised) *Record {
	rec := &Record{Register: r, On: on, Zone: zone, byPoint: map[sootline.ID]int{}, raised: raised}
	sorter := sorting()
	for _, p := range slices.Concat(r.Points(), r.Former(), r.Strays()) {
		rec.addPoint(p)
		for i := range p.Readings {
			rec.began(p.Readings[i].At)
		}
		rec.addEvents(sorter, p, p.Events)
	}
	rec.addEvents(sorter, nil, r.Events)
	slices.SortStableFunc(rec.Alarms, func(a, b Alarm) int { return sootline.Compare(a.Entry, b.Entry) })
	return rec
}

func (rec *Record) began(at time.Time) {
	if at.After(sootline.LongAgo) && (rec.Begins.IsZero() || at.Before(rec.Begins)) {
		rec.Begins = at
	}
}

// addPoint notes a point that can or could alarm: detectors, and call points, which
// are no part of the denominator. What it was at an instant goes by the type of the
// device that was there.
func (rec *Record) addPoint(p *sootline.Point) {
	if !p.Placed {
		return
	}
	if rec.kindOf(p.Type) == "" {
		rec.Unsheets++
	}
	t := tenure{p, p.Since, rec.On}
	if p.Removed != nil {
		t.to = p.Removed.At
	}
	alarms := false
	for _, device := range rec.devices(t) {
		kind := rec.kindOf(device.typ)
		if kind.Judged() {
			rec.watches = append(rec.watches, device.tenure)
		}
		alarms = alarms || kind.Judged() || kind == sootline.CallPoint
	}
	if alarms {
		rec.byPoint[p.ID] = len(rec.tenures)
		rec.tenures = append(rec.tenures, t)
	}
}

// device is the time during which a device of one type was at a point.
type device struct {
	tenure
	typ string
}

// devices splits the tenure of a point where a device of another type came.
func (rec *Record) devices(t tenure) []device {
	all := []device{{t, t.point.Type}}
	for i, reset := range t.point.Resets {
		last := &all[len(all)-1]
		switch {
		case reset.At.Before(t.from):
		case i == 0 || !reset.At.After(last.from):
			last.typ = reset.Type
		case reset.Type != last.typ && !reset.At.After(t.to):
			next := device{tenure{t.point, reset.At, t.to}, reset.Type}
			last.to = reset.At.Add(-time.Millisecond)
			all = append(all, next)
		}
	}
	return all
}

// kindOf is what a type does; empty where it has no sheet.
func (rec *Record) kindOf(typ string) sootline.DeviceKind {
	if sheet := rec.Register.Sheet(typ); sheet != nil {
		return sheet.Kind
	}
	return ""
}

// wasDetector reports whether a detector was at a point at an instant.
func (rec *Record) wasDetector(p *sootline.Point, at time.Time) bool {
	return slices.ContainsFunc(rec.watches, func(t tenure) bool { return t.point == p && t.holds(at) })
}

func (t tenure) holds(at time.Time) bool { return !at.Before(t.from) && !at.After(t.to) }

func (rec *Record) addEvents(s *sorter, p *sootline.Point, events []sootline.Event) {
	for i := range events {
		rec.began(events[i].At)
		body, ok := events[i].Entry.Body.(sootline.Alarm)
		if !ok {
			continue
		}
		a := Alarm{At: events[i].At, Point: p, Cause: strings.TrimSpace(body.Cause), Text: body.Text, Attended: body.Attended, Entry: events[i].Entry}
		a.Category, a.Told = s.sort(&body)
		_, a.Asked = rec.raised.Asked[a.Entry.ID]
		if rec.raised.Tests[a.Entry.ID] && a.Category != sootline.TestAlarm {
			a.Category, a.Told = sootline.TestAlarm, ByVisit
		}
		a.Tested = slices.ContainsFunc(events, func(e sootline.Event) bool {
			return e.Kind == sootline.TestedKind && rec.day(e.At) == rec.day(a.At)
		})
		rec.Alarms = append(rec.Alarms, a)
	}
}

// day writes the day on the site's clock.
func (rec *Record) day(at time.Time) string { return at.In(rec.Zone).Format(time.DateOnly) }

// timed reports whether the hour of an alarm is known. Books of before days were
// kept as days hold 12:00 for those of listings (docs/decisions/004-hours.md).
func (rec *Record) timed(a *Alarm) bool {
	if a.Entry.Day {
		return false
	}
	hour, minute, second := a.At.In(rec.Zone).Clock()
	return hour != 12 || minute != 0 || second != 0 || a.At.Nanosecond() != 0
}

// Area names where the alarm was: the point's area, else its zone, else "".
func (a *Alarm) Area() string {
	switch {
	case a.Point == nil:
		return ""
	case a.Point.Area != "":
		return a.Point.Area
	case a.Point.Zone != "":
		return "zone " + a.Point.Zone
	}
	return ""
}

// Counts reports whether it counts as a false alarm.
func (a *Alarm) Counts() bool { return False(a.Category) && !a.Asked }

// place is what incidents are grouped by: the area, else the point itself.
func (a *Alarm) place() string {
	if area := a.Area(); area != "" || a.Point == nil {
		return area
	}
	return a.Point.ID.String()
}

// Detectors counts the automatic detectors at an instant.
func (rec *Record) Detectors(at time.Time) int {
	n := 0
	for _, t := range rec.watches {
		if t.holds(at) {
			n++
		}
	}
	return n
}

// alarms gives the false alarms of a span, oldest first.
func (rec *Record) alarms(s Span, leave ...sootline.AlarmCategory) []Alarm {
	var in []Alarm
	for i := range rec.Alarms {
		if a := &rec.Alarms[i]; a.Counts() && s.Holds(a.At) && !slices.Contains(leave, a.Category) {
			in = append(in, *a)
		}
	}
	return in
}

// comparePoint orders points for ties.
func comparePoint(a, b *sootline.Point) int { return bytes.Compare(a.ID[:], b.ID[:]) }
