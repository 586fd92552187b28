package app

import (
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// dayBefore is an hour of the day before today.
func dayBefore(hour, minute int) time.Time {
	return time.Date(2026, 1, 19, hour, minute, 0, 0, time.UTC)
}

func begins(t *testing.T, a *App, site store.SiteLine, at time.Time) error {
	t.Helper()
	_, err := a.OpenVisit(t.Context(), site, Opening{VisitWish: VisitWish{On: at, Minutes: 60}, Confirmed: []string{"responsible", "monitoring", "outputs", "disabled"}})
	return err
}

func ends(t *testing.T, a *App, site store.SiteLine, at time.Time) error {
	t.Helper()
	_, err := a.CloseVisit(t.Context(), site, Closing{At: at, Normal: true})
	return err
}

// visited is a site with points, and a visit of the day before, 08:00 to 10:00.
func visited(t *testing.T) (*App, store.SiteLine) {
	t.Helper()
	a := newApp(t, "laptop")
	id := addSite(t, a)
	take(t, a, id, files(t, map[string]string{"schedule.csv": schedule})+"/schedule.csv")
	site, err := a.Site(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	if err := begins(t, a, site, dayBefore(8, 0)); err != nil {
		t.Fatal(err)
	}
	if err := ends(t, a, site, dayBefore(10, 0)); err != nil {
		t.Fatal(err)
	}
	return a, site
}

func TestVisitsDoNotOverlap(t *testing.T) {
	a, site := visited(t)
	refused := func(what string, err error, words string) {
		t.Helper()
		if sootline.ErrorCode(err) != sootline.Conflict || !strings.Contains(err.Error(), words) {
			t.Errorf("%s: %v, want a conflict that says %q", what, err, words)
		}
	}
	refused("begun inside a closed visit", begins(t, a, site, dayBefore(9, 0)), "from 2026-01-19 09:00 to 2026-01-19 11:00 lasted then")
	refused("begun at its beginning", begins(t, a, site, dayBefore(8, 0)), "lasted then")
	refused("closed twice", ends(t, a, site, dayBefore(9, 30)), "closed already")
	if err := begins(t, a, site, today); err != nil {
		t.Fatal(err)
	}
	refused("begun while one is open", begins(t, a, site, today.Add(time.Minute)), "still open")
	refused("begun before one that is open", begins(t, a, site, dayBefore(12, 0)), "still open")
	if err := ends(t, a, site, today.Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	// Written down late: between two visits, and ended before the next.
	if err := begins(t, a, site, dayBefore(12, 0)); err != nil {
		t.Fatal(err)
	}
	a.Now = func() time.Time { return today.Add(time.Hour) }
	if err := ends(t, a, site, time.Time{}); sootline.ErrorCode(err) != sootline.NotFound || !strings.Contains(err.Error(), "2026-01-19 13:00 was never closed") {
		t.Errorf("closed now, the wrong one is taken: %v", err)
	}
	if err := ends(t, a, site, dayBefore(13, 0)); err != nil {
		t.Fatal(err)
	}
	r := register(t, a, site.ID)
	if all := visit.Attendances(r); len(all) != 3 || visit.Untold(r) != 0 {
		t.Errorf("%d visits, of %d an end is missing", len(all), visit.Untold(r))
	}
}

// A visit is written by its use cases alone, and a correction leaves it whole.
func TestVisitIsNoEntryByHand(t *testing.T) {
	a, site := visited(t)
	for _, state := range []sootline.VisitState{sootline.VisitOpened, sootline.VisitClosed} {
		if _, err := a.AddEntry(t.Context(), site.ID, Note{Body: sootline.Visit{State: state}, Sure: true}); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("a visit %s by hand: %v", state, err)
		}
	}
	if err := begins(t, a, site, dayBefore(12, 0)); err != nil {
		t.Fatal(err)
	}
	_, lines, err := a.ReadLog(t.Context(), site.ID, LogFilter{Kinds: []sootline.Kind{sootline.VisitKind}})
	if err != nil || len(lines) != 3 {
		t.Fatal(lines, err)
	}
	move := func(to time.Time) error {
		_, err := a.Correct(t.Context(), site.ID, Amendment{Entry: lines[2].Entry.ID, Sure: true}, func(holds sootline.Entry) (sootline.Corrected, error) {
			c := AsItHolds(holds)
			c.At = to
			return c, nil
		})
		return err
	}
	if err := move(dayBefore(9, 0)); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("corrected into another visit: %v", err)
	}
	if err := move(dayBefore(11, 0)); err != nil {
		t.Error(err)
	}
}
