package visit

import (
	"cmp"
	"slices"
	"time"

	"sootline"
	"sootline/internal/count"
)

// proof is an entry by which something was done on a day.
type proof struct {
	day   Day
	at    time.Time
	entry sootline.ID
}

// diary is what the log says of the work done on a site, by day.
type diary struct {
	r    *sootline.Register
	in   Input
	next Day // the visit after one on this day

	visits   []Attendance
	kinds    map[*sootline.Point]sootline.DeviceKind
	tests    map[*sootline.Point][]proof // passed, in order of time
	from     Day                         // tests from this day on belong to the visit of this day
	guessed  bool                        // the last visit is taken from the work, for none was written down
	attended proof                       // the last visit; zero when there was none
	visitBy  Day                         // the last day for the next visit; 0 when no rule sets one
}

func newDiary(r *sootline.Register, in Input, rules []sootline.ServiceRule) *diary {
	d := &diary{
		r: r, in: in, next: in.Next, visits: Attendances(r), from: in.On,
		kinds: map[*sootline.Point]sootline.DeviceKind{}, tests: map[*sootline.Point][]proof{},
	}
	if !d.next.Known() {
		d.next = in.On.AddMonths(VisitMonths(rules))
	}
	for _, p := range r.Points() {
		if sheet := r.Sheet(p.Type); sheet != nil {
			d.kinds[p] = sheet.Kind
		}
		d.tests[p] = d.testsOf(p)
	}
	d.findAttended()
	for i := range rules {
		if rule := &rules[i]; rule.Form == sootline.VisitForm && d.attended.day.Known() {
			until := d.attended.day.AddMonths(max(rule.Months, rule.To))
			if !d.visitBy.Known() || until < d.visitBy {
				d.visitBy = until
			}
		}
	}
	return d
}

func (d *diary) day(t time.Time) Day { return DayOf(t, d.in.Zone) }

// testsOf lists the tests that a point passed since it was there.
func (d *diary) testsOf(p *sootline.Point) []proof {
	var tests []proof
	for _, t := range count.Passed(count.TestsOf(p, d.in.Raised.Tests, d.in.Zone)) {
		tests = append(tests, proof{d.day(t.At), t.At, t.Entry.ID})
	}
	return tests
}

// lastTest gives the last test of a point, or else the day it was fitted, which
// counts as one; the zero proof when neither is known. Another unit at the point
// leaves its term running.
func (d *diary) lastTest(p *sootline.Point) (last proof, tested bool) {
	if tests := d.tests[p]; len(tests) > 0 {
		return tests[len(tests)-1], true
	}
	return d.since(p, p.Since), false
}

// fitted gives when the unit that is there now was fitted.
func (d *diary) fitted(p *sootline.Point) proof { return d.since(p, p.UnitSince) }

// since gives the reset of a point at an instant.
func (d *diary) since(p *sootline.Point, at time.Time) proof {
	since := proof{day: d.day(at), at: at}
	for i := range p.Resets {
		if reset := &p.Resets[i]; reset.At.Equal(at) && reset.Entry != nil {
			since.entry = reset.Entry.ID
		}
	}
	return since
}

// testedNow reports whether a point passed a test at the visit of this day, and
// failed none since.
func (d *diary) testedNow(p *sootline.Point) bool {
	tests := d.tests[p]
	return len(tests) > 0 && tests[len(tests)-1].day >= d.from && p.FailedTest() == nil
}

// findAttended finds the visit of this day and the last one. Where no other visit
// was written down, the last day before this one on which two points or more were
// tested or read is taken for it.
func (d *diary) findAttended() {
	before := d.in.On + 1
	for i := range d.visits {
		a := &d.visits[i]
		opened := d.day(a.From())
		if a.Closed == nil && i == len(d.visits)-1 {
			d.from = min(d.from, opened)
			before = opened
			break
		}
		end := a.Closed
		if end == nil {
			end = a.Opened
		}
		d.attended = proof{d.day(end.At), end.At, end.Entry.ID}
		if d.attended.day == d.in.On {
			d.from = min(d.from, opened)
		}
	}
	if !d.attended.day.Known() {
		d.attended = d.lastWork(before)
		d.guessed = d.attended.day.Known()
	}
}

// lastWork gives the last day before another on which several points were seen.
func (d *diary) lastWork(before Day) proof {
	points := map[Day]int{}
	var last proof
	for _, p := range d.r.Points() {
		seen := map[Day]bool{}
		look := func(at time.Time, entry *sootline.Entry) {
			day := d.day(at)
			if !day.Known() || seen[day] || day >= before {
				return
			}
			seen[day] = true
			if points[day]++; points[day] >= 2 && day > last.day {
				last = proof{day, at, entry.ID}
			}
		}
		for i := range p.Events {
			if p.Events[i].Kind == sootline.TestedKind || d.in.Raised.Tests[p.Events[i].Entry.ID] {
				look(p.Events[i].At, p.Events[i].Entry)
			}
		}
		for i := range p.Readings {
			look(p.Readings[i].At, p.Readings[i].Entry)
		}
	}
	return last
}

// about lists the points that a rule is about.
func (d *diary) about(rule *sootline.ServiceRule) []*sootline.Point {
	var points []*sootline.Point
	for _, p := range d.r.Points() {
		if applies(rule, d.kinds[p]) {
			points = append(points, p)
		}
	}
	return points
}

// several gives an obligation that some of the points meet: those tested longest
// ago at the front, those never tested before all others.
func (d *diary) several(rule *sootline.ServiceRule, of string, points []*sootline.Point) Obligation {
	o := Obligation{Rule: *rule, Work: Test, Of: of, Points: slices.Clone(points), last: make(map[*sootline.Point]Day, len(points))}
	for _, p := range points {
		last, _ := d.lastTest(p)
		o.last[p] = last.day
	}
	slices.SortStableFunc(o.Points, func(a, b *sootline.Point) int { return cmp.Compare(o.last[a], o.last[b]) })
	return o
}
