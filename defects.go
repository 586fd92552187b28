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
	Name   string // the beginning of its id, as long as no other defect's begins so
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
	Day    bool // of Since only the day is known
	State  DefectState
	Photos []string // of all that was told, in order

	Seen     []*Entry // every sighting, the first one first
	Story    []*Entry // everything told of it, in order, sightings too
	MendedBy *Entry   // what says that it was mended; nil while it is open
	ClosedBy *Entry   // what closed it; nil until then

	turns []defectTurn
}

// defectTurn is a change of a defect's state.
type defectTurn struct {
	at    time.Time
	state DefectState
}

// What says in a few words what is wrong: nature, grade, cause and text.
func (d *DefectFacts) What() string {
	return Joined(string(d.Nature)+" ("+string(d.Grade)+")", d.Cause, d.Text)
}

// Where is the reference of its point, else its place; empty where it is at none.
func (d *DefectFacts) Where() string {
	if d.Point != nil {
		return d.Point.Ref().String()
	}
	return d.Place
}

// Waits reports whether it is not closed.
func (d *DefectFacts) Waits() bool { return d.State != DefectClosed }

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
	slices.SortStableFunc(open, func(a, b *DefectFacts) int { return cmp.Compare(b.Grade.Rank(), a.Grade.Rank()) })
	return open
}

// FailedTest gives the failed test of a point that no later one made good; nil
// when there is none.
func (p *Point) FailedTest() *DefectFacts {
	for _, d := range p.Defects {
		if d.Nature == FailedTest && d.Waits() {
			return d
		}
	}
	return nil
}

// CountDefects tells how many defects are open, and how many were mended and wait
// for their retest.
func (r *Register) CountDefects() (open, mended int) {
	for _, d := range r.defects {
		switch d.State {
		case DefectOpen:
			open++
		case DefectMended:
			mended++
		}
	}
	return open, mended
}

// Defect finds the defect that an entry tells of, whichever of its story it is;
// nil when it tells of none.
func (r *Register) Defect(entry ID) *DefectFacts {
	for _, d := range r.defects {
		if d.ID == entry {
			return d
		}
	}
	for _, d := range r.defects {
		if slices.ContainsFunc(d.Story, func(e *Entry) bool { return e.ID == entry }) {
			return d
		}
	}
	return nil
}

// InStory gives the entry of its story that has this id, or nil.
func (d *DefectFacts) InStory(entry ID) *Entry {
	for _, e := range d.Story {
		if e.ID == entry {
			return e
		}
	}
	return nil
}

// Rank orders grades, the gravest last.
func (g DefectGrade) Rank() int {
	return slices.Index([]DefectGrade{MinorDefect, SeriousDefect, CriticalDefect}, g)
}

// StraySteps lists, in order, what was followed, mended or retested of a defect
// that the site did not have at that moment, and failed tests that name no point:
// they change nothing, and somebody should say what they are about.
func (r *Register) StraySteps() []*Entry { return r.stray }

// StateAt gives how far the defect had come at an instant, by what is told of it
// here; "" before it was first seen.
func (d *DefectFacts) StateAt(at time.Time) DefectState {
	state := DefectState("")
	for _, turn := range d.turns {
		if !turn.at.After(at) {
			state = turn.state
		}
	}
	return state
}

// DefectCalled finds a defect by its id or an unambiguous beginning of it, or by
// the id of any entry that tells of it.
func (r *Register) DefectCalled(name string) (*DefectFacts, error) {
	name = strings.ToLower(strings.TrimSpace(name))
	if id, err := ParseID(name); err == nil {
		if d := r.Defect(id); d != nil {
			return d, nil
		}
	}
	var found []*DefectFacts
	var names []string
	for _, d := range r.defects {
		if name != "" && strings.HasPrefix(d.ID.String(), name) {
			found, names = append(found, d), append(names, d.Name)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return nil, Errorf(Conflict, "write more of it: "+listed(names[:min(len(names), 5)]), "%d defects begin with %s", len(found), clip(name))
	}
	return nil, Errorf(NotFound, "the list of defects shows their ids", "there is no defect %q on this site", clip(name))
}

// see is a sighting: what was mended is not.
func (d *DefectFacts) see(e *Entry, text, photo string) {
	d.tell(e, photo)
	d.Seen = append(d.Seen, e)
	replace(&d.Text, text)
	d.MendedBy, d.ClosedBy = nil, nil
	d.turn(e, DefectOpen)
}

// turn is a change of state, or the same state seen again.
func (d *DefectFacts) turn(e *Entry, state DefectState) {
	d.State = state
	d.turns = append(d.turns, defectTurn{e.At, state})
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
		d.MendedBy = e
		d.turn(e, DefectMended)
	}
}

// retest: what failed is open again, also where it was closed, but not where its
// point was removed.
func (d *DefectFacts) retest(e *Entry, said Retested) {
	switch {
	case d.ClosedBy != nil && (!said.Failed || d.ClosedBy.Body.Kind() == RemovedKind):
		d.tell(e, said.Photo)
	case said.Failed:
		d.see(e, said.Text, said.Photo)
	default:
		d.tell(e, said.Photo)
		d.close(e)
	}
}

func (d *DefectFacts) close(e *Entry) {
	d.ClosedBy = e
	d.turn(e, DefectClosed)
}

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
