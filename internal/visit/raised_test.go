package visit_test

import (
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// TestAlarmsOfAWalkTestAreTests: by point, time and what was said of them.
func TestAlarmsOfAWalkTestAreTests(t *testing.T) {
	on := day(t, "2026-01-20")
	hour := func(h int) time.Time { return on.Time().Add(time.Duration(h) * time.Hour) }
	for name, c := range map[string]struct {
		point       int
		at          time.Time
		day         bool
		alarm       sootline.Alarm
		unclosed    bool
		test, asked bool
	}{
		"a point of the round, in the visit":       {point: 0, at: hour(10), test: true},
		"at the instant of the opening":            {point: 0, at: hour(9), test: true},
		"at the instant of the closing":            {point: 0, at: hour(12), test: true},
		"before the visit":                         {point: 0, at: hour(8)},
		"after the visit":                          {point: 0, at: hour(13)},
		"a point that is not on the round":         {point: 1, at: hour(10), asked: true},
		"not on the round, before":                 {point: 1, at: hour(8)},
		"on the day, nobody knows when":            {point: 0, at: hour(12), day: true, asked: true},
		"somebody said unwanted":                   {point: 0, at: hour(10), alarm: sootline.Alarm{Category: sootline.Unwanted}},
		"somebody said fire":                       {point: 0, at: hour(10), alarm: sootline.Alarm{Category: sootline.RealFire}},
		"somebody said test, far from any visit":   {point: 1, at: hour(-900), alarm: sootline.Alarm{Category: sootline.TestAlarm}, test: true},
		"its words say cooking":                    {point: 0, at: hour(10), alarm: sootline.Alarm{Cause: "cooking"}, asked: true},
		"never closed, the same day":               {point: 0, at: hour(20), unclosed: true, test: true},
		"never closed, the next day":               {point: 0, at: hour(30), unclosed: true, asked: true},
		"never closed, two weeks later":            {point: 0, at: hour(24 * 15), unclosed: true},
		"never closed, other point, weeks later":   {point: 1, at: hour(24 * 15), unclosed: true},
		"the next day of a visit closed yesterday": {point: 0, at: hour(30)},
	} {
		b := newBook(t, sootline.Service{})
		b.fit(sootline.LongAgo, "Larch", sootline.Place{})
		b.fit(sootline.LongAgo, "Larch", sootline.Place{})
		b.add(hour(9), sootline.ID{}, sootline.Visit{State: "opened", Round: b.ids[:1], Work: [][]string{{visit.Test}}})
		if !c.unclosed {
			b.add(hour(12), sootline.ID{}, sootline.Visit{State: "closed"})
		}
		b.add(c.at, b.ids[c.point], c.alarm)
		e := &b.entries[len(b.entries)-1]
		e.Day = c.day
		told := func(a *sootline.Alarm) (sootline.AlarmCategory, bool) { return sootline.Unwanted, a.Cause == "cooking" }
		raised := visit.Raise(b.fold(on+40), time.UTC, told)
		if test, asked := raised.Tests[e.ID], raised.Asked[e.ID] != ""; test != c.test || asked != c.asked {
			t.Errorf("%s: test %v, asked %v (%s); want %v, %v", name, test, asked, raised.Asked[e.ID], c.test, c.asked)
		}
	}
}

// TestUnclosedVisitSwallowsNoAlarms: a visit that was never closed, with another
// opened later, took every alarm of its round for a test for ever.
func TestUnclosedVisitSwallowsNoAlarms(t *testing.T) {
	b := newBook(t, sootline.Service{})
	b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.add(morning(day(t, "2025-01-20")), sootline.ID{}, sootline.Visit{State: "opened", Round: b.ids})
	b.visit(morning(day(t, "2025-07-20")))
	b.add(morning(day(t, "2025-10-01")), b.ids[0], sootline.Alarm{})
	raised := raise(b.fold(day(t, "2026-01-01")))
	if len(raised.Tests)+len(raised.Asked) != 0 {
		t.Errorf("tests %v, asked %v", raised.Tests, raised.Asked)
	}
}
