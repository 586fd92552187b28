package nuisance

import (
	"bytes"
	"slices"
	"time"

	"sootline"
	"sootline/internal/count"
)

// Record is what a log book tells of alarms, and of the detectors that could
// have given them.
type Record struct {
	Register *sootline.Register
	On       time.Time      // the instant it speaks of
	Zone     *time.Location // in which people say hours and days
	Begins   time.Time      // the first thing that was written down of the site's daily life; zero: nothing
	Signals  *count.Signals // sorted
	Alarms   []Alarm        // all of them in order of time, fires and tests too

	tenures  []tenure            // of points that can or could alarm
	watches  []tenure            // of these the stretches as a detector, by the type of then: they count in the denominator
	byPoint  map[sootline.ID]int // into tenures
	Unsheets int                 // points whose type has no sheet; they count as detectors
}

// Alarm is one alarm, sorted.
type Alarm struct {
	count.Signal
	Tested bool // the point was tested on the same day: perhaps this was a test
}

// tenure is the time during which a point was there.
type tenure struct {
	point    *sootline.Point
	from, to time.Time
}

// Read gathers what a register, folded as of on, tells of alarms, which whoever
// asks has had sorted.
func Read(r *sootline.Register, on time.Time, zone *time.Location, signals *count.Signals) *Record {
	rec := &Record{Register: r, On: on, Zone: zone, Signals: signals, byPoint: map[sootline.ID]int{}}
	for _, p := range slices.Concat(r.Points(), r.Former(), r.Strays()) {
		rec.addPoint(p)
		for i := range p.Readings {
			rec.began(p.Readings[i].At)
		}
		rec.beganWith(p.Events)
	}
	rec.beganWith(r.Events)
	for _, s := range signals.All {
		rec.Alarms = append(rec.Alarms, Alarm{Signal: s, Tested: rec.testedOn(&s)})
	}
	return rec
}

func (rec *Record) beganWith(events []sootline.Event) {
	for i := range events {
		rec.began(events[i].At)
	}
}

// testedOn reports whether the point of an alarm was tested on its day.
func (rec *Record) testedOn(s *count.Signal) bool {
	return s.Point != nil && slices.ContainsFunc(s.Point.Events, func(e sootline.Event) bool {
		return e.Kind == sootline.TestedKind && rec.day(e.At) == rec.day(s.At)
	})
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
	if count.KindOf(rec.Register, p) == "" {
		rec.Unsheets++
	}
	t := tenure{p, p.Since, rec.On}
	if p.Removed != nil {
		t.to = p.Removed.At
	}
	alarms := false
	for _, device := range rec.devices(t) {
		kind := rec.kindOf(device.typ)
		if count.Detector(kind) {
			rec.watches = append(rec.watches, device.tenure)
		}
		alarms = alarms || count.UnderTestKind(kind)
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
