package nuisance

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/count"
)

// site makes the log of an invented site.
type site struct {
	entries []sootline.Entry
	on      time.Time
}

// newSite has so many smoke detectors, ten to an area, in place since nobody
// knows when, and one note three years back, where the record begins.
func newSite(detectors int) *site {
	s := &site{on: date("2026-01-20")}
	s.add(sootline.LongAgo, 0, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke}})
	s.add(sootline.LongAgo, 0, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Press", Kind: sootline.CallPoint}})
	s.add(s.on.AddDate(-3, 0, 0), 0, sootline.Note{Text: "begun"})
	for i := range detectors {
		s.fit(i+1, "Larch", fmt.Sprintf("Area %d", i/10+1), sootline.LongAgo)
	}
	return s
}

func date(text string) time.Time {
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return day.Add(10 * time.Hour)
}

func id(n int) (id sootline.ID) {
	binary.BigEndian.PutUint64(id[8:], uint64(n))
	return id
}

func (s *site) add(at time.Time, point int, body sootline.Body) {
	e := sootline.Entry{ID: id(1_000_000 + len(s.entries)), At: at, Noted: at, Body: body}
	if point > 0 {
		e.Point = id(point)
	}
	s.entries = append(s.entries, e)
}

func (s *site) fit(point int, typ, area string, since time.Time) {
	place := sootline.Place{Panel: "1", Loop: "1", Area: area}
	s.add(since, point, sootline.Fitted{Place: place, Type: typ})
	s.add(since, point, sootline.Addressed{Wanted: point})
}

// alarm is a false alarm of a cause at a point, so many days before the as-of
// date.
func (s *site) alarm(point, daysAgo int, cause string) {
	s.add(s.on.AddDate(0, 0, -daysAgo), point, sootline.Alarm{Cause: cause})
}

func (s *site) report(t *testing.T, key string) *Report {
	t.Helper()
	code, err := FindCode(key)
	if err != nil {
		t.Fatal(err)
	}
	reg := sootline.Fold(s.entries, s.on)
	return Study(Read(reg, s.on, time.UTC, count.SignalsOf(reg, time.UTC, nil)), Options{Code: code})
}

// answer finds the answer of a level and measure.
func (r *Report) answer(t *testing.T, level string, m Measure) Answer {
	t.Helper()
	for _, a := range r.Answers {
		if a.Level == level && a.Measure == m {
			return a
		}
	}
	t.Fatalf("no answer for %s by %s", level, m)
	return Answer{}
}

// The worked checks of BS 5839-1 (2002 to 2017): thresholds as the articles
// named in codes.go restate them; arithmetic 240/25 = 9.6 and 240/20 = 12, "more than".
func TestWorkedChecks(t *testing.T) {
	for _, c := range []struct {
		detectors, alarms, heads int // alarms shared out over so many heads
		level                    string
		measure                  Measure
		want                     State
	}{
		{240, 9, 9, Preliminary, ByRate, NotAbove},
		{240, 10, 10, Preliminary, ByRate, AboveLimit},
		{240, 10, 10, InDepth, ByRate, NotAbove},
		{240, 12, 12, InDepth, ByRate, NotAbove},
		{240, 13, 13, InDepth, ByRate, AboveLimit},
		{30, 3, 3, InDepth, ByCount, AboveLimit},
		{30, 2, 2, InDepth, ByCount, NotAbove},
		{500, 8, 4, InDepth, ByPoint, NotAbove},
		{500, 9, 3, InDepth, ByPoint, AboveLimit},
		{500, 8, 8, Preliminary, ByPoint, NotAbove},
		{500, 8, 7, Preliminary, ByPoint, AboveLimit},
		{500, 11, 11, Preliminary, BySinceVisit, AboveLimit},
		{500, 10, 10, Preliminary, BySinceVisit, NotAbove},
	} {
		t.Run(fmt.Sprintf("%d of %d by %s", c.alarms, c.detectors, c.measure), func(t *testing.T) {
			s := newSite(c.detectors)
			s.add(s.on.AddDate(0, -11, 0), 0, sootline.Visit{State: "closed"})
			for i := range c.alarms {
				s.alarm(i%c.heads*(c.detectors/c.heads)+1, 10+20*i, "")
			}
			got := s.report(t, "").answer(t, c.level, c.measure)
			if got.State != c.want {
				t.Errorf("%s, want %s: %s", got.State, c.want, got.Reason)
			}
		})
	}
}

// A leap day in the twelve months must not move the limit.
func TestLeapYear(t *testing.T) {
	s := newSite(240)
	s.on = date("2024-12-31")
	for i := range 12 {
		s.alarm(i*20+1, 5+25*i, "")
	}
	r := s.report(t, "")
	if a := r.answer(t, InDepth, ByRate); a.State != NotAbove {
		t.Errorf("12 of 240: %s, %s", a.State, a.Reason)
	}
	near(t, "per 100", r.Year.Per100, 5, 1e-12)
	near(t, "detector-years", r.Year.DetectorYears, 240, 1e-12)
}

// Codes for sites of that size only: 40 detectors and fewer have no rate in
// depth, more have no bare count.
func TestSizes(t *testing.T) {
	for _, c := range []struct {
		detectors int
		want      Measure
	}{{40, ByCount}, {41, ByRate}} {
		var in []Measure
		for _, a := range newSite(c.detectors).report(t, "").Answers {
			if a.Level == InDepth && a.Measure != ByPoint {
				in = append(in, a.Measure)
			}
		}
		if len(in) != 1 || in[0] != c.want {
			t.Errorf("%d detectors: in depth by %v, want %s", c.detectors, in, c.want)
		}
	}
}

// I.S. 3218:2009 6.3.6: 6 or more in 3 months; 2 of one device in 3 months, good
// intent left out. UK guide: not more than 1 in any 4 weeks.
func TestOtherCodes(t *testing.T) {
	s := newSite(500)
	for i := range 6 {
		s.alarm(i*20+1, 5+14*i, "")
	}
	if a := s.report(t, "is3218:2009").answer(t, Investigate, ByCount); a.State != AboveLimit || a.Count != 6 {
		t.Errorf("6 in 3 months: %s with %d", a.State, a.Count)
	}
	if a := s.report(t, "uk-guide").answer(t, Normal, ByDays); a.State != AboveLimit || a.Count != 2 {
		t.Errorf("two in 28 days (14 days apart): %s with %d", a.State, a.Count)
	}
	s = newSite(500)
	s.alarm(1, 5, "good intent")
	s.alarm(1, 45, "good intent")
	if a := s.report(t, "is3218:2009").answer(t, Investigate, ByPoint); a.State != NotAbove || a.Count != 0 {
		t.Errorf("good intent counts: %s with %d", a.State, a.Count)
	}
	if a := s.report(t, "").answer(t, Preliminary, ByPoint); a.State != AboveLimit {
		t.Errorf("BS 5839-1 leaves good intent out: %s", a.Reason)
	}
	if a := s.report(t, "bs5839-1:2025").answer(t, Investigate, ByCount); a.State != AboveLimit {
		t.Errorf("2025 edition: every false alarm is to be investigated: %s", a.Reason)
	}
}

// Every figure of the table says where it is from.
func TestCodesHaveSources(t *testing.T) {
	for _, code := range Codes() {
		for _, tr := range code.Triggers {
			if tr.Source == "" || tr.Basis == "" || tr.Level == "" {
				t.Errorf("%s %s: %+v has no source, basis or level", code.Name, code.Edition, tr)
			}
			if (tr.Per == 0) == (tr.Least == 0) && tr.Measure != ByRise {
				t.Errorf("%s: %+v has no limit, or two", code.Name, tr)
			}
		}
	}
	if _, err := FindCode("nosuch"); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("an unknown code: %v", err)
	}
}

// A record that does not reach back twelve months cannot say "not above", but
// what is above already stays above.
func TestShortRecord(t *testing.T) {
	s := &site{on: date("2026-01-20")}
	s.add(sootline.LongAgo, 0, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke}})
	for i := range 100 {
		s.fit(i+1, "Larch", fmt.Sprintf("Area %d", i), sootline.LongAgo)
	}
	s.alarm(1, 73, "steam")
	r := s.report(t, "")
	a := r.answer(t, Preliminary, ByRate)
	if a.State != CannotTell || !strings.Contains(a.Reason, "the record begins on 2025-11-08") {
		t.Errorf("%s: %s", a.State, a.Reason)
	}
	near(t, "detector-years", r.Year.DetectorYears, 100*73/365.0, 1e-6) // 73 of 365 days, within the millisecond of the as-of
	near(t, "per 100", r.Year.Per100, 5, 1e-6)
	for i := range 5 {
		s.alarm(10*i+2, 10+10*i, "")
	}
	if a := s.report(t, "").answer(t, InDepth, ByRate); a.State != AboveLimit {
		t.Errorf("6 of 100 in 73 days: %s", a.Reason)
	}
}

// Without any record, or any detector, there is no rate and no answer.
func TestNothing(t *testing.T) {
	for name, s := range map[string]*site{
		"no entries":   {on: date("2026-01-20")},
		"no detectors": newSite(0),
	} {
		r := s.report(t, "")
		if r.Year.Known() {
			t.Errorf("%s: a rate of %v", name, r.Year.Per100)
		}
		if a := r.answer(t, Preliminary, ByRate); a.State != CannotTell {
			t.Errorf("%s: %s", name, a.State)
		}
	}
}

// Call points are out of the denominator; a detector counts while it is there.
func TestExposure(t *testing.T) {
	s := newSite(100)
	for i := range 40 {
		s.fit(200+i, "Press", "Hall", sootline.LongAgo)
	}
	s.fit(300, "Larch", "Annex", s.on.AddDate(0, 0, -73)) // a fifth of the year
	s.add(s.on.AddDate(0, 0, -292), 100, sootline.Removed{})
	s.alarm(200, 30, "malicious")
	r := s.report(t, "")
	// 99 all year, one for the first 73 of 365 days, one for the last 73.
	near(t, "detector-years", r.Year.DetectorYears, 99.4, 1e-6)
	if r.Year.Incidents != 1 {
		t.Errorf("the alarm of a call point is left out: %d incidents", r.Year.Incidents)
	}
	if n := r.Detectors(s.on); n != 100 {
		t.Errorf("%d detectors now, want 100", n)
	}
}
