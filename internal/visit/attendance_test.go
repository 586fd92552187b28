package visit_test

import (
	"testing"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/visit"
)

// TestAttendances: openings and closings are paired; what was forgotten is told.
func TestAttendances(t *testing.T) {
	b := newBook(t, sootline.Service{})
	p := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	say := func(on string, state sootline.VisitState) {
		b.add(morning(day(t, on)), sootline.ID{}, sootline.Visit{State: state, Round: b.ids})
	}
	say("2025-01-01", "closed") // only its end was written down
	say("2025-02-01", "opened")
	say("2025-03-01", "opened") // the one before was never closed
	say("2025-03-02", "closed")
	say("2025-04-01", "opened")
	r := b.fold(day(t, "2025-04-02"))
	all := visit.Attendances(r)
	type pair struct{ opened, closed bool }
	want := []pair{{false, true}, {true, false}, {true, true}, {true, false}}
	if len(all) != len(want) {
		t.Fatalf("%d visits, want %d", len(all), len(want))
	}
	for i, a := range all {
		if got := (pair{a.Opened != nil, a.Closed != nil}); got != want[i] {
			t.Errorf("visit %d: %+v, want %+v", i, got, want[i])
		}
	}
	if open := visit.Open(r); open == nil || !open.From().Equal(morning(day(t, "2025-04-01"))) {
		t.Errorf("open: %+v", open)
	}
	if open := visit.Open(b.fold(day(t, "2025-03-10"))); open != nil {
		t.Errorf("on 10 March none was open, found %+v", open)
	}

	// A walk test within the open visit: an alarm after it began, a test of the day.
	open := visit.Open(r)
	if w := visit.Walk(r, open, raise(r), time.UTC); len(w.Waiting) != 1 || len(w.Seen) != 0 {
		t.Errorf("before: %+v", w)
	}
	b.add(morning(day(t, "2025-04-01")).Add(-time.Hour), b.ids[p], sootline.Alarm{})
	if w := walkOf(b.fold(day(t, "2025-04-02"))); len(w.Seen) != 0 {
		t.Errorf("an alarm before the visit was ticked off: %+v", w)
	}
	b.add(morning(day(t, "2025-04-01")).Add(time.Hour), b.ids[p], sootline.Alarm{})
	r = b.fold(day(t, "2025-04-02"))
	if w := walkOf(r); len(w.Seen) != 1 || len(w.Waiting) != 0 {
		t.Errorf("after: %+v", w)
	}
	if undone := visit.Undone(visit.Open(r), raise(r), time.UTC); len(undone) != 0 {
		t.Errorf("undone: %v", undone)
	}
}

// TestNoVisitWritten: without any visit in the log, the last day on which two
// points were tested or read is taken for the last one; one point is not enough.
func TestNoVisitWritten(t *testing.T) {
	b := newBook(t, set(t, visit.Plain))
	one, two := b.fit(sootline.LongAgo, "Larch", sootline.Place{}), b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	attended := func() visit.Day {
		_, all := b.list(day(t, "2025-06-01"))
		return only(all, sootline.VisitForm)[0].Since
	}
	b.test(morning(day(t, "2025-01-10")), one)
	if got := attended(); got.Known() {
		t.Errorf("one point tested on %s was taken for a visit", got)
	}
	b.read(morning(day(t, "2025-01-10")), two, 25)
	b.test(morning(day(t, "2025-02-10")), one)
	if got := attended(); got.String() != "2025-01-10" {
		t.Errorf("last visit %s, want 2025-01-10", got)
	}
	// While a first visit is open, what is done in it is not taken for an earlier one.
	b.add(morning(day(t, "2025-05-30")), sootline.ID{}, sootline.Visit{State: "opened"})
	b.test(morning(day(t, "2025-05-30")), one, two)
	if got := attended(); got.String() != "2025-01-10" {
		t.Errorf("last visit %s, want 2025-01-10", got)
	}
	b.add(morning(day(t, "2025-05-31")), sootline.ID{}, sootline.Visit{State: "closed"})
	if got := attended(); got.String() != "2025-05-31" {
		t.Errorf("last visit %s, want 2025-05-31", got)
	}
}

// TestStanding: a part of the site is back in use when it is restored in the
// same words, or when everything is.
func TestStanding(t *testing.T) {
	b := newBook(t, sootline.Service{})
	at := morning(day(t, "2025-01-01"))
	add := func(body sootline.Body) { at = at.Add(time.Hour); b.add(at, sootline.ID{}, body) }
	count := func() int { return len(visit.Standing(b.fold(day(t, "2025-02-01")))) }
	add(sootline.Disabled{Text: "sounders"})
	add(sootline.Disabled{Text: "lift"})
	add(sootline.Restored{Text: "sounders"})
	if n := count(); n != 1 {
		t.Errorf("%d stand, want the lift", n)
	}
	add(sootline.Restored{Text: "doors"})
	add(sootline.Disabled{Text: "fans"})
	if n := count(); n != 2 {
		t.Errorf("%d stand, want 2", n)
	}
	add(sootline.Restored{})
	if n := count(); n != 0 {
		t.Errorf("%d stand after all was restored", n)
	}
}

// raise sorts alarms.
func raise(r *sootline.Register) visit.Raised {
	raised := visit.Raised{Tests: map[sootline.ID]bool{}, Asked: map[sootline.ID]string{}}
	for _, s := range count.SignalsOf(r, time.UTC, nil).All {
		if s.Walk {
			raised.Tests[s.Entry.ID] = true
		} else if s.Asked {
			raised.Asked[s.Entry.ID] = s.Why
		}
	}
	return raised
}

func walkOf(r *sootline.Register) visit.WalkTest {
	return visit.Walk(r, visit.Open(r), raise(r), time.UTC)
}
