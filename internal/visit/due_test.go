package visit_test

import (
	"fmt"
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// TestWindow: the worked example of BS 5839-1:2025 in the facts read in IET
// Wiring Matters 108: after a visit on 12 May 2025 one from 12 October to 12
// December stays compliant.
func TestWindow(t *testing.T) {
	b := newBook(t, set(t, "bs5839-1-2025"))
	b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.visit(morning(day(t, "2025-05-12")))
	for on, want := range map[string]visit.State{
		"2025-10-11": visit.Met, "2025-10-12": visit.Due, "2025-12-12": visit.Due, "2025-12-13": visit.Overdue,
	} {
		_, all := b.list(day(t, on))
		o := only(all, sootline.VisitForm)[0]
		if o.State != want || o.From.String() != "2025-10-12" || o.Until.String() != "2025-12-12" || o.Since.String() != "2025-05-12" {
			t.Errorf("on %s: %s, from %s to %s, want %s", on, o.State, o.From, o.Until, want)
		}
		if len(o.Entries) != 1 {
			t.Errorf("on %s: rests on %d entries, want the closing of the last visit", on, len(o.Entries))
		}
	}
}

// TestYearly: every point in twelve months; the day itself is in time.
func TestYearly(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12}))
	never := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	fitted := b.fit(morning(day(t, "2025-01-31")), "Larch", sootline.Place{})
	tested := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	failed := b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.test(morning(day(t, "2024-02-29")), tested, failed)
	b.add(morning(day(t, "2025-02-01")), b.ids[failed], sootline.Tested{Failed: true})
	for _, c := range []struct {
		point int
		on    string
		state visit.State
		until string
	}{
		{never, "2025-02-10", visit.Due, ""},
		{fitted, "2025-02-10", visit.Met, "2026-01-31"}, // the next visit, on 10 August, is early enough
		{fitted, "2025-08-10", visit.Due, "2026-01-31"},
		{tested, "2025-02-28", visit.Due, "2025-02-28"},
		{tested, "2025-03-01", visit.Overdue, "2025-02-28"},
		{failed, "2025-03-01", visit.Overdue, "2025-02-28"}, // a test that failed is no test passed
	} {
		r, all := b.list(day(t, c.on))
		for _, o := range all {
			if o.Work == visit.Test && o.Points[0] == r.Point(b.ids[c.point]) && (o.State != c.state || o.Until.String() != c.until) {
				t.Errorf("point %d on %s: %s until %q, want %s until %q", c.point, c.on, o.State, o.Until, c.state, c.until)
			}
		}
	}
}

// TestShares: 187 devices over four visits are all seen in one year, 47 a visit;
// 83 over five are 17 (arithmetic of docs/methods/visit.md: ceil(187/4), ceil(83/5)).
func TestShares(t *testing.T) {
	for _, c := range []struct{ points, visits, months, share int }{{187, 4, 3, 47}, {83, 5, 12, 17}} {
		service := sootline.Service{Rules: []sootline.ServiceRule{
			{Name: "visit", Form: sootline.VisitForm, Months: c.months, Known: sootline.KnownOwn},
			{Name: "all", Form: sootline.EveryForm, Months: c.months * c.visits, Visits: c.visits, Known: sootline.KnownOwn},
		}}
		b := newBook(t, service)
		on := day(t, "2024-01-08")
		for range c.points {
			b.fit(morning(on.AddMonths(-c.months)), "Larch", sootline.Place{})
		}
		seen := map[*sootline.Point]bool{}
		for v := range c.visits {
			at := on.AddMonths(v * c.months)
			r, all := b.list(at)
			plan := visit.Make(r, visit.Wish{Minutes: 100_000, Obligations: all})
			if len(plan.Stops) < c.share || v == 0 && len(plan.Stops) != c.share {
				t.Errorf("%d points, visit %d: %d seen, want %d", c.points, v, len(plan.Stops), c.share)
			}
			for _, stop := range plan.Stops {
				seen[stop.Point] = true
				b.add(morning(at), stop.Point.ID, sootline.Tested{})
			}
			b.visit(morning(at))
			seen = remap(b.fold(at), seen)
		}
		if len(seen) != c.points {
			t.Errorf("%d of %d points seen in %d visits", len(seen), c.points, c.visits)
		}
	}
}

// remap names the points of another fold of the same log.
func remap(r *sootline.Register, seen map[*sootline.Point]bool) map[*sootline.Point]bool {
	again := map[*sootline.Point]bool{}
	for p := range seen {
		again[r.Point(p.ID)] = true
	}
	return again
}

// TestRetest: the figures of NFPA 72 14.4.2 worked in docs/methods/visit.md: of
// 240 devices 12 are changed, 12 + 23 tests; of 640 devices 22, 22 + 50.
func TestRetest(t *testing.T) {
	for _, c := range []struct{ points, affected, others int }{{240, 12, 23}, {640, 22, 50}} {
		b := newBook(t, one(sootline.ServiceRule{Form: sootline.RetestForm, Percent: 10, Most: 50, Days: 7}))
		for range c.points {
			b.fit(sootline.LongAgo, "Larch", sootline.Place{})
		}
		b.add(morning(day(t, "2025-03-03")), sootline.ID{}, sootline.Changed{Text: "site software", Points: b.ids[:c.affected]})
		r, all := b.list(day(t, "2025-03-04"))
		plan := visit.Make(r, visit.Wish{Minutes: 100_000, Obligations: all})
		if len(plan.Stops) != c.affected+c.others {
			t.Errorf("%d points: %d tests, want %d", c.points, len(plan.Stops), c.affected+c.others)
		}
		// All of them tested, nothing is left; a week later nothing is overdue.
		for _, stop := range plan.Stops {
			b.add(morning(day(t, "2025-03-04")), stop.Point.ID, sootline.Tested{})
		}
		_, all = b.list(day(t, "2025-03-20"))
		for _, o := range all {
			if o.State != visit.Met {
				t.Errorf("%d points: still %s: %s", c.points, o.State, o.Why)
			}
		}
	}
}

// TestSensitivity: the schedule worked in docs/methods/visit.md from NFPA 72
// 14.4.4.3: fitted on 1 March 2024, first test by 1 March 2025, second by 1
// March 2027, then by 1 March 2032; a rise of unwanted alarms brings that forward.
func TestSensitivity(t *testing.T) {
	rule := sootline.ServiceRule{Form: sootline.SensitivityForm, Months: 12, Then: 24, Stretch: 60}
	b := newBook(t, one(rule))
	p := b.fit(morning(day(t, "2024-03-01")), "Larch", sootline.Place{Zone: "1"})
	other := b.fit(morning(day(t, "2024-03-01")), "Larch", sootline.Place{Zone: "2"})
	until := func(on string, unwanted ...visit.Alarm) visit.Day {
		r, all := b.list(day(t, on), unwanted...)
		for _, o := range all {
			if o.Points[0] == r.Point(b.ids[p]) {
				return o.Until
			}
		}
		return 0
	}
	want := func(got visit.Day, want string) {
		t.Helper()
		if got.String() != want {
			t.Errorf("until %s, want %s", got, want)
		}
	}
	want(until("2024-06-01"), "2025-03-01")
	b.read(morning(day(t, "2025-03-01")), p, 25)
	want(until("2025-06-01"), "2027-03-01")
	b.read(morning(day(t, "2027-03-01")), p, 26)
	want(until("2027-06-01"), "2032-03-01")
	r := b.fold(day(t, "2029-06-01"))
	alarm := func(on string, point int) visit.Alarm {
		return visit.Alarm{At: morning(day(t, on)), Point: r.Point(b.ids[point])}
	}
	want(until("2029-06-02", alarm("2029-05-20", p)), "2029-05-20")
	// As many as in the year before is no rise; nor are alarms of another zone.
	want(until("2029-06-02", alarm("2029-05-20", p), alarm("2028-05-20", p)), "2032-03-01")
	want(until("2029-06-02", alarm("2029-05-20", other)), "2032-03-01")
	// Out of range: at once; then, in range again, the record begins anew.
	b.read(morning(day(t, "2029-07-01")), p, 41)
	want(until("2029-07-02"), "2029-07-01")
	b.read(morning(day(t, "2029-07-03")), p, 24)
	want(until("2029-07-04"), "2031-07-03")
}

// TestRotation: the call point that was operated longest ago is the next; a week
// from the last one.
func TestRotation(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.RotationForm, Days: 7}))
	b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	for range 3 {
		b.fit(sootline.LongAgo, "Press", sootline.Place{})
	}
	on := day(t, "2025-01-06")
	for week := range 7 {
		r, all := b.list(on + visit.Day(7*week))
		o := all[0]
		if len(all) != 1 || o.State != visit.Due || o.Points[0] != r.Point(b.ids[1+week%3]) {
			t.Fatalf("week %d: %+v", week, all)
		}
		b.test(morning(on+visit.Day(7*week)), 1+week%3)
	}
	_, all := b.list(on + 7*7 + 1)
	if all[0].State != visit.Overdue {
		t.Errorf("eight days after the last: %s", all[0].State)
	}
}

// TestHeatLoops: two of each loop in any twelve months, different ones, and all
// within five years (NFPA 72 Table 14.4.3.2, remembered).
func TestHeatLoops(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 60, PerLoop: 2}))
	start := day(t, "2020-01-15")
	for range 10 {
		b.fit(morning(start), "Elder", sootline.Place{})
	}
	for half := 1; half <= 10; half++ { // the first tests are due a year after the points were fitted
		on := start.AddMonths(6 * half)
		r, all := b.list(on)
		plan := visit.Make(r, visit.Wish{Minutes: 10_000, Obligations: all})
		want := 0
		if half%2 == 0 {
			want = 2 // of ten points two a year: each once in five years, the least possible
		}
		if len(plan.Stops) != want {
			t.Errorf("%s: %d tests, want %d", on, len(plan.Stops), want)
		}
		for _, stop := range plan.Stops {
			b.add(morning(on), stop.Point.ID, sootline.Tested{})
		}
	}
	_, all := b.list(start.AddMonths(60))
	for _, o := range all {
		if o.State == visit.Overdue {
			t.Errorf("overdue: %s", o.Why)
		}
	}
}

// TestLife: a unit is due at the end of its sheet's years, also one fitted on a
// leap day; nobody knows the age of one without a date.
func TestLife(t *testing.T) {
	b := newBook(t, one(sootline.ServiceRule{Form: sootline.LifeForm}))
	b.fit(morning(day(t, "2016-02-29")), "Aged", sootline.Place{})
	b.fit(sootline.LongAgo, "Aged", sootline.Place{})
	b.fit(morning(day(t, "2000-01-01")), "Larch", sootline.Place{})
	_, all := b.list(day(t, "2026-03-01"))
	if len(all) != 2 || all[0].Until.String() != "2019-02-28" || all[0].State != visit.Overdue || all[1].Work != visit.Ask || all[1].Need != 0 {
		t.Errorf("%+v", all)
	}
}

// TestZones: one of each zone at each visit, and those tested at this one count.
func TestZones(t *testing.T) {
	b := newBook(t, set(t, "bs5839-1-2017"))
	for i := range 6 {
		b.fit(sootline.LongAgo, "Larch", sootline.Place{Zone: fmt.Sprint(1 + i%3)})
	}
	first := day(t, "2025-01-10")
	b.test(morning(first), 0, 1, 2, 3, 4, 5)
	b.visit(morning(first))
	on := first.AddMonths(6)
	_, all := b.list(on)
	for _, o := range only(all, sootline.ZoneForm) {
		if o.State != visit.Due || o.Need != 1 || o.Until != first.AddMonths(6) {
			t.Errorf("%s: %s, %d needed, until %s", o.Of, o.State, o.Need, o.Until)
		}
	}
	b.add(morning(on), sootline.ID{}, sootline.Visit{State: "opened", Round: b.ids[:2]})
	b.test(morning(on).Add(time.Hour), 0)
	b.add(morning(on).Add(2*time.Hour), b.ids[1], sootline.Alarm{}) // a walk test: the point was on the round
	b.add(morning(on).Add(2*time.Hour), b.ids[2], sootline.Alarm{}) // not on the round
	_, all = b.list(on)
	for _, o := range only(all, sootline.ZoneForm) {
		want := visit.Met
		if o.Of == "zone 3" {
			want = visit.Due
		}
		if o.State != want {
			t.Errorf("%s: %s, want %s", o.Of, o.State, want)
		}
	}
}
