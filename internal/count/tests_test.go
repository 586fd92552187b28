package count_test

import (
	"testing"

	"sootline"
	"sootline/internal/count"
)

// TestTestedWithinATerm holds each rule of docs/methods/counting.md against a log
// of its own: n points of six under test are tested within twelve months.
func TestTestedWithinATerm(t *testing.T) {
	for name, c := range map[string]struct {
		log       func(b *book)
		on        string
		n, failed int
	}{
		"none":                               {func(*book) {}, "2026-01-20", 0, 0},
		"a pass":                             {func(b *book) { b.add("2025-06-01", smoke, sootline.Tested{}) }, "2026-01-20", 1, 0},
		"a pass of a call point":             {func(b *book) { b.add("2025-06-01", press, sootline.Tested{}) }, "2026-01-20", 1, 0},
		"a pass of a sounder is in no share": {func(b *book) { b.add("2025-06-01", sounder, sootline.Tested{}) }, "2026-01-20", 0, 0},
		"two passes of one point": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{})
			b.add("2025-07-01", smoke, sootline.Tested{})
		}, "2026-01-20", 1, 0},
		"on the last day":             {func(b *book) { b.add("2025-01-20 23:30", smoke, sootline.Tested{}) }, "2026-01-20", 1, 0},
		"the day after":               {func(b *book) { b.add("2025-01-20 23:30", smoke, sootline.Tested{}) }, "2026-01-21", 0, 0},
		"of 29 February, on the 28th": {func(b *book) { b.add("2024-02-29", smoke, sootline.Tested{}) }, "2025-02-28", 1, 0},
		"of 29 February, on 1 March":  {func(b *book) { b.add("2024-02-29", smoke, sootline.Tested{}) }, "2025-03-01", 0, 0},
		"a failure":                   {func(b *book) { b.add("2025-06-01", smoke, sootline.Tested{Failed: true}) }, "2026-01-20", 0, 1},
		"a failure after a pass": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{})
			b.add("2025-07-01", smoke, sootline.Tested{Failed: true})
		}, "2026-01-20", 0, 1},
		"a pass after a failure": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{Failed: true})
			b.add("2025-07-01", smoke, sootline.Tested{})
		}, "2026-01-20", 1, 0},
		"pass and failure of one day, no times": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{Failed: true})
			b.add("2025-06-01", smoke, sootline.Tested{})
		}, "2026-01-20", 0, 1},
		"a failure without time, a pass of that day": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{Failed: true})
			b.add("2025-06-01 15:00", smoke, sootline.Tested{})
		}, "2026-01-20", 0, 1},
		"a pass without time, a failure before noon": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{})
			b.add("2025-06-01 09:00", smoke, sootline.Tested{Failed: true})
		}, "2026-01-20", 0, 1},
		"failed and passed later that day": {func(b *book) {
			b.add("2025-06-01 09:00", smoke, sootline.Tested{Failed: true})
			b.add("2025-06-01 15:00", smoke, sootline.Tested{})
		}, "2026-01-20", 1, 0},
		"a reading, a cleaning, another unit": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Read{Samples: []float64{25}})
			b.add("2025-06-02", smoke, sootline.Cleaned{})
			b.add("2025-06-03", smoke2, sootline.Replaced{})
		}, "2026-01-20", 0, 0},
		"another unit leaves the point's test": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{})
			b.add("2025-06-03", smoke, sootline.Replaced{})
		}, "2026-01-20", 1, 0},
		"removed and fitted again": {func(b *book) {
			b.add("2025-06-01", smoke, sootline.Tested{})
			b.add("2025-07-01", smoke, sootline.Removed{})
			b.add("2025-08-01", smoke, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}, Type: "Larch"})
		}, "2026-01-20", 0, 0},
		"a retest of a failed test": {func(b *book) {
			defect := b.add("2025-06-01 09:00", smoke, sootline.Tested{Failed: true})
			b.add("2025-07-01 09:00", smoke, sootline.Retested{Defect: defect})
		}, "2026-01-20", 1, 0},
		"a retest of a fault is no test": {func(b *book) {
			defect := b.add("2025-06-01 09:00", smoke, sootline.Fault{Cause: "no answer"})
			b.add("2025-07-01 09:00", smoke, sootline.Retested{Defect: defect})
		}, "2026-01-20", 0, 0},
		"a pass withdrawn": {func(b *book) {
			pass := b.add("2025-06-01", smoke, sootline.Tested{})
			b.add("2025-07-01", 0, sootline.Withdrawn{Entry: pass})
		}, "2026-01-20", 0, 0},
		"an alarm of a walk test": {func(b *book) {
			b.visit("2025-06-01 09:00", "2025-06-01 12:00", smoke)
			b.add("2025-06-01 10:00", smoke, sootline.Alarm{})
		}, "2026-01-20", 1, 0},
		"an alarm said to be a test, outside a visit": {func(b *book) { b.add("2025-06-01 10:00", smoke, sootline.Alarm{Category: sootline.TestAlarm}) }, "2026-01-20", 0, 0},
	} {
		b := newBook(t)
		c.log(b)
		if got := b.tested(c.on); got.N != c.n || got.Failed != c.failed || got.Of != 6 {
			t.Errorf("%s: %d of %d, %d failed; want %d of 6, %d failed", name, got.N, got.Of, got.Failed, c.n, c.failed)
		}
	}
}

// TestPerCentIsWholeOnlyWhereNothingIsMissing by hand.
func TestPerCentIsWholeOnlyWhereNothingIsMissing(t *testing.T) {
	for _, c := range []struct{ n, of, tenths int }{
		{0, 7, 0}, {7, 7, 1000}, {2, 3, 667}, {1, 3, 333}, {1, 2000, 1}, {1, 3000, 1}, {2999, 3000, 999}, {1, 8, 125}, {1, 16, 63}, {0, 0, 0},
	} {
		if got := (count.Share{N: c.n, Of: c.of}).Tenths(); got != c.tenths {
			t.Errorf("%d of %d: %d tenths, want %d", c.n, c.of, got, c.tenths)
		}
	}
}

// TestTestedAndNotPassedNeverOverlap: a visit's last test of a point decides.
func TestTestedAndNotPassedNeverOverlap(t *testing.T) {
	b := newBook(t)
	b.visit("2025-06-01 09:00", "2025-06-01 12:00", smoke, smoke2, heat)
	b.add("2025-06-01 10:00", smoke, sootline.Tested{Failed: true})
	b.add("2025-06-01 11:00", smoke, sootline.Tested{})
	b.add("2025-06-01 10:00", smoke2, sootline.Tested{})
	b.add("2025-06-01 11:00", smoke2, sootline.Tested{Failed: true})
	b.add("2025-06-01 11:00", heat, sootline.Read{Samples: []float64{20}})
	b.add("2025-06-01 11:01", heat, sootline.Read{Samples: []float64{21}})
	b.add("2025-05-01 11:00", press, sootline.Tested{})
	r := b.fold("2025-07-01")
	v := count.Visits(r)[0]
	got := count.DuringOf(r, nil, b.zone, func(e *sootline.Entry) bool { return v.Holds(e, b.zone) })
	if want := (count.During{Share: count.Share{N: 1, Of: 6}, NotPassed: 1, Read: 1}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// TestRetestOfUnknownOrderFollows: who tries a failed test again knew of it.
func TestRetestOfUnknownOrderFollows(t *testing.T) {
	for _, when := range [][2]string{{"2026-01-19 20:14", "2026-01-19"}, {"2026-01-19", "2026-01-19 08:00"}} {
		b := newBook(t)
		failed := b.add(when[0], smoke, sootline.Tested{Failed: true})
		b.add(when[1], smoke, sootline.Retested{Defect: failed})
		r := b.fold("2026-01-20")
		if got := count.TestedWithin(r, nil, sootline.DayOf(r.AsOf, b.zone), 12, b.zone); got.Failed != 0 || got.N != 1 {
			t.Errorf("failed %s, again %s: %d not passed, %d tested within the term", when[0], when[1], got.Failed, got.N)
		}
	}
}
