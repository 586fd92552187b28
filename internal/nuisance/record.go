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

	tenures  []tenure
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
	detector bool // automatic: it counts in the denominator
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

// addPoint notes a point that can alarm: detectors, and call points, which are
// no part of the denominator.
func (rec *Record) addPoint(p *sootline.Point) {
	if !p.Placed {
		return
	}
	kind := count.KindOf(rec.Register, p)
	if kind == "" {
		rec.Unsheets++
	}
	if !count.Detector(kind) && kind != sootline.CallPoint {
		return
	}
	t := tenure{point: p, detector: count.Detector(kind), from: p.Since, to: rec.On}
	if p.Removed != nil {
		t.to = p.Removed.At
	}
	rec.byPoint[p.ID] = len(rec.tenures)
	rec.tenures = append(rec.tenures, t)
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

// Detectors counts the automatic detectors at an instant.
func (rec *Record) Detectors(at time.Time) int {
	n := 0
	for _, t := range rec.tenures {
		if t.detector && !at.Before(t.from) && !at.After(t.to) {
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
