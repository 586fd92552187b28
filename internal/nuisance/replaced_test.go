package nuisance

import (
	"testing"
	"time"

	"sootline"
	"sootline/internal/count"
)

// A device that was replaced by one of another kind counts as what it was when it
// was there: the year before does not change by what is done today.
func TestDetectorsOfThen(t *testing.T) {
	s := newSite(10)
	then := s.on.AddDate(-1, 0, 0)
	detectors := func(on time.Time) (now int, year, before Rate) {
		reg := sootline.Fold(s.entries, on)
		rec := Read(reg, on, time.UTC, count.SignalsOf(reg, time.UTC, nil))
		return rec.Detectors(on), rec.rate(rec.back(12), nil, 12), rec.rate(Span{then.AddDate(-1, 0, 0), then}, nil, 12)
	}
	_, _, want := detectors(s.on)
	for point := 2; point <= 10; point++ {
		s.add(s.on.Add(-time.Hour), point, sootline.Replaced{Type: "Press"})
	}
	s.add(then, 11, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "Press"})
	s.add(s.on.AddDate(0, -6, 0), 11, sootline.Replaced{Type: "Larch"})
	now, year, before := detectors(s.on)
	if now != 2 {
		t.Errorf("%d detectors now, want 2", now)
	}
	if before.Detectors != want.Detectors || before.Detectors != 10 {
		t.Errorf("%v detectors in the year before, want 10 as it was", before.Detectors)
	}
	near(t, "detectors in the year", year.Detectors, 10+184.0/365, 0.01) // ten all year, but for an hour, and one for half of it
	if then, _, _ := detectors(then); then != 10 {
		t.Errorf("%d detectors a year ago, want 10", then)
	}
}
