package bench

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"sootline"
)

// Facts are what other rooms know: how far a type can be set, and which numbers a
// loop refuses. A nil function refuses nothing.
type Facts struct {
	Most   func(typeName string) int                           // the highest number that can be set on a device of the type
	Shows  func(typeName string) int                           // the highest number at which a device of the type can stand at all
	Refuse func(loop sootline.LoopID, number, width int) error // why the loop does not take the number; nil: it does
}

// Mode is a setting that a device should have.
type Mode struct{ Name, Choice, Reason string }

// Run is a run at the bench as it stands.
type Run struct {
	*sootline.BenchRun
	Now      time.Time
	Places   []*Place
	Box      []*Boxed
	Types    map[string]*Type // by [sootline.TypeKey]
	Carriers []Carrier        // points of the site whose number is known or wanted
	Rejected []sootline.BenchRecord

	register *sootline.Register
	facts    Facts
	byPoint  map[sootline.ID]*Place
	serials  map[string][]held
	units    map[string]sootline.UnitSeen // by serial: of which type they are
	assigned numbers
	alone    bool            // it is a replacement on site
	moved    *sootline.Point // where the device comes from that is moved there; nil: from elsewhere
}

// Place is a place of the run: a point, and what is to be done there.
type Place struct {
	Point    *sootline.Point
	Loop     sootline.LoopID
	Number   int  // to be set; 0: none can be given
	Assigned bool // by the run, since none is wanted
	Modes    []Mode
	Done     []sootline.BenchRecord // that stand, in order; more than one: that many devices were set for it
	Skipped  *sootline.BenchRecord  // the latest; nil: it was not, or was done since
	Replaces bool                   // a unit was there and was read: another one is written down as its replacement
	Gone     bool                   // the point was removed since its device was set

	elsewhere []Elsewhere // what other runs set there, in order
}

// Open reports whether no device was set for the place yet.
func (p *Place) Open() bool { return len(p.Done) == 0 }

// State is how the place stands, in a word: what is left there, or that it is done.
func (p *Place) State() string {
	switch {
	case p.Gone:
		return "removed"
	case !p.Open():
		return string(sootline.BenchDone)
	case p.Skipped != nil:
		return string(sootline.BenchSkipped)
	}
	return "open"
}

// Boxed is a device on the list of the box, and what became of it.
type Boxed struct {
	sootline.BoxDevice
	Place    *Place // where it went; nil: nowhere yet
	Rejected bool
	Twice    bool // its serial is on the list more than once
}

// held is where a serial was seen.
type held struct {
	point    *sootline.Point // nil: rejected
	place    *Place          // nil: the point is no place of the run
	rejected *sootline.BenchRecord
}

// Of gives the run of that id as the register tells of it, or nil.
func Of(r *sootline.Register, id sootline.ID, now time.Time, facts Facts) *Run {
	if said := r.BenchRun(id); said != nil {
		return of(r, said, now, facts)
	}
	return nil
}

// Alone gives a run of one place that no log tells of: the device there is replaced
// on site, with the same checks as at the bench; from is the point that the device is
// moved from, nil where it comes from elsewhere. It is nil for a point that is not there.
func Alone(r *sootline.Register, point sootline.ID, from *sootline.Point, now time.Time, facts Facts) *Run {
	if p := r.Point(point); p != nil && p.Removed != nil {
		return nil
	}
	run := of(r, &sootline.BenchRun{Said: sootline.Bench{State: sootline.BenchOpened, Points: []sootline.ID{point}}}, now, facts)
	if len(run.Places) == 0 {
		return nil
	}
	run.Places[0].Replaces, run.alone, run.moved = true, true, from
	return run
}

func of(r *sootline.Register, said *sootline.BenchRun, now time.Time, facts Facts) *Run {
	run := &Run{
		BenchRun: said, Now: now, Types: map[string]*Type{}, register: r, facts: facts,
		byPoint: map[sootline.ID]*Place{}, serials: map[string][]held{}, units: r.UnitsSeen(),
	}
	run.places()
	run.records()
	run.others()
	run.types()
	run.carriers()
	run.number()
	run.seen()
	run.box()
	return run
}

// places makes the places of the run: those of its opening, in its order, then
// those that came in its course.
func (run *Run) places() {
	for _, id := range run.Said.Points {
		run.place(id)
	}
	for i := range run.Records {
		if rec := &run.Records[i]; !rec.Entry.Point.Zero() {
			run.place(rec.Entry.Point)
		}
	}
}

// place finds a place of the run or adds it; nil where the point is no more, and no
// device was set for it that went nowhere else.
func (run *Run) place(id sootline.ID) *Place {
	p := run.register.Point(id)
	if p == nil || !p.Placed || p.Removed != nil && !run.strands(id) {
		return nil
	}
	if run.byPoint[id] == nil {
		place := &Place{Point: p, Loop: p.LoopID(), Number: run.meant(p), Modes: run.modes(p), Gone: p.Removed != nil}
		run.byPoint[id] = place
		run.Places = append(run.Places, place)
	}
	return run.byPoint[id]
}

// modes are the settings wanted of a point.
func (run *Run) modes(p *sootline.Point) []Mode {
	var modes []Mode
	for _, w := range run.register.WishesOf(p) {
		modes = append(modes, Mode{w.Name, w.Choice, w.Reason})
	}
	return modes
}

// records files what was done with the places.
func (run *Run) records() {
	for i, rec := range run.Records {
		if rec.Outcome == sootline.BenchRejected {
			run.Rejected = append(run.Rejected, rec)
			continue
		}
		place := run.byPoint[rec.Entry.Point]
		switch {
		case place == nil:
		case place.Gone && (rec.Outcome != sootline.BenchDone || run.movedOn(i)):
		case rec.Outcome == sootline.BenchSkipped && place.Open():
			place.Skipped = &rec
		case rec.Outcome == sootline.BenchDone:
			place.Done, place.Skipped = append(place.Done, rec), nil
		}
	}
	for _, place := range run.Places {
		place.Replaces = place.Open() && len(place.Point.SinceReset()) > 0
	}
}

// planned gives the device of the box that is meant for a point, by its serial.
func (run *Run) planned(p *sootline.Point) *sootline.BoxDevice {
	key := sootline.SerialKey(run.UnitOf(p).Serial)
	for i := range run.Said.Box {
		if key != "" && sootline.SerialKey(run.Said.Box[i].Serial) == key {
			return &run.Said.Box[i]
		}
	}
	return nil
}

// seen notes where each serial was seen: at points, and among the rejected.
func (run *Run) seen() {
	note := func(serial string, h held) {
		if key := sootline.SerialKey(serial); key != "" {
			run.serials[key] = append(run.serials[key], h)
		}
	}
	for _, p := range run.register.Points() {
		note(run.UnitOf(p).Serial, held{point: p, place: run.byPoint[p.ID]})
	}
	for _, place := range run.Places {
		if place.Gone {
			note(run.UnitOf(place.Point).Serial, held{point: place.Point, place: place})
		}
	}
	for _, place := range run.Places {
		for _, serial := range run.setFor(place) {
			if sootline.SerialKey(serial) != sootline.SerialKey(run.UnitOf(place.Point).Serial) {
				note(serial, held{point: place.Point, place: place})
			}
		}
	}
	for i := range run.Rejected {
		note(run.Rejected[i].Serial, held{rejected: &run.Rejected[i]})
	}
}

// box says of each device on the list what became of it.
func (run *Run) box() {
	count := map[string]int{}
	for _, d := range run.Said.Box {
		count[sootline.SerialKey(d.Serial)]++
	}
	for _, d := range run.Said.Box {
		key := sootline.SerialKey(d.Serial)
		boxed := &Boxed{BoxDevice: d, Twice: key != "" && count[key] > 1}
		for _, h := range run.serials[key] {
			if h.place != nil && !h.place.Open() && h.place.holds(key) {
				boxed.Place = h.place
			}
			boxed.Rejected = boxed.Rejected || h.rejected != nil
		}
		run.Box = append(run.Box, boxed)
	}
}

// holds reports whether the device of a serial was set for the place.
func (p *Place) holds(key string) bool {
	return slices.ContainsFunc(p.Done, func(d sootline.BenchRecord) bool { return sootline.SerialKey(d.Serial) == key })
}

// Place gives the place of a point in the run, or nil.
func (run *Run) Place(point sootline.ID) *Place { return run.byPoint[point] }

// Where says where a place is, in few words.
func (p *Place) Where() string {
	return strings.TrimSpace(cmp.Or(p.Point.Location, p.Point.Area, p.Name()))
}

// Name is what sentences call the place: its reference with the number to be set.
func (p *Place) Name() string {
	return sootline.Ref{Panel: p.Loop.Panel, Loop: p.Loop.Name, Number: cmp.Or(p.Number, p.Point.Ref().Number)}.String()
}
