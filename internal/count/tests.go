package count

import (
	"cmp"
	"slices"
	"time"

	"sootline"
)

// Test is one time that a device was made to act.
type Test struct {
	At     time.Time
	Failed bool
	Entry  *sootline.Entry // tested, retested, or an alarm of a walk test
}

// TestsOf lists the tests of a point in order, since it was last removed. walks
// are the alarms that were tests, by their entries; see [Signals.Walks].
func TestsOf(p *sootline.Point, walks map[sootline.ID]bool, zone *time.Location) []Test {
	var tests []Test
	for i := range p.Events {
		event := &p.Events[i]
		if event.Kind == sootline.TestedKind || event.Kind == sootline.AlarmKind && walks[event.Entry.ID] {
			tests = append(tests, Test{event.At, event.Failed, event.Entry})
		}
	}
	for _, d := range p.Defects {
		for _, e := range d.Story {
			if again, ok := e.Body.(sootline.Retested); ok && d.Nature == sootline.FailedTest {
				tests = append(tests, Test{e.At, again.Failed, e})
			}
		}
	}
	tests = slices.DeleteFunc(tests, func(t Test) bool { return !p.Gone.IsZero() && !t.At.After(p.Gone) })
	slices.SortFunc(tests, func(a, b Test) int { return inOrder(a, b, zone) })
	return retestsFollow(tests)
}

// retestsFollow puts retests behind the failed test that they name where the order
// of the two is not known: who tried again knew of it.
func retestsFollow(tests []Test) []Test {
	for i := len(tests) - 1; i >= 0; i-- {
		again, ok := tests[i].Entry.Body.(sootline.Retested)
		if !ok {
			continue
		}
		of := slices.IndexFunc(tests, func(t Test) bool { return t.Entry.ID == again.Defect })
		if of < i || !tests[i].Entry.Day && !tests[of].Entry.Day && !tests[i].At.Equal(tests[of].At) {
			continue
		}
		retest := tests[i]
		copy(tests[i:of], tests[i+1:of+1])
		tests[of] = retest
	}
	return tests
}

// inOrder orders tests of a point. Where the order of two is not known, a pass
// stands before a failure: what was not shown to follow a failure does not mend it.
func inOrder(a, b Test, zone *time.Location) int {
	return cmp.Or(
		int(sootline.DayOf(a.At, zone)-sootline.DayOf(b.At, zone)),
		cmp.Compare(a.turn(), b.turn()),
		a.At.Compare(b.At),
		truth(a.Failed)-truth(b.Failed),
		slices.Compare(a.Entry.ID[:], b.Entry.ID[:]),
	)
}

// turn puts what has only its day before or after all of its day.
func (t *Test) turn() int {
	switch {
	case !t.Entry.Day:
		return 0
	case t.Failed:
		return 1
	}
	return -1
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Passed lists those of the tests that were passed.
func Passed(tests []Test) []Test {
	return slices.DeleteFunc(slices.Clone(tests), func(t Test) bool { return t.Failed })
}

// Last gives the last of some tests; nil: there is none.
func Last(tests []Test) *Test {
	if len(tests) == 0 {
		return nil
	}
	return &tests[len(tests)-1]
}

// Within reports whether the last of some tests was passed, so that on its day
// the point is tested within a term of so many months.
func Within(tests []Test, on sootline.Day, months int, zone *time.Location) bool {
	last := Last(tests)
	if last == nil || last.Failed {
		return false
	}
	day := sootline.DayOf(last.At, zone)
	return day.Known() && day <= on && on <= day.AddMonths(months)
}

// Share is a part of a whole.
type Share struct{ N, Of int }

// Known reports whether there is a share: of no points there is none.
func (s Share) Known() bool { return s.Of > 0 }

// Tenths gives tenths of a per cent, rounded half up; 1000 only where nothing is
// missing, and 0 only where nothing is there.
func (s Share) Tenths() int {
	if s.Of == 0 {
		return 0
	}
	tenths := (2000*s.N + s.Of) / (2 * s.Of)
	switch {
	case s.N > 0 && tenths == 0:
		return 1
	case s.N < s.Of && tenths == 1000:
		return 999
	}
	return tenths
}

// Tested is how the points under test of a site stand.
type Tested struct {
	Months int
	Share                    // tested within the term, of the points under test
	Failed int               // points whose last test was not passed
	Points []*sootline.Point // those that were tested within the term
}

// TestedWithin counts the points under test that are tested within a term of so
// many months on a day.
func TestedWithin(r *sootline.Register, walks map[sootline.ID]bool, on sootline.Day, months int, zone *time.Location) Tested {
	all := UnderTest(r)
	t := Tested{Months: months, Share: Share{Of: len(all)}}
	for _, p := range all {
		tests := TestsOf(p, walks, zone)
		if last := Last(tests); last != nil && last.Failed {
			t.Failed++
		}
		if Within(tests, on, months, zone) {
			t.N++
			t.Points = append(t.Points, p)
		}
	}
	return t
}

// During is what was tested and read in a span of time, such as a visit.
type During struct {
	Share         // points under test tested in it whose last test in it was passed
	NotPassed int // those whose last test in it was not
	Read      int // points in place with a reading in it
}

// DuringOf counts the tests and readings for which within is true.
func DuringOf(r *sootline.Register, walks map[sootline.ID]bool, zone *time.Location, within func(*sootline.Entry) bool) During {
	d := During{Share: Share{Of: PointsOf(r).UnderTest}}
	for _, p := range r.Points() {
		if UnderTestKind(KindOf(r, p)) {
			tests := slices.DeleteFunc(TestsOf(p, walks, zone), func(t Test) bool { return !within(t.Entry) })
			if last := Last(tests); last != nil && last.Failed {
				d.NotPassed++
			} else if last != nil {
				d.N++
			}
		}
		if slices.ContainsFunc(p.Readings, func(x sootline.Reading) bool { return len(x.Samples) > 0 && within(x.Entry) }) {
			d.Read++
		}
	}
	return d
}
