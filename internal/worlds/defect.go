package worlds

import (
	"slices"
	"time"
)

// Defect is one defect as the log leaves it at the instant.
type Defect struct {
	ID, Point, Nature, Grade string
	State                    string // open, mended or closed
	Since                    time.Time
	Sightings                int
	shown                    [2]string // cause and text of a fault, by which it is known again
	fault                    bool      // opened by an entry of kind fault
}

// replacing are the natures that another unit mends.
var replacing = []string{"failed test", "fault", "damage", "wrong device", "missing device"}

// defects folds the defects of a site.
type defects struct {
	all  []*Defect
	byID map[string]*Defect
}

// open begins a defect.
func (d *defects) open(f fact, nature, grade string) *Defect {
	n := &Defect{
		ID: f.id, Point: f.point, Nature: nature, Grade: grade, State: "open",
		Since: f.at, Sightings: 1,
	}
	d.all = append(d.all, n)
	d.byID[f.id] = n
	return n
}

// again finds a defect that is not closed, and counts one more sighting of it.
func (d *defects) again(same func(*Defect) bool) bool {
	i := slices.IndexFunc(d.all, func(x *Defect) bool { return x.State != "closed" && same(x) })
	if i < 0 {
		return false
	}
	d.all[i].State = "open"
	d.all[i].Sightings++
	return true
}

// failedTest notes a failed test of a point.
func (d *defects) failedTest(f fact) {
	if !d.again(func(x *Defect) bool { return x.Nature == "failed test" && x.Point == f.point }) {
		d.open(f, "failed test", "serious")
	}
}

// faulty notes a fault that was shown.
func (d *defects) faulty(f fact, cause, text string) {
	shown := [2]string{cause, text}
	if d.again(func(x *Defect) bool { return x.fault && x.Point == f.point && x.shown == shown }) {
		return
	}
	n := d.open(f, "fault", "serious")
	n.fault, n.shown = true, shown
}

// passedTest closes what a passed test of a point closes; a walk test closes failed tests only.
func (d *defects) passedTest(point string, walk bool) {
	for _, x := range d.all {
		if x.Point == point && (x.Nature == "failed test" || x.State == "mended" && !walk) {
			x.State = "closed"
		}
	}
}

// at sets the state of the defects at a point that fit.
func (d *defects) at(point, state string, fits func(*Defect) bool) {
	for _, x := range d.all {
		if x.Point == point && fits(x) {
			x.State = state
		}
	}
}

// retested notes a retest; gone says that the point is no more.
func (d *defects) retested(x *Defect, failed, gone bool) {
	switch {
	case !failed:
		x.State = "closed"
	case !gone:
		x.State = "open"
	}
}
