package bench

import (
	"cmp"

	"sootline"
)

// Carrier is a point of the site, with the number that its device is known to
// carry, and the one that is wanted.
type Carrier struct {
	Point   *sootline.Point
	Loop    sootline.LoopID
	Modules bool
	Width   int
	Carries int                   // set, or read back; 0: nobody said so
	Wanted  int                   // or, where nothing is wanted, as a list says that it stands
	Device  *sootline.BenchRecord // a device of the run; nil: what the register says of the point
}

// numbers are the numbers in use on the loops: by loop and range.
type numbers map[rangeID]map[int]bool

type rangeID struct {
	sootline.LoopID
	modules bool
}

func (n numbers) take(id rangeID, first, width int) {
	if first == 0 {
		return // no number is none in use, however many the device takes
	}
	if n[id] == nil {
		n[id] = map[int]bool{}
	}
	for k := first; k < first+max(width, 1); k++ {
		n[id][k] = true
	}
}

func (n numbers) free(id rangeID, first, width int) bool {
	for k := first; k < first+max(width, 1); k++ {
		if n[id][k] {
			return false
		}
	}
	return true
}

// rangeOf is the range whose numbers a device of the type takes on the loop.
func (run *Run) rangeOf(loop sootline.LoopID, t *Type) rangeID {
	return rangeID{loop, t.Modules && run.register.Loop(loop).Separate}
}

// carriers lists the points of the site that have a number.
func (run *Run) carriers() {
	for _, p := range run.register.Points() {
		t := run.typed(p.Type)
		place := run.byPoint[p.ID]
		if place != nil && !place.Open() {
			run.devicesOf(place, t)
			continue
		}
		c := Carrier{Point: p, Loop: p.LoopID(), Modules: t.Modules, Width: t.Width, Carries: carries(p), Wanted: run.meant(p)}
		if c.Carries == run.register.Loop(c.Loop).Unset {
			c.Carries = 0 // many may carry it, before anybody sets them
		}
		if c.Carries != 0 || c.Wanted != 0 {
			run.Carriers = append(run.Carriers, c)
		}
	}
}

// devicesOf lists the devices that were set for a place: where there are several, each
// of them carries a number.
func (run *Run) devicesOf(place *Place, t *Type) {
	for i := range place.Done {
		rec := &place.Done[i]
		c := Carrier{Point: place.Point, Loop: place.Loop, Modules: t.Modules, Width: t.Width, Carries: run.Carries(place, rec), Wanted: run.meant(place.Point), Device: rec}
		if c.Carries != 0 || c.Wanted != 0 {
			run.Carriers = append(run.Carriers, c)
		}
	}
}

// Carries is the number that a device of a place carries: by what was written with
// it, else, of the only one, by what the register says of the point; 0: nobody said.
func (run *Run) Carries(place *Place, rec *sootline.BenchRecord) int {
	if n := run.register.Carries(rec); n != 0 || len(place.Done) > 1 {
		return n
	}
	return carries(place.Point)
}

// carries is the number that the device at a point is known to carry: what was set
// or read back. What a list says is not known.
func carries(p *sootline.Point) int {
	if p.Stands.As == sootline.AsListed {
		return 0
	}
	return p.Stands.Number
}

// wanted is the number that a point should have. The one before anybody sets it is
// nobody's wish: old logs have it there from lists of how things stood.
func (run *Run) wanted(p *sootline.Point) int {
	if p.Wanted == run.register.Loop(p.LoopID()).Unset {
		return 0
	}
	return p.Wanted
}

// Wanted is the number that a point should have; 0: none is wanted.
func (run *Run) Wanted(p *sootline.Point) int { return run.wanted(p) }

// meant is the number that a point is to have: the one wanted, else the one at which
// it stands, which nobody wants to change; 0: it has none yet.
func (run *Run) meant(p *sootline.Point) int {
	wanted, stands := run.wanted(p), p.Stands.Number
	if stands == run.register.Loop(p.LoopID()).Unset {
		stands = 0
	}
	return cmp.Or(wanted, stands)
}

// number gives the places without a wanted number the next free ones, in their
// order, where the run says from which on: what others should have or are known to
// carry is not free.
func (run *Run) number() {
	run.assigned = numbers{}
	for _, c := range run.Carriers {
		id := run.rangeOf(c.Loop, run.typed(c.Point.Type))
		run.assigned.take(id, c.Wanted, c.Width)
		run.assigned.take(id, c.Carries, c.Width)
	}
	for _, place := range run.Places {
		if place.Number != 0 || !place.Open() || run.Said.From == 0 {
			place.Number = cmp.Or(place.Number, carries(place.Point))
			continue
		}
		t := run.typed(place.Point.Type)
		place.Assigned, place.Number = true, run.next(place.Loop, t)
		run.assigned.take(run.rangeOf(place.Loop, t), place.Number, t.Width)
	}
}

// next is the first free number for a device of the type from where the run
// begins; 0: there is none.
func (run *Run) next(loop sootline.LoopID, t *Type) int {
	facts := run.register.Loop(loop)
	id := run.rangeOf(loop, t)
	for n := max(run.Said.From, facts.First, 1); n+t.Width-1 <= min(facts.Last, t.Most); n++ {
		if run.assigned.free(id, n, t.Width) && run.refuses(loop, n, t) == "" {
			return n
		}
	}
	return 0
}

// NextNumber is the number that a device of the type would get on a loop beside the
// places of the run; 0: there is none.
func (run *Run) NextNumber(loop sootline.LoopID, typeName string) int {
	return run.next(loop, run.typed(typeName))
}

// refuses says why a device of the type cannot carry the number on the loop; empty:
// it can.
func (run *Run) refuses(loop sootline.LoopID, number int, t *Type) string {
	if number > t.Most {
		return "number " + whole(number) + " cannot be set on type " + t.Name + ", which reaches " + whole(t.Most)
	}
	if run.facts.Refuse == nil {
		return ""
	}
	if err := run.facts.Refuse(loop, number, t.Width); err != nil {
		return err.Error()
	}
	return ""
}

// NewLoop is the loop of a device that has no place yet: the run's own, else the
// only one of its places.
func (run *Run) NewLoop() (sootline.LoopID, bool) {
	if run.Said.Loop != "" {
		return sootline.LoopID{Panel: run.Said.Panel, Name: run.Said.Loop}, true
	}
	var only sootline.LoopID
	for _, place := range run.Places {
		if only != (sootline.LoopID{}) && only != place.Loop {
			return sootline.LoopID{}, false
		}
		only = place.Loop
	}
	return only, only != (sootline.LoopID{})
}
