package app

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/nuisance"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// said writes what every entry says that a register points to, in one order.
func said(t *testing.T, r *sootline.Register) []string {
	t.Helper()
	var lines []string
	tell := func(where string, e *sootline.Entry) {
		if e == nil {
			return
		}
		line, err := sootline.AppendLine(nil, e)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, where+string(line))
	}
	for i := range r.Events {
		tell(fmt.Sprint("site ", i, " "), r.Events[i].Entry)
	}
	for _, p := range slices.Concat(r.Points(), r.Former(), r.Strays()) {
		for i := range p.Events {
			tell(fmt.Sprint(p.ID, " event ", i, " "), p.Events[i].Entry)
		}
		for i := range p.Readings {
			tell(fmt.Sprint(p.ID, " reading ", i, " "), p.Readings[i].Entry)
		}
		for i := range p.Resets {
			tell(fmt.Sprint(p.ID, " reset ", i, " "), p.Resets[i].Entry)
		}
	}
	return lines
}

// openDay is a visit that is open, in a log whose lines came in as stations handed
// them in, and not in their order of time.
func openDay(seed uint64) []sootline.Entry {
	log, phones := phoneDay(seed)
	a := App{Who: sootline.Actor{Station: "phone"}, Now: func() time.Time { return time.Date(2026, 1, 20, 12, 0, 0, 0, time.UTC) }}
	site, began := log[0].Site, time.Date(2026, 1, 20, 8, 0, 0, 0, time.UTC)
	var all []sootline.Entry
	for _, captures := range phones {
		for _, c := range captures {
			all = append(all, a.captured(site, c))
		}
	}
	opened := sootline.Visit{State: "opened", Minutes: 240}
	for i := range log {
		opened.Round = append(opened.Round, log[i].Point)
		opened.Work = append(opened.Work, []string{visit.Test})
	}
	all = append(all, sootline.Entry{ID: sootline.DerivedID(began, []byte("opened")), Site: site, At: began.Add(time.Minute), Noted: began, Station: "laptop", Body: opened})
	for i, p := range opened.Round[:4] {
		at := began.Add(time.Duration(2+i) * time.Minute)
		all = append(all, sootline.Entry{ID: sootline.DerivedID(at, []byte("alarm")), Site: site, At: at, Noted: at, Station: "laptop", Point: p, Body: sootline.Alarm{}})
	}
	return append(all, log...)
}

// TestNothingMovesEntriesUnderARegister: every use of a log leaves its entries
// where they are, so that a register folded before still says what it said. A
// phone was told that its visit is closed when one was sorted in place.
func TestNothingMovesEntriesUnderARegister(t *testing.T) {
	on := time.Date(2026, 1, 20, 12, 0, 0, 0, time.UTC)
	for seed := range uint64(20) {
		entries := openDay(seed)
		log := sootline.NewLog(entries)
		r := log.Fold(on)
		open := visit.Open(r)
		before := said(t, r)
		for name, use := range map[string]func(){
			"work of the visit": func() { differences(r, workOf(log, open, nil, time.UTC)) },
			"due dates":         func() { mustDo(t, func() error { _, err := dueBy(store.SiteLine{}, log, on, 0); return err }) },
			"stops at the opening": func() {
				mustDo(t, func() error { _, _, err := stopsOf(context.Background(), store.SiteLine{}, log, open); return err })
			},
			"survey":     func() { SurveyOf(r, log, on, time.UTC, on) },
			"more":       func() { log.With(entries[:5]) },
			"amendments": func() { sootline.Amendments(entries) },
			"merge":      func() { sootline.Merge(entries, entries[:5]) },
			"alarms":     func() { AlarmReportOf(r, log, on, time.UTC, nuisance.Codes()[0]) },
			"due list": func() {
				if _, err := SurveyOf(r, log, on, time.UTC, on).DueList(store.SiteLine{}); err != nil {
					t.Error(err)
				}
			},
			"standing": func() { visit.Standing(r) },
			"walk":     func() { visit.Walk(r, open, RaisedOf(SignalsOf(r, time.UTC)), time.UTC) },
			"undone":   func() { visit.Undone(open, RaisedOf(SignalsOf(r, time.UTC)), time.UTC) },
		} {
			use()
			if after := said(t, r); !slices.Equal(before, after) {
				t.Fatalf("seed %d: after %q the register points to other entries", seed, name)
			}
		}
	}
}

func mustDo(t *testing.T, do func() error) {
	t.Helper()
	if err := do(); err != nil {
		t.Error(err)
	}
}

// TestOpenVisitIsToldAsOpen: what two phones handed in out of order leaves the
// visit the one that is open, by name.
func TestOpenVisitIsToldAsOpen(t *testing.T) {
	for seed := range uint64(20) {
		entries := openDay(seed)
		log := sootline.NewLog(entries)
		r := log.Fold(Always)
		open := visit.Open(r)
		id := open.Opened.Entry.ID
		done := workOf(log, open, nil, time.UTC)
		if open.Opened.Entry.ID != id || open.Opened.Entry.Body.Kind() != sootline.VisitKind {
			t.Fatalf("seed %d: the opening became %s %s", seed, open.Opened.Entry.Body.Kind(), open.Opened.Entry.ID)
		}
		if len(done) == 0 || !slices.IsSortedFunc(done, func(a, b Done) int { return sootline.Compare(a.Entry, b.Entry) }) {
			t.Errorf("seed %d: %d entries of work, which are to be in order", seed, len(done))
		}
	}
}
