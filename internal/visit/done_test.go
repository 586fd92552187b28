package visit_test

import (
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// planned opens a visit at nine o'clock with one work at each point so far.
func (b *book) planned(on visit.Day, works ...[]string) {
	b.add(morning(on), sootline.ID{}, sootline.Visit{State: "opened", Round: b.ids, Work: works})
}

func undoneOf(r *sootline.Register) map[int][]string {
	open := visit.Open(r)
	left := map[int][]string{}
	for _, u := range visit.Undone(open, raise(r), time.UTC) {
		left[slices.Index(open.Round, u.Point)] = u.Work
	}
	return left
}

// TestTestPlannedIsNotDoneByReading: a point whose test was planned counted as
// seen when it was only read. Each work has what does it, and nothing else does.
func TestTestPlannedIsNotDoneByReading(t *testing.T) {
	does := map[string][]sootline.Body{
		visit.Test:    {sootline.Tested{}, sootline.Tested{Failed: true}, sootline.Alarm{}, sootline.Alarm{Category: sootline.TestAlarm}},
		visit.Read:    {sootline.Read{Samples: []float64{25}}},
		visit.Look:    {sootline.Read{Samples: []float64{25}}, sootline.Tested{}, sootline.Tested{Failed: true}, sootline.Alarm{Category: sootline.TestAlarm}, sootline.Cleaned{}, sootline.Replaced{}, sootline.Rebased{}, sootline.Alarm{}},
		visit.Clean:   {sootline.Cleaned{}, sootline.Replaced{}},
		visit.Replace: {sootline.Replaced{}},
	}
	bodies := []sootline.Body{
		sootline.Tested{},
		sootline.Tested{Failed: true},
		sootline.Alarm{},
		sootline.Alarm{Category: sootline.TestAlarm},
		sootline.Alarm{Category: sootline.Unwanted},
		sootline.Read{Samples: []float64{25}},
		sootline.Cleaned{},
		sootline.Replaced{},
		sootline.Rebased{},
		sootline.Unreached{},
		sootline.Note{Text: "seen"},
		sootline.Fault{Text: "x"},
		sootline.Disabled{},
		sootline.Addressed{Found: 3},
	}
	on := day(t, "2026-01-20")
	for work, by := range does {
		for _, body := range bodies {
			b := newBook(t, sootline.Service{})
			b.fit(sootline.LongAgo, "Larch", sootline.Place{})
			b.planned(on, []string{work})
			b.add(morning(on).Add(time.Hour), b.ids[0], body)
			_, open := undoneOf(b.fold(on))[0]
			if want := !slices.ContainsFunc(by, func(d sootline.Body) bool { return same(d, body) }); open != want {
				t.Errorf("%s planned, %T %+v: open %v, want %v", work, body, body, open, want)
			}
		}
	}
}

func same(a, b sootline.Body) bool {
	said := func(body sootline.Body) string {
		line, _ := sootline.AppendSaid(nil, &sootline.Entry{Body: body})
		return string(line)
	}
	return said(a) == said(b)
}

// TestEachWorkOfAPointIsDone: two works at a point are two, and what is left is
// told; a visit whose works nobody wrote down goes by any work.
func TestEachWorkOfAPointIsDone(t *testing.T) {
	on := day(t, "2026-01-20")
	b := newBook(t, sootline.Service{})
	one, two := b.fit(sootline.LongAgo, "Larch", sootline.Place{}), b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.planned(on, []string{visit.Test, visit.Clean}, []string{visit.Read})
	b.test(morning(on).Add(time.Hour), one)
	b.read(morning(on.AddMonths(-1)), two, 25)
	left := undoneOf(b.fold(on))
	if !slices.Equal(left[0], []string{visit.Clean}) || !slices.Equal(left[1], []string{visit.Read}) {
		t.Errorf("left: %v", left)
	}
	old := newBook(t, sootline.Service{})
	old.fit(sootline.LongAgo, "Larch", sootline.Place{})
	old.planned(on)
	if left := undoneOf(old.fold(on)); len(left) != 1 {
		t.Errorf("nothing done: %v", left)
	}
	old.read(morning(on).Add(time.Hour), 0, 25)
	if left := undoneOf(old.fold(on)); len(left) != 0 {
		t.Errorf("read, where nobody wrote down what was planned: %v", left)
	}
}

// TestWorkOfTwoVisitsOfOneDay: a time that is known decides which visit work
// belongs to; a day belongs to both.
func TestWorkOfTwoVisitsOfOneDay(t *testing.T) {
	on := day(t, "2026-01-20")
	b := newBook(t, sootline.Service{})
	b.fit(sootline.LongAgo, "Larch", sootline.Place{})
	b.planned(on, []string{visit.Test})
	b.test(morning(on).Add(time.Hour), 0)
	b.add(morning(on).Add(2*time.Hour), sootline.ID{}, sootline.Visit{State: "closed"})
	b.add(morning(on).Add(5*time.Hour), sootline.ID{}, sootline.Visit{State: "opened", Round: b.ids, Work: [][]string{{visit.Test}}})
	if left := undoneOf(b.fold(on)); len(left) != 1 {
		t.Errorf("the test of the visit before counts in the one after: %v", left)
	}
	b.test(morning(on).Add(3*time.Hour), 0)
	b.entries[len(b.entries)-1].Day = true
	if left := undoneOf(b.fold(on)); len(left) != 0 {
		t.Errorf("a test of the day: %v", left)
	}
}

// TestWorkAfterTheClosing: what is known to have been done after a visit ended was
// not done in it; what is known by the day alone may have been.
func TestWorkAfterTheClosing(t *testing.T) {
	on := day(t, "2026-01-20")
	closing := morning(on).Add(22 * time.Minute)
	for _, c := range []struct {
		after   time.Duration
		dayOnly bool
		undone  int
	}{{-time.Minute, false, 0}, {0, false, 0}, {4 * time.Minute, false, 1}, {4 * time.Minute, true, 0}} {
		for _, body := range []sootline.Body{sootline.Tested{}, sootline.Tested{Failed: true}, sootline.Alarm{Category: sootline.TestAlarm}} {
			want := c.undone
			if body.Kind() == sootline.AlarmKind && c.dayOnly {
				want = 1 // an alarm is a test while a visit lasts, and of this one nobody knows when it was
			}
			b := newBook(t, sootline.Service{})
			b.fit(sootline.LongAgo, "Larch", sootline.Place{})
			b.planned(on, []string{visit.Test})
			b.add(closing.Add(c.after), b.ids[0], body)
			b.entries[len(b.entries)-1].Day = c.dayOnly
			open := visit.Open(b.fold(on))
			if got := len(visit.Undone(open.ClosedAt(closing), raise(b.fold(on)), time.UTC)); got != want {
				t.Errorf("%s %v after it is about to close (day only: %v): %d undone, want %d", body.Kind(), c.after, c.dayOnly, got, want)
			}
			b.add(closing, sootline.ID{}, sootline.Visit{State: "closed"})
			r := b.fold(on)
			if got := len(visit.Undone(&visit.Attendances(r)[0], raise(r), time.UTC)); got != want {
				t.Errorf("%s %v after the closing (day only: %v): %d undone, want %d", body.Kind(), c.after, c.dayOnly, got, want)
			}
		}
	}
}
