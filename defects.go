package sootline

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// DefectFacts is one thing that is or was wrong at a point or a place, from the
// first sight to the retest. It is folded from the log: a failed test, a fault
// and a defect each tell of one, and what is told of it later joins it.
type DefectFacts struct {
	ID     ID     // of the entry that told of it first
	Point  *Point // nil: it is at no point
	Place  string // in words, where it is at no point
	Nature DefectNature
	Grade  DefectGrade
	Cause  string
	Text   string // what was seen, as it was told last
	Needs  string // what it needs, as it was told last; likewise the next three
	Told   string
	Agreed string
	ByDay  string // to be mended by that day
	Since  time.Time
	State  DefectState
	Photos []string // of all that was told, in order

	Seen     []*Entry // every sighting, the first one first
	Story    []*Entry // everything told of it, in order, sightings too
	MendedBy *Entry   // what says that it was mended; nil while it is open
	ClosedBy *Entry   // what closed it; nil until then
}

// DefectState is how far a defect has come.
type DefectState string

// The states of a defect.
const (
	DefectOpen   DefectState = "open"
	DefectMended DefectState = "mended" // it waits for its retest
	DefectClosed DefectState = "closed"
)

// Defects lists every defect that the log tells of, in the order in which they
// were first seen.
func (r *Register) Defects() []*DefectFacts { return r.defects }

// OpenDefects lists those that are not closed, the gravest first, and of these
// the oldest.
func (r *Register) OpenDefects() []*DefectFacts {
	var open []*DefectFacts
	for _, d := range r.defects {
		if d.State != DefectClosed {
			open = append(open, d)
		}
	}
	slices.SortStableFunc(open, func(a, b *DefectFacts) int { return cmp.Compare(b.Grade.rank(), a.Grade.rank()) })
	return open
}

// Defect finds the defect that an entry tells of, whichever of its story it is;
// nil when it tells of none.
func (r *Register) Defect(entry ID) *DefectFacts {
	for _, d := range r.defects {
		if slices.ContainsFunc(d.Story, func(e *Entry) bool { return e.ID == entry }) {
			return d
		}
	}
	return nil
}

func (g DefectGrade) rank() int {
	return slices.Index([]DefectGrade{MinorDefect, SeriousDefect, CriticalDefect}, g)
}

// step keeps an entry that defects are folded from.
func (r *Register) step(e *Entry) { r.steps = append(r.steps, e) }

// foldDefects makes the defects of the steps, which are in order.
func (r *Register) foldDefects() {
	f := defectFold{r: r, named: map[ID]*DefectFacts{}, at: map[ID][]*DefectFacts{}}
	for _, e := range r.steps { // a defect may be followed at its own instant, and the order of these is by id
		if _, ok := e.Body.(Defect); ok {
			f.open(e)
		}
	}
	for _, e := range r.steps {
		f.take(e)
	}
	slices.SortStableFunc(r.defects, func(a, b *DefectFacts) int { return a.Since.Compare(b.Since) })
	r.steps = nil
}

// defectFold is the state of the fold: the defects by the entry that opened them,
// and those of each point (the zero ID: of the site).
type defectFold struct {
	r     *Register
	named map[ID]*DefectFacts
	at    map[ID][]*DefectFacts
}

func (f *defectFold) take(e *Entry) {
	switch body := e.Body.(type) {
	case Defect:
		f.named[e.ID].see(e, body.Text, body.Photo)
	case Tested:
		f.tested(e, body)
	case Fault:
		f.fault(e, body)
	case Followed:
		f.about(body.Defect, func(d *DefectFacts) { d.follow(e, body) })
	case Mended:
		f.about(body.Defect, func(d *DefectFacts) { d.mend(e, body.Photo) })
	case Retested:
		f.about(body.Defect, func(d *DefectFacts) { d.retest(e, body) })
	case Replaced:
		for _, d := range f.seen(e.Point) {
			if d.State == DefectOpen && d.Nature.endsWithDevice() {
				d.mend(e, "")
			}
		}
	case Removed:
		for _, d := range f.seen(e.Point) {
			if d.State != DefectClosed {
				d.close(e)
			}
		}
	}
}

// seen lists the defects of a point, or of the site, that were seen by now.
func (f *defectFold) seen(point ID) []*DefectFacts {
	var seen []*DefectFacts
	for _, d := range f.at[point] {
		if len(d.Seen) > 0 {
			seen = append(seen, d)
		}
	}
	return seen
}

// about does something to the defect of that name, where there is one.
func (f *defectFold) about(id ID, do func(*DefectFacts)) {
	if d := f.named[id]; d != nil {
		do(d)
	}
}

// open begins a defect with the entry that tells of it first.
func (f *defectFold) open(e *Entry) *DefectFacts {
	d := &DefectFacts{ID: e.ID, Since: e.At, State: DefectOpen, Grade: SeriousDefect}
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
	if test.Failed {
		for _, d := range f.seen(e.Point) {
			if d.Nature == FailedTest && d.State != DefectClosed {
				d.see(e, test.Text, "")
				return
			}
		}
		f.open(e).see(e, test.Text, "")
		return
	}
	for _, d := range f.seen(e.Point) {
		if d.State == DefectMended || d.State == DefectOpen && d.Nature == FailedTest {
			d.tell(e, "")
			d.close(e)
		}
	}
}

// fault: the same fault at the same place is one defect until it is closed.
func (f *defectFold) fault(e *Entry, fault Fault) {
	same := func(d *DefectFacts) bool {
		if d.Nature != FaultDefect || d.State == DefectClosed {
			return false
		}
		first, ok := d.Seen[0].Body.(Fault)
		return ok && sameWords(first.Cause, fault.Cause) && sameWords(first.Text, fault.Text)
	}
	for _, d := range f.seen(e.Point) {
		if same(d) {
			d.see(e, fault.Text, "")
			return
		}
	}
	f.open(e).see(e, fault.Text, "")
}

// see is a sighting: what was mended is not.
func (d *DefectFacts) see(e *Entry, text, photo string) {
	d.tell(e, photo)
	d.Seen = append(d.Seen, e)
	replace(&d.Text, text)
	d.State, d.MendedBy, d.ClosedBy = DefectOpen, nil, nil
}

// tell puts an entry into the story.
func (d *DefectFacts) tell(e *Entry, photo string) {
	d.Story = append(d.Story, e)
	if photo != "" {
		d.Photos = append(d.Photos, photo)
	}
}

func (d *DefectFacts) follow(e *Entry, said Followed) {
	d.tell(e, said.Photo)
	replace(&d.Told, said.Told)
	replace(&d.Agreed, said.Agreed)
	replace(&d.Needs, said.Needs)
	replace(&d.ByDay, said.ByDay)
	replace(&d.Grade, said.Grade)
}

func (d *DefectFacts) mend(e *Entry, photo string) {
	d.tell(e, photo)
	if d.State == DefectOpen {
		d.State, d.MendedBy = DefectMended, e
	}
}

func (d *DefectFacts) retest(e *Entry, said Retested) {
	if said.Failed {
		d.see(e, said.Text, said.Photo)
		return
	}
	d.tell(e, said.Photo)
	d.close(e)
}

func (d *DefectFacts) close(e *Entry) { d.State, d.ClosedBy = DefectClosed, e }

// endsWithDevice reports whether another device at the point mends it.
func (n DefectNature) endsWithDevice() bool {
	switch n {
	case FailedTest, FaultDefect, Damage, WrongDevice, MissingDevice:
		return true
	}
	return false
}

func sameWords(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}
