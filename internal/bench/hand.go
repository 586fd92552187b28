package bench

import (
	"cmp"
	"maps"
	"slices"

	"sootline"
)

// Hand is what is in hand: a device, the place it goes to, and what to do.
type Hand struct {
	Place  *Place // nil: a new place is made for the device
	Loop   sootline.LoopID
	Number int    // to be set; 0: none can be given
	Last   int    // the last number that it takes
	Type   string // empty: nobody said
	Modes  []Mode
	Device *sootline.BoxDevice // which of the box is meant; nil: any of the type, or there is no list
	Stands int                 // what the device carries: what was set or read back at the point, else the loop's unset number; 0: unknown
	Fresh  bool                // nobody looked: it is taken to carry the unset number, as from its box
}

// Hand gives what comes next: the first open place that was not skipped, else the
// first that was; without places left, the next device of the box, which gets a new
// place where the run has a loop for it. ok is false when nothing is left.
func (run *Run) Hand() (h Hand, ok bool) { return run.hand(slices.Clone(run.Places)) }

// HandFromBack gives the same from the last place on, so that two people share a
// run and meet in the middle.
func (run *Run) HandFromBack() (h Hand, ok bool) {
	places := slices.Clone(run.Places)
	slices.Reverse(places)
	return run.hand(places)
}

func (run *Run) hand(places []*Place) (Hand, bool) {
	if run.Said.First == sootline.DeviceFirst {
		if d := run.nextDevice(); d != nil {
			return run.HandOf(*d)
		}
	}
	if place := firstOpen(places); place != nil {
		return run.HandAt(place), true
	}
	if d := run.nextDevice(); d != nil {
		return run.HandOf(*d)
	}
	_, ok := run.NewLoop()
	if ok = ok && len(run.Said.Points) == 0 && len(run.Said.Box) == 0 && run.Closed == nil; ok {
		return run.HandOf(sootline.BoxDevice{})
	}
	return Hand{}, false
}

func firstOpen(places []*Place) *Place {
	var skipped *Place
	for _, place := range places {
		switch {
		case !place.Open() || place.SetElsewhere() != nil:
		case place.Skipped == nil:
			return place
		case skipped == nil:
			skipped = place
		}
	}
	return skipped
}

// nextDevice is the first device of the box that went nowhere yet.
func (run *Run) nextDevice() *sootline.BoxDevice {
	for _, d := range run.Box {
		if d.Place == nil && !d.Rejected {
			return &d.BoxDevice
		}
	}
	return nil
}

// HandAt gives what there is to do at a place, done or not.
func (run *Run) HandAt(place *Place) Hand {
	h := run.newHand(place.Loop, place.Number, place.Point.Type)
	h.Place, h.Modes = place, place.Modes
	h.Device = run.deviceFor(place)
	switch {
	case run.moved != nil:
		return run.handMoved(h)
	case place.Replaces: // what the unit before it carried says nothing of the new one
	case run.carriesAt(place.Point) != 0:
		h.Stands, h.Fresh = run.carriesAt(place.Point), false
	}
	return h
}

// handMoved gives the same where the device is moved from another point: it carries what
// is known of it there, and is of the type that it has there.
func (run *Run) handMoved(h Hand) Hand {
	h.Stands, h.Fresh = run.carriesAt(run.moved), false
	h.Device = &sootline.BoxDevice{Unit: run.UnitOf(run.moved), Type: run.moved.Type}
	return h
}

func (run *Run) newHand(loop sootline.LoopID, number int, typeName string) Hand {
	t := run.typed(typeName)
	h := Hand{Loop: loop, Number: number, Type: typeName, Modes: run.modes(&sootline.Point{Type: typeName})}
	if unset := run.register.Loop(loop).Unset; unset <= t.Shows {
		h.Stands, h.Fresh = unset, unset != 0
	}
	if number > 0 {
		h.Last = number + t.Width - 1
	}
	return h
}

// deviceFor is the device of the box that is meant for a place: the one of its
// serial, else the first of its type that no place asks for by serial.
func (run *Run) deviceFor(place *Place) *sootline.BoxDevice {
	if d := run.planned(place.Point); d != nil {
		return d
	}
	for _, d := range run.Box {
		if d.Place == nil && !d.Rejected && sameType(d.Type, place.Point.Type) && !run.asked(d) {
			return &d.BoxDevice
		}
	}
	return nil
}

// asked reports whether an open place asks for the device by its serial.
func (run *Run) asked(d *Boxed) bool { return run.placeOf(d.Serial) != nil }

// placeOf is the open place that asks for a device by its serial.
func (run *Run) placeOf(serial string) *Place {
	key := sootline.SerialKey(serial)
	if key == "" {
		return nil
	}
	for _, place := range run.Places {
		if place.Open() && !place.Replaces && sootline.SerialKey(run.UnitOf(place.Point).Serial) == key {
			return place
		}
	}
	return nil
}

// HandOf gives a device its place: the one that asks for its serial, else the first
// open one of its type, those that were skipped last; else a new one, where the run
// has a loop for it. ok is false where it has none.
func (run *Run) HandOf(d sootline.BoxDevice) (h Hand, ok bool) {
	d = run.Known(d)
	place := run.placeOf(d.Serial)
	if place == nil {
		place = run.openOfType(d.Type)
	}
	if place != nil {
		h = run.HandAt(place)
		h.Device, h.Type = &d, cmp.Or(h.Type, d.Type)
		return h, true
	}
	return run.HandNew(d)
}

// HandNew gives a device a new place; ok is false where the run has no loop for it.
func (run *Run) HandNew(d sootline.BoxDevice) (h Hand, ok bool) {
	d = run.Known(d)
	loop, ok := run.NewLoop()
	if !ok {
		return Hand{Device: &d, Type: d.Type}, false
	}
	h = run.newHand(loop, run.NextNumber(loop, d.Type), d.Type)
	h.Device = &d
	return h, true
}

// Known fills in from the list of the box what is not given of a device, and its type
// from where the log speaks of its serial.
func (run *Run) Known(d sootline.BoxDevice) sootline.BoxDevice {
	key := sootline.SerialKey(d.Serial)
	if key == "" {
		return d
	}
	for i := range run.Said.Box {
		if b := &run.Said.Box[i]; key == sootline.SerialKey(b.Serial) {
			d.Batch, d.Made, d.Type = cmp.Or(d.Batch, b.Batch), cmp.Or(d.Made, b.Made), cmp.Or(d.Type, b.Type)
			break
		}
	}
	d.Type = cmp.Or(d.Type, run.units[key].Type)
	return d
}

// openOfType is the first open place for a device of the type; where the type is
// not known, the first of all.
func (run *Run) openOfType(typeName string) *Place {
	var fits []*Place
	for _, place := range run.Places {
		own := run.planned(place.Point)
		if own == nil && (sootline.TypeKey(typeName) == "" || sameType(place.Point.Type, typeName) || place.Point.Type == "") {
			fits = append(fits, place)
		}
	}
	return firstOpen(fits)
}

func sameType(a, b string) bool { return sootline.TypeKey(a) == sootline.TypeKey(b) }

// TypeOf is the type of the device that was given: as typed, else as the list of the
// box says, else as its place wants; empty: nobody said.
func (run *Run) TypeOf(g Given) string {
	h := run.handGiven(g)
	return cmp.Or(g.Type, run.Known(sootline.BoxDevice{Unit: g.Unit}).Type, h.Type)
}

// NextHands gives what there is to do for so many new places of a type on a loop, in
// the order in which they would be made.
func (run *Run) NextHands(loop sootline.LoopID, typeName string, most int) []Hand {
	t := run.typed(typeName)
	taken := maps.Clone(run.assigned[run.rangeOf(loop, t)])
	var all []Hand
	for range most {
		number := run.next(loop, t)
		if number == 0 {
			break
		}
		all = append(all, run.newHand(loop, number, typeName))
		run.assigned.take(run.rangeOf(loop, t), number, t.Width)
	}
	run.assigned[run.rangeOf(loop, t)] = taken
	return all
}
