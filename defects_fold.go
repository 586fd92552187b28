package sootline

import (
	"cmp"
	"slices"
	"time"
)

// step keeps an entry that defects are folded from.
func (r *Register) step(e *Entry) { r.steps = append(r.steps, e) }

// foldDefects makes the defects of the steps, which are in order.
func (r *Register) foldDefects() {
	f := defectFold{r: r, named: map[ID]*DefectFacts{}, at: map[ID][]*DefectFacts{}, visits: visitSpans(r.steps, r.AsOf)}
	for _, e := range shownOrder(r.steps, r.Site.location()) {
		f.take(e)
	}
	slices.SortStableFunc(r.defects, func(a, b *DefectFacts) int { return a.Since.Compare(b.Since) })
	nameDefects(r.defects)
	r.steps = nil
}

// shownOrder puts the steps in the order that the log shows. Where it shows none,
// at one instant or on one day of the site's of which no more is known, what puts
// right stands before what went wrong: what was not shown to follow a failure does
// not mend it. What names a defect follows it.
func shownOrder(steps []*Entry, zone *time.Location) []*Entry {
	if showsOrder(steps) {
		return steps
	}
	placed := placedSteps(steps, zone)
	slices.SortStableFunc(placed, func(a, b placedStep) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.rank, b.rank), Compare(a.Entry, b.Entry))
	})
	ordered := make([]*Entry, len(placed))
	for i, step := range placed {
		ordered[i] = step.Entry
	}
	return ordered
}

// placedSteps gives each step the instant by which it is put in order.
func placedSteps(steps []*Entry, zone *time.Location) []placedStep {
	placed := make([]placedStep, len(steps))
	wrong := map[placeDay][]*placedStep{}
	again := map[ID][]*placedStep{} // failed retests, by their defect
	begun := map[ID]*placedStep{}
	for i, e := range steps {
		step := &placed[i]
		*step = placedStep{Entry: e, day: e.At.In(zone).Format(time.DateOnly), at: e.At, rank: stepRank(e.Body)}
		switch place := (placeDay{e.Point, step.day}); step.rank {
		case goesWrong:
			wrong[place] = append(wrong[place], step)
			begun[e.ID] = step
		case failsAgain:
			again[defectNamed(e.Body)] = append(again[defectNamed(e.Body)], step)
		default:
			continue
		}
		if e.Day {
			step.at = lastOfDay(e.At.In(zone))
		}
	}
	for i := range placed {
		step := &placed[i]
		named := defectNamed(step.Body)
		switch step.rank {
		case putsRight:
			step.before(wrong[placeDay{step.Point, step.day}])
		case passesAgain:
			step.before(again[named])
		}
		if of := begun[named]; of != nil && step.unordered(of) && of.at.After(step.at) {
			step.at = of.at
		}
	}
	return placed
}

// showsOrder reports whether steps stand as they are to be taken: the usual case,
// and cheap to see.
func showsOrder(steps []*Entry) bool {
	for i, e := range steps {
		if e.Day || i > 0 && e.At.Equal(steps[i-1].At) && stepRank(e.Body) < stepRank(steps[i-1].Body) {
			return false
		}
	}
	return true
}

// nameDefects gives each defect the shortest beginning of its id, of eight
// characters or more, that no other defect's id begins with.
func nameDefects(defects []*DefectFacts) {
	byID := slices.SortedFunc(slices.Values(defects), func(a, b *DefectFacts) int { return slices.Compare(a.ID[:], b.ID[:]) })
	const least = 8
	common := func(a, b string) (n int) {
		for n < len(a) && a[n] == b[n] {
			n++
		}
		return n
	}
	before := 0 // characters in common with the one before
	for i, d := range byID {
		id, after := d.ID.String(), 0
		if i+1 < len(byID) {
			after = common(id, byID[i+1].ID.String())
		}
		size := max(least, 1+max(before, after))
		if id[size-1] == '-' {
			size++
		}
		d.Name, before = id[:min(size, len(id))], after
	}
}

// placedStep is a step at the instant by which it is put in order.
type placedStep struct {
	*Entry
	day  string // on the site's clock
	at   time.Time
	rank int
}

// placeDay is a day at a point.
type placeDay struct {
	point ID
	day   string
}

// unordered reports whether the log does not show which of two steps came first.
func (s *placedStep) unordered(other *placedStep) bool {
	return s.At.Equal(other.At) || (s.Day || other.Day) && s.day == other.day
}

// before moves a step before the first of these that it was not shown to follow.
func (s *placedStep) before(wrong []*placedStep) {
	for _, w := range wrong {
		if s.unordered(w) && w.at.Before(s.at) {
			s.at = w.at
		}
	}
}

// The ranks of steps of one instant.
const (
	putsRight = iota
	goesWrong
	endsPoint
	namesDefect
	passesAgain
	failsAgain
)

func stepRank(body Body) int {
	switch body := body.(type) {
	case Defect, Fault:
		return goesWrong
	case Tested:
		if body.Failed {
			return goesWrong
		}
	case Removed:
		return endsPoint
	case Followed, Mended:
		return namesDefect
	case Retested:
		if body.Failed {
			return failsAgain
		}
		return passesAgain
	}
	return putsRight
}

// lastOfDay is the last instant of a day in its zone.
func lastOfDay(at time.Time) time.Time {
	return time.Date(at.Year(), at.Month(), at.Day()+1, 0, 0, 0, 0, at.Location()).Add(-time.Millisecond)
}

// defectNamed gives the defect that a step names; the zero ID for others.
func defectNamed(body Body) ID {
	switch body := body.(type) {
	case Followed:
		return body.Defect
	case Mended:
		return body.Defect
	case Retested:
		return body.Defect
	}
	return ID{}
}

// visitSpan is a visit, and the points that it was to see.
type visitSpan struct {
	from, to time.Time
	round    []ID
}

// longestVisit is how long a visit lasts that nobody closed: a forgotten one must
// not swallow a year's alarms.
const longestVisit = 24 * time.Hour

func visitSpans(steps []*Entry, asOf time.Time) []visitSpan {
	var spans []visitSpan
	open := false
	for _, e := range steps {
		v, ok := e.Body.(Visit)
		if !ok {
			continue
		}
		if last := len(spans) - 1; open {
			spans[last].to = e.At
			if v.State == VisitOpened && e.At.Sub(spans[last].from) > longestVisit {
				spans[last].to = spans[last].from.Add(longestVisit)
			}
		}
		if open = v.State == VisitOpened; open {
			spans = append(spans, visitSpan{from: e.At, to: earlier(asOf, e.At.Add(longestVisit)), round: v.Round})
		}
	}
	return spans
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// defectFold is the state of the fold: the defects by the entry that opened them,
// and those of each point (the zero ID: of the site).
type defectFold struct {
	r      *Register
	named  map[ID]*DefectFacts
	at     map[ID][]*DefectFacts
	visits []visitSpan
}

func (f *defectFold) take(e *Entry) {
	switch body := e.Body.(type) {
	case Defect:
		f.open(e).see(e, body.Text, body.Photo)
	case Tested:
		f.tested(e, body)
	case Fault:
		f.fault(e, body)
	case Followed:
		f.about(e, body.Defect, func(d *DefectFacts) { d.follow(e, body) })
	case Mended:
		f.about(e, body.Defect, func(d *DefectFacts) { d.mend(e, body.Photo) })
	case Retested:
		f.about(e, body.Defect, func(d *DefectFacts) { d.retest(e, body) })
	case Alarm:
		if f.walkTest(e, body) {
			f.acted(e)
		}
	case Replaced:
		for _, d := range f.at[e.Point] {
			if d.State == DefectOpen && d.Nature.endsWithDevice() {
				d.mend(e, "")
			}
		}
	case Removed:
		for _, d := range f.at[e.Point] {
			if d.State != DefectClosed {
				d.tell(e, "")
				d.close(e)
			}
		}
	}
}

// about does something to the defect of that name, where there is one by now.
func (f *defectFold) about(e *Entry, id ID, do func(*DefectFacts)) {
	d := f.named[id]
	if d == nil {
		f.r.stray = append(f.r.stray, e)
		return
	}
	do(d)
}

// open begins a defect with the entry that tells of it first.
func (f *defectFold) open(e *Entry) *DefectFacts {
	d := &DefectFacts{ID: e.ID, Since: e.At, Day: e.Day, Grade: SeriousDefect}
	if !e.Point.Zero() {
		d.Point = f.r.point(e.Point)
		d.Point.Defects = append(d.Point.Defects, d)
	}
	switch body := e.Body.(type) {
	case Defect:
		d.Nature, d.Grade, d.Place, d.Needs = body.Nature, body.Grade, body.Place, body.Needs
	case Tested:
		d.Nature = FailedTest
	case Fault:
		d.Nature, d.Cause = FaultDefect, body.Cause
	}
	f.named[e.ID] = d
	f.at[e.Point] = append(f.at[e.Point], d)
	f.r.defects = append(f.r.defects, d)
	return d
}

// tested: a failed test opens a defect, or is one more sighting of the one that
// is there. A passed one is the retest of what was mended at the point, and ends
// a failed test even where nobody wrote down what was done.
func (f *defectFold) tested(e *Entry, test Tested) {
	switch {
	case test.Failed && e.Point.Zero():
		f.r.stray = append(f.r.stray, e)
	case test.Failed:
		for _, d := range f.at[e.Point] {
			if d.Nature == FailedTest && d.State != DefectClosed {
				d.see(e, test.Text, "")
				return
			}
		}
		f.open(e).see(e, test.Text, "")
	default:
		f.acted(e)
		for _, d := range f.at[e.Point] {
			if d.State == DefectMended {
				d.tell(e, "")
				d.close(e)
			}
		}
	}
}

// acted: the device at the point was seen to act, which ends a failed test and
// nothing else.
func (f *defectFold) acted(e *Entry) {
	for _, d := range f.at[e.Point] {
		if d.Nature == FailedTest && d.State != DefectClosed {
			d.tell(e, "")
			d.close(e)
		}
	}
}

// walkTest reports whether an alarm is a device made to act in a visit that was
// to see it: nobody wrote down another category or cause, and its time is known.
func (f *defectFold) walkTest(e *Entry, alarm Alarm) bool {
	if e.Day || alarm.Category != TestAlarm && (alarm.Category != "" || alarm.Cause != "") {
		return false
	}
	at, after := slices.BinarySearchFunc(f.visits, e.At, func(v visitSpan, at time.Time) int { return v.from.Compare(at) })
	if !after {
		at--
	}
	return at >= 0 && !e.At.After(f.visits[at].to) && slices.Contains(f.visits[at].round, e.Point)
}

// fault: the same fault at the same place is one defect until it is closed.
// Spaces and case make no other fault of it: lists of one panel differ in these.
func (f *defectFold) fault(e *Entry, fault Fault) {
	for _, d := range f.at[e.Point] {
		first, ok := d.Seen[0].Body.(Fault)
		if ok && d.State != DefectClosed && sameWords(first.Cause, fault.Cause) && sameWords(first.Text, fault.Text) {
			d.see(e, fault.Text, "")
			return
		}
	}
	f.open(e).see(e, fault.Text, "")
}
