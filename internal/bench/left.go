package bench

import (
	"cmp"
	"slices"
	"strings"

	"sootline"
)

// LeftKind says what is left of a run.
type LeftKind string

// What can be left.
const (
	LeftOpen     LeftKind = "open"     // a place without device
	LeftSkipped  LeftKind = "skipped"  // likewise, and somebody skipped it
	LeftTwice    LeftKind = "twice"    // several devices were set for one place
	LeftNumber   LeftKind = "number"   // two points carry one number
	LeftSerial   LeftKind = "serial"   // one device at two places
	LeftOther    LeftKind = "other"    // it carries another number than it should, or nobody says which
	LeftMode     LeftKind = "mode"     // a setting is not as wanted
	LeftUnread   LeftKind = "unread"   // a detector without a look
	LeftOutside  LeftKind = "outside"  // its value is outside its band
	LeftRejected LeftKind = "rejected" // a device that was rejected
	LeftUnused   LeftKind = "unused"   // a device of the box that went nowhere
	LeftListed   LeftKind = "listed"   // two devices of the list have one serial
)

// Left is one thing that is left of a run.
type Left struct {
	Kind   LeftKind
	Place  *Place // nil: it is about a device
	Serial string
	Other  *sootline.Point // the other point, where it is about two
	Text   string
}

// Left lists what is left of the run: places in their order, then devices.
func (run *Run) Left() []Left {
	var all []Left
	for _, place := range run.Places {
		all = append(all, run.leftAt(place)...)
	}
	return append(all, run.leftInBox()...)
}

func (run *Run) leftAt(p *Place) []Left {
	var all []Left
	add := func(kind LeftKind, serial string, other *sootline.Point, text string) {
		all = append(all, Left{kind, p, serial, other, text})
	}
	switch {
	case p.Open() && p.Skipped != nil:
		add(LeftSkipped, "", nil, p.Name()+" was skipped"+because(p.Skipped.Reason))
		return all
	case p.Open():
		add(LeftOpen, "", nil, p.Name()+" has no device yet")
		return all
	}
	if len(p.Done) > 1 {
		var names []string
		for _, d := range p.Done {
			names = append(names, device(d.Serial)+" by "+d.Entry.By)
		}
		add(LeftTwice, "", nil, p.Name()+" was done "+whole(len(p.Done))+" times: "+strings.Join(names, ", ")+"; take one of them back")
		leftTwice(p, add)
	}
	run.leftOfNumber(p, add)
	run.leftOfDevice(p, add)
	return all
}

// leftTwice says which serial was given for a place more than once: the same device
// again, or a wrong label.
func leftTwice(p *Place, add adder) {
	seen := map[string]bool{}
	for _, d := range p.Done {
		key := sootline.SerialKey(d.Serial)
		if key != "" && seen[key] {
			add(LeftSerial, d.Serial, p.Point, "device "+d.Serial+" was set for "+p.Name()+" more than once")
		}
		seen[key] = true
	}
}

type adder func(kind LeftKind, serial string, other *sootline.Point, text string)

// leftOfNumber says what is left about the numbers that the devices carry.
func (run *Run) leftOfNumber(p *Place, add adder) {
	wanted := run.wanted(p.Point)
	for i := range p.Done {
		carried := run.Carries(p, &p.Done[i])
		switch {
		case carried == 0:
			add(LeftOther, p.Done[i].Serial, nil, "nobody says which number was set at "+p.Name())
			continue
		case wanted != 0 && carried != wanted:
			add(LeftOther, p.Done[i].Serial, nil, p.Name()+" carries "+whole(carried)+", and "+whole(wanted)+" is wanted")
		}
		run.leftOfCarried(p, carried, add)
	}
}

// leftOfCarried says which devices at other points carry the number too.
func (run *Run) leftOfCarried(p *Place, carried int, add adder) {
	t := run.typed(p.Point.Type)
	id := run.rangeOf(p.Loop, t)
	for i := range run.Carriers {
		c := &run.Carriers[i]
		if c.Point != p.Point && c.Carries != 0 && c.Carries < carried+t.Width && carried < c.Carries+max(c.Width, 1) &&
			run.rangeOf(c.Loop, run.typed(c.Point.Type)) == id {
			add(LeftNumber, "", c.Point, p.Name()+" carries number "+whole(carried)+", and so does "+run.NameOf(c))
		}
	}
}

// leftOfDevice says what is left about the device itself.
func (run *Run) leftOfDevice(p *Place, add adder) {
	for _, d := range p.Done {
		key := sootline.SerialKey(d.Serial)
		for _, h := range run.serials[key] {
			switch {
			case h.rejected != nil:
				add(LeftSerial, d.Serial, nil, "device "+d.Serial+" was set for "+p.Name()+", and was rejected"+because(h.rejected.Reason))
			case h.point != p.Point:
				add(LeftSerial, d.Serial, h.point, "device "+d.Serial+" is written down at "+p.Name()+" and at "+h.point.Ref().String())
			}
		}
	}
	for _, m := range p.Modes {
		has, looked := "", false
		for name, choice := range p.Point.Has {
			if sameType(name, m.Name) {
				has, looked = choice, true
			}
		}
		if looked && !strings.EqualFold(strings.TrimSpace(has), strings.TrimSpace(m.Choice)) {
			add(LeftMode, "", nil, p.Name()+": "+m.Name+" is "+has+", and "+m.Choice+" is wanted")
		}
	}
	run.leftOfValue(p, add)
}

func (run *Run) leftOfValue(p *Place, add adder) {
	t := run.typed(p.Point.Type)
	reading := p.Reading()
	if reading == nil {
		if t.Judged {
			add(LeftUnread, "", nil, p.Name()+" has no look at its resting value")
		}
		return
	}
	if v := run.ValueAt(p); v.State == ValueAbove || v.State == ValueBelow {
		add(LeftOutside, "", nil, p.Name()+" rests at "+t.amount(v.Value)+", "+v.State+" its band")
	}
}

// WidthAt is how many numbers the device of a place takes.
func (run *Run) WidthAt(p *Place) int { return run.typed(p.Point.Type).Width }

// ValueAt judges the look that was written with the place's device.
func (run *Run) ValueAt(p *Place) Value {
	if p.Open() {
		return Value{State: ValueNone}
	}
	return run.ValueOf(p, &p.Done[len(p.Done)-1])
}

// ValueOf judges the look that was written with a device of the place.
func (run *Run) ValueOf(p *Place, rec *sootline.BenchRecord) Value {
	reading := p.ReadingOf(rec)
	if reading == nil {
		return Value{State: ValueNone}
	}
	l := Looked{Hand: Hand{Place: p, Modes: p.Modes}}
	silent := func(Code, Grave, string) {}
	return run.lookAtValue(Given{Samples: reading.Samples, Modes: p.Point.Has}, &l, run.typed(p.Point.Type), silent)
}

// leftInBox lists the rejected, the unused, and serials that the list has twice.
func (run *Run) leftInBox() []Left {
	var all []Left
	for _, rec := range run.Rejected {
		all = append(all, Left{LeftRejected, run.byPoint[rec.Entry.Point], rec.Serial, nil, device(rec.Serial) + " was rejected" + because(rec.Reason)})
	}
	told := map[string]bool{}
	for _, d := range run.Box {
		key := sootline.SerialKey(d.Serial)
		if d.Twice && !told[key] {
			told[key] = true
			all = append(all, Left{LeftListed, nil, d.Serial, nil, "serial " + d.Serial + " stands on the list of the box " + whole(run.listed(key)) + " times"})
		}
		if d.Place == nil && !d.Rejected && (!d.Twice || !run.usedOnce(key)) {
			all = append(all, Left{LeftUnused, nil, d.Serial, nil, cmp.Or(labelled("device ", d.Serial), labelled("a device of type ", d.Type), "a device") + " of the box "+run.unused()})
		}
	}
	return all
}

// unused says how it stands with a device of the box that has no place.
func (run *Run) unused() string {
	if run.Closed == nil {
		return "is not set yet"
	}
	return "was not set in this run"
}

// usedOnce reports whether a device of the serial went anywhere.
func (run *Run) usedOnce(key string) bool {
	return slices.ContainsFunc(run.Box, func(d *Boxed) bool { return sootline.SerialKey(d.Serial) == key && d.Place != nil })
}

func labelled(label, text string) string {
	if text == "" {
		return ""
	}
	return label + text
}

// Unfinished lists of what is left what somebody may still do: places without
// device, and what contradicts itself or what is wanted.
func (run *Run) Unfinished() []Left {
	return slices.DeleteFunc(run.Left(), func(l Left) bool {
		return l.Kind == LeftRejected || l.Kind == LeftUnused || l.Kind == LeftListed
	})
}
