package bench

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"sootline"
)

// Given is what was typed of the device in hand. Zero parts were not typed.
type Given struct {
	Point sootline.ID     // the place it goes to; zero: a new one
	Loop  sootline.LoopID // of a new place; zero: the run's
	sootline.Unit
	Type    string
	Number  int // of a place without a planned number: the one it is to have; 0: the next free one
	Read    int // the number read back
	How     sootline.Means
	Modes   map[string]string // settings found
	Samples []float64         // of its resting value, in the order taken
	Seconds float64           // from the first sample to the last; 0: unknown
}

// Code names a remark.
type Code string

// The codes.
const (
	SerialSeen       Code = "serial-seen"
	SerialMissing    Code = "serial-missing"
	NothingGiven     Code = "nothing-given" // no word of the device at all
	SerialOther      Code = "serial-other"  // another device is planned for the place
	NumberTaken      Code = "number-taken"
	NumberImpossible Code = "number-impossible"
	NumberOther      Code = "number-other" // read back is not what was to be set
	ReadMissing      Code = "read-missing" // the number was not read back
	NoNumber         Code = "no-number"
	TypeOther        Code = "type-other"
	SkippedBefore    Code = "skipped-before"
	DoneBefore       Code = "done-before"
	NotOnList        Code = "not-on-list"
	ModeOther        Code = "mode-other"
	ValueImpossible  Code = "value-impossible"
	OutsideBand      Code = "outside-band"
	Settling         Code = "settling"
	Unsteady         Code = "unsteady"
	UnlikeBox        Code = "unlike-box"
	RestsDirty       Code = "rests-dirty"
	SecondLook       Code = "second-look"
	NoBand           Code = "no-band"
)

// Grave says what a remark asks of whoever reads it.
type Grave string

// How grave a remark is.
const (
	Refused Grave = "refused" // it cannot be, and is not written
	Asked   Grave = "asked"   // it may be a slip: it is written when somebody is certain
	Told    Grave = "told"    // good to know
)

// Remark is one thing to say of what was typed, in a sentence.
type Remark struct {
	Code  Code
	Grave Grave
	Text  string
}

// Looked is what is to be said of what was typed, the gravest first.
type Looked struct {
	Hand    Hand // with the number that it comes to
	Value   Value
	Remarks []Remark
}

// Worst gives the remarks of that graveness.
func (l *Looked) Worst(grave Grave) []Remark {
	var all []Remark
	for _, r := range l.Remarks {
		if r.Grave == grave {
			all = append(all, r)
		}
	}
	return all
}

// Look says what is to be said of what was typed of the device in hand.
func (run *Run) Look(g Given) Looked {
	l := Looked{Hand: run.handGiven(g)}
	t := run.typed(cmp.Or(g.Type, run.Known(sootline.BoxDevice{Unit: g.Unit}).Type, l.Hand.Type))
	say := func(code Code, grave Grave, text string) {
		l.Remarks = append(l.Remarks, Remark{code, grave, text})
	}
	run.lookAtPlace(&l, say)
	if g.silent() {
		say(NothingGiven, Asked, "nothing was said of the device: no serial, no number read back, no setting and no value")
	}
	run.lookAtUnit(g, &l, t, say)
	run.lookAtNumber(g, &l, t, say)
	lookAtModes(g, &l, say)
	l.Value = run.lookAtValue(g, &l, t, say)
	rank := map[Grave]int{Refused: 0, Asked: 1, Told: 2}
	slices.SortStableFunc(l.Remarks, func(a, b Remark) int { return cmp.Compare(rank[a.Grave], rank[b.Grave]) })
	return l
}

// silent reports whether nothing was said by which the device could be told from another.
func (g *Given) silent() bool {
	return sootline.SerialKey(g.Serial) == "" && g.Read == 0 && len(g.Modes) == 0 && len(g.Samples) == 0
}

// handGiven is the hand that what was typed is about.
func (run *Run) handGiven(g Given) Hand {
	if place := run.byPoint[g.Point]; place != nil {
		h := run.HandAt(place)
		switch {
		case g.Number != 0 && (place.Assigned || place.Number == 0):
			h.Number = g.Number
		case place.Number == 0:
			h.Number = g.Read // nothing was planned, and that is what it carries
		}
		return h
	}
	loop := g.Loop
	if loop == (sootline.LoopID{}) {
		loop, _ = run.NewLoop()
	}
	d := run.Known(sootline.BoxDevice{Unit: g.Unit, Type: g.Type})
	number := g.Number
	if number == 0 && loop != (sootline.LoopID{}) {
		number = run.NextNumber(loop, d.Type)
	}
	return run.newHand(loop, number, d.Type)
}

type sayer func(code Code, grave Grave, text string)

func (run *Run) lookAtPlace(l *Looked, say sayer) {
	place := l.Hand.Place
	switch {
	case place == nil:
	case !place.Open():
		say(DoneBefore, Refused, place.Name()+" has its device already, "+device(place.Done[len(place.Done)-1].Serial)+"; take that one back first")
	case place.SetElsewhere() != nil:
		e := place.SetElsewhere()
		say(DoneBefore, Refused, place.Name()+" has its device already, "+device(e.Record.Serial)+", by "+e.Name()+"; take that one back there first")
	case place.Skipped != nil:
		say(SkippedBefore, Told, "this place was skipped before"+because(place.Skipped.Reason))
	}
}

func because(reason string) string {
	if reason == "" {
		return ""
	}
	return ": " + reason
}

// device names a device by its serial.
func device(serial string) string {
	if serial == "" {
		return "a device without serial"
	}
	return "device " + serial
}

// lookAtUnit looks at the serial and the type.
func (run *Run) lookAtUnit(g Given, l *Looked, t *Type, say sayer) {
	key := sootline.SerialKey(g.Serial)
	switch {
	case key == "" && run.listsSerials():
		say(SerialMissing, Asked, "no serial was given, and the list of the box has serials")
	case key == "" && run.outgoing(l) != "":
		say(SerialMissing, Asked, "no serial was given, and device "+run.outgoing(l)+" is written down there")
	case key == "":
		say(SerialMissing, Told, "no serial was given")
	default:
		run.lookAtSerial(g.Serial, key, l, say)
	}
	planned := l.Hand.Type
	if planned != "" && t.Name != "" && !sameType(planned, t.Name) {
		say(TypeOther, Asked, "this device is of type "+t.Name+", and the place is for type "+planned)
	}
}

// outgoing is the serial of the unit that is replaced; empty: there is none, or nobody
// knows it.
func (run *Run) outgoing(l *Looked) string {
	if place := l.Hand.Place; place != nil && place.Replaces {
		return run.UnitOf(place.Point).Serial
	}
	return ""
}

func (run *Run) listsSerials() bool {
	return slices.ContainsFunc(run.Said.Box, func(d sootline.BoxDevice) bool { return d.Serial != "" })
}

func (run *Run) lookAtSerial(serial, key string, l *Looked, say sayer) {
	seen := run.serials[key]
	for _, h := range seen {
		switch here := l.Hand.Place; {
		case h.rejected != nil:
			say(SerialSeen, Asked, "device "+serial+" was rejected before"+because(h.rejected.Reason))
		case here != nil && h.point == here.Point && run.alone:
			say(SerialSeen, Refused, "device "+serial+" is the one that is there already")
		case here != nil && h.point == here.Point || run.moved != nil && h.point == run.moved:
		case h.place != nil && h.place.Gone:
			say(SerialSeen, Asked, "device "+serial+" was set for "+h.place.Name()+", which was removed since")
		case h.place != nil && h.place.Open() && h.place.SetElsewhere() != nil:
			say(SerialSeen, Refused, "device "+serial+" was set for "+h.place.Name()+" already, by "+h.place.SetElsewhere().Name())
		case h.place != nil && !h.place.Open():
			say(SerialSeen, Refused, "device "+serial+" was set for "+h.place.Name()+" already")
		case h.place != nil:
			say(SerialSeen, Asked, "device "+serial+" is meant for "+h.place.Name())
		default:
			say(SerialSeen, Asked, "device "+serial+" is written down at "+h.point.Ref().String()+", which is no place of this run")
		}
	}
	if here := l.Hand.Place; here != nil && here.Open() && !here.Replaces {
		if planned := run.UnitOf(here.Point).Serial; planned != "" && sootline.SerialKey(planned) != key {
			say(SerialOther, Asked, "the place is planned for device "+planned+", and this one is "+serial)
		}
	}
	listed := run.listed(key)
	switch {
	case listed > 1:
		say(SerialSeen, Asked, "serial "+serial+" stands on the list of the box "+whole(listed)+" times: compare the labels")
	case listed == 0 && run.listsSerials():
		say(NotOnList, Asked, "device "+serial+" is not on the list of the box")
	}
}

// whole writes a whole number.
func whole(n int) string { return strconv.Itoa(n) }

func (run *Run) listed(key string) int {
	n := 0
	for i := range run.Said.Box {
		if sootline.SerialKey(run.Said.Box[i].Serial) == key {
			n++
		}
	}
	return n
}

// lookAtNumber looks at the number that is to be set, and at the one read back.
func (run *Run) lookAtNumber(g Given, l *Looked, t *Type, say sayer) {
	h := &l.Hand
	if h.Number == 0 {
		say(NoNumber, Refused, "there is no number for this device: none is planned, and none was given")
		return
	}
	h.Last = h.Number + t.Width - 1
	if why := run.refuses(h.Loop, h.Number, t); why != "" {
		say(NumberImpossible, Refused, why)
	}
	if g.Read < 0 || g.Read > highest {
		say(NumberImpossible, Refused, "a number read back lies between 1 and "+whole(highest)+", and this is "+whole(g.Read))
		return
	}
	if g.Read == 0 {
		say(ReadMissing, Told, "its number was not read back")
	}
	carried := cmp.Or(g.Read, h.Number)
	if unset := run.register.Loop(h.Loop).Unset; carried != h.Number && carried == unset {
		say(NumberOther, Asked, "it still answers to "+whole(unset)+", the number before anybody sets it; "+whole(h.Number)+" was to be set")
	} else if carried != h.Number {
		say(NumberOther, Asked, "it answers to "+whole(carried)+", and "+whole(h.Number)+" was to be set")
	}
	run.lookAtTaken(carried, l, t, say)
}

// lookAtTaken says which other point carries one of the numbers, or should.
func (run *Run) lookAtTaken(first int, l *Looked, t *Type, say sayer) {
	id := run.rangeOf(l.Hand.Loop, t)
	overlaps := func(n, width int) bool { return n != 0 && n < first+t.Width && first < n+max(width, 1) }
	for i := range run.Carriers {
		c := &run.Carriers[i]
		if l.Hand.Place != nil && c.Point == l.Hand.Place.Point || run.rangeOf(c.Loop, run.typed(c.Point.Type)) != id {
			continue
		}
		if run.moved != nil && c.Point == run.moved {
			continue // it is the device itself
		}
		name, stays := run.NameOf(c), c.Wanted == 0 || overlaps(c.Wanted, c.Width)
		switch {
		case c.Gone && overlaps(c.Carries, c.Width):
			say(NumberTaken, Asked, "number "+whole(c.Carries)+" was set on "+name)
		case c.Gone:
		case overlaps(c.Carries, c.Width) && (stays || c.Device != nil):
			say(NumberTaken, Refused, "number "+whole(c.Carries)+" is set already on "+name)
		case overlaps(c.Carries, c.Width):
			say(NumberTaken, Asked, "number "+whole(c.Carries)+" is still set on "+name+", which is to have "+whole(c.Wanted))
		case overlaps(c.Wanted, c.Width):
			say(NumberTaken, Asked, "number "+whole(c.Wanted)+" is meant for "+name)
		}
	}
}

// NameOf names a point in a sentence: its reference, where it is, and its device.
func (run *Run) NameOf(c *Carrier) string {
	where := cmp.Or(c.Point.Location, c.Point.Area)
	name := c.Point.Ref().String()
	if where != "" {
		name += " (" + where + ")"
	}
	serial := run.UnitOf(c.Point).Serial
	if c.Device != nil {
		serial = c.Device.Serial
	}
	if serial != "" {
		name += ", device " + serial
	}
	if c.Gone {
		name += ", removed since"
	}
	return name
}

// lookAtModes compares what was found with what is wanted; a mode that nobody
// looked at is told of where something else was found.
func lookAtModes(g Given, l *Looked, say sayer) {
	found := map[string]string{}
	for name, choice := range g.Modes {
		found[sootline.TypeKey(name)] = choice
	}
	for _, m := range l.Hand.Modes {
		has, looked := found[sootline.TypeKey(m.Name)]
		if looked && !strings.EqualFold(strings.TrimSpace(has), strings.TrimSpace(m.Choice)) {
			say(ModeOther, Asked, m.Name+" is "+has+", and "+m.Choice+" is wanted"+because(m.Reason))
		}
	}
}

// Forgive leaves out what was asked or told under a code, where it is answered
// already; what was refused stays.
func (l *Looked) Forgive(code Code) {
	l.Remarks = slices.DeleteFunc(l.Remarks, func(r Remark) bool { return r.Code == code && r.Grave != Refused })
}
