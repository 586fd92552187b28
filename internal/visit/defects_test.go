package visit_test

import (
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// TestFailedPointIsRetested: due on the day of the failed test, overdue from the
// day after, until a pass; on the round as a task of its own, with the test that
// a rule asks for there.
func TestFailedPointIsRetested(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12}))
	p := b.fit(sootline.LongAgo, "Larch", sootline.Place{Area: "Hall"})
	b.test(morning(day(t, "2025-06-01")), p)
	b.add(morning(day(t, "2026-01-15")), b.ids[p], sootline.Tested{Failed: true})
	for on, want := range map[string]visit.State{"2026-01-15": visit.Due, "2026-01-16": visit.Overdue, "2026-03-01": visit.Overdue} {
		o := retests(b, day(t, on))
		if len(o) != 1 || o[0].State != want || o[0].Until.String() != "2026-01-15" || !strings.Contains(o[0].Why, "failed its test on 2026-01-15") {
			t.Errorf("on %s: got %+v, want %s", on, o, want)
		}
	}
	r, all := b.list(day(t, "2026-06-20"))
	plan := visit.Make(r, visit.Wish{Minutes: 60, Obligations: all})
	if len(plan.Stops) != 1 || len(plan.Stops[0].Tasks) != 1 || plan.Stops[0].Tasks[0].Work != visit.Retest || len(plan.Stops[0].Tasks[0].Whys) != 2 {
		t.Errorf("one task with both reasons: %+v", plan.Stops)
	}
	b.add(morning(day(t, "2026-01-20")), b.ids[p], sootline.Replaced{})
	if o := retests(b, day(t, "2026-01-21")); len(o) != 1 || o[0].State != visit.Overdue {
		t.Errorf("replaced is not tested: %+v", o)
	}
	b.test(morning(day(t, "2026-01-22")), p)
	if o := retests(b, day(t, "2026-01-23")); len(o) != 0 {
		t.Errorf("passed, so nothing is left: %+v", o)
	}
}

// TestFailedTestIsNoShare: what failed after it passed at a visit counts for no share
// of it, until it passes again.
func TestFailedTestIsNoShare(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12, Visits: 2, PerLoop: 1}))
	p := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.test(morning(day(t, "2026-01-15")), p)
	need := func() (share, loop int) {
		_, all := b.list(day(t, "2026-01-15"))
		for _, o := range all {
			switch o.Of {
			case "the share of the visit":
				share = o.Need
			case "loop 1.1":
				loop += o.Need
			}
		}
		return share, loop
	}
	if share, _ := need(); share != 0 {
		t.Fatalf("it passed, and %d are missing from the share", share)
	}
	b.add(morning(day(t, "2026-01-15")).Add(time.Minute), b.ids[p], sootline.Tested{Failed: true})
	if share, loop := need(); share != 1 || loop != 1 {
		t.Errorf("it failed since: %d missing from the share, %d from the loop", share, loop)
	}
}

// TestMendedWaitsForRetest: at the next visit, whatever the rules.
func TestMendedWaitsForRetest(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12}))
	p := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.test(morning(day(t, "2026-01-02")), p)
	b.add(morning(day(t, "2026-01-15")), b.ids[p], sootline.Fault{Cause: "base cracked"})
	b.add(morning(day(t, "2026-01-15")), sootline.ID{}, sootline.Defect{Nature: sootline.Reported, Grade: sootline.MinorDefect, Text: "a lamp is dark", Place: "the panel"})
	r, all := b.list(day(t, "2026-01-16"))
	if o := retestsIn(all); len(o) != 0 {
		t.Errorf("what is open is not retested: %+v", o)
	}
	plan := visit.Make(r, visit.Wish{Minutes: 60, Obligations: all, Findings: visit.DefectFindings(r)})
	if len(plan.Stops) != 1 || plan.Stops[0].Tasks[0].Work != visit.Look || !strings.Contains(plan.Stops[0].Tasks[0].Whys[0], "base cracked") {
		t.Errorf("what is open at a point is looked at: %+v", plan)
	}
	for _, d := range r.Defects() {
		b.add(morning(day(t, "2026-01-17")), sootline.ID{}, sootline.Mended{Defect: d.ID})
	}
	r, all = b.list(day(t, "2026-01-18"))
	if o := retestsIn(all); len(o) != 2 || o[0].State != visit.Due || o[1].State != visit.Due {
		t.Errorf("two wait: %+v", o)
	}
	plan = visit.Make(r, visit.Wish{Minutes: 60, Obligations: all, Findings: visit.DefectFindings(r)})
	if len(plan.Stops) != 1 || plan.Stops[0].Tasks[0].Work != visit.Retest || len(plan.Short) != 0 {
		t.Errorf("the one at the point is on the round: %+v", plan)
	}
}

func retests(b *book, on visit.Day) []visit.Obligation {
	_, all := b.list(on)
	return retestsIn(all)
}

func retestsIn(all []visit.Obligation) []visit.Obligation {
	var found []visit.Obligation
	for _, o := range all {
		if o.Work == visit.Retest {
			found = append(found, o)
		}
	}
	return found
}

// TestNothingIsRetestedWhereNothingIs: what failed at a point that was removed
// before is on the list of defects, and no visit can try it again.
func TestNothingIsRetestedWhereNothingIs(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12}))
	p := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.add(morning(day(t, "2025-07-19")), b.ids[p], sootline.Removed{})
	b.add(morning(day(t, "2026-01-20")), b.ids[p], sootline.Tested{Failed: true})
	if o := retests(b, day(t, "2026-01-21")); len(o) != 0 {
		t.Errorf("to be tried again where nothing is: %+v", o)
	}
}
