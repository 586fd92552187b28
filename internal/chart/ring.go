package chart

import (
	"fmt"
	"slices"
	"strings"
)

// Ring is a loop as it lies: its points in cable order, the panel at the top, OUT
// to the right and IN back from the left. Distances are not to scale.
type Ring struct {
	Title  string
	Points []RingPoint // in cable order; those of a spur follow the point at which it leaves
}

// RingPoint is a point of a loop.
type RingPoint struct {
	Label    string // short, beside the sign: 073
	Title    string // tooltip: what it is, where, how it stands
	Href     string // of its page; nothing: no link
	Kind     Kind
	Standing Standing
	Isolator bool   // it parts the loop towards a short; one of kind IsolatorKind does anyway
	Spur     string // name of the spur that it is on; nothing: it is on the ring
}

// Kind is what a device does; each has a form of its own.
type Kind string

// The kinds, in the words of type sheets.
const (
	Smoke        Kind = "smoke"
	Heat         Kind = "heat"
	Multi        Kind = "multi"
	Gas          Kind = "gas"
	Flame        Kind = "flame"
	CallPoint    Kind = "call point"
	Sounder      Kind = "sounder"
	Beacon       Kind = "beacon"
	Module       Kind = "module"
	IsolatorKind Kind = "isolator"
	Other        Kind = "other"
)

func (k Kind) form() Form {
	switch k {
	case Smoke:
		return Circle
	case Heat:
		return Triangle
	case Multi:
		return Hexagon
	case Gas:
		return Diamond
	case Flame:
		return Star
	case CallPoint:
		return Square
	case Sounder:
		return Horn
	case Beacon:
		return Dome
	case Module:
		return Slab
	case IsolatorKind:
		return Bar
	}
	return Plus
}

// Standing is how a point stands: the classes [Good], [Soon], [Out] and [Unknown]
// of its sign, which differ in their shade.
type Standing int

// The standings. A kind of device that has no resting value is StandsGood.
const (
	StandsUnknown Standing = iota // not read, or no band known
	StandsGood
	StandsSoon // to be seen to at the next visit
	StandsOut  // outside its band, or to be seen to now
)

func (s Standing) class() Class {
	switch s {
	case StandsGood:
		return Good
	case StandsSoon:
		return Soon
	case StandsOut:
		return Out
	}
	return Unknown
}

func (s Standing) words() string {
	switch s {
	case StandsGood:
		return "in order"
	case StandsSoon:
		return "to be seen to soon"
	case StandsOut:
		return "outside, or to be seen to now"
	}
	return "not known"
}

// Picture draws the ring.
func (r Ring) Picture() *Picture {
	if len(r.Points) == 0 {
		return blank(r.Title, "No point on this loop yet.", r.table())
	}
	d := ringDrawing{Ring: r}
	d.branch()
	return newPicture(r.Title, r.describe(), r.table(), sketch{lines: d.lines, draw: d.draw})
}

func (r Ring) describe() string {
	var out []string
	soon, unknown := 0, 0
	for _, p := range r.Points {
		switch p.Standing {
		case StandsOut:
			out = append(out, p.Label)
		case StandsSoon:
			soon++
		case StandsUnknown:
			unknown++
		}
	}
	words := counted(len(r.Points), "point", "points") + " in cable order from the panel's OUT end to its IN end"
	if len(out) > 0 {
		words += fmt.Sprintf("; outside, or to be seen to now: %s", strings.Join(out, ", "))
	}
	if soon > 0 {
		words += fmt.Sprintf("; %d to be seen to soon", soon)
	}
	if unknown > 0 {
		words += fmt.Sprintf("; %d not known", unknown)
	}
	return words + "."
}

func (r Ring) table() Table {
	t := Table{Head: []string{"point", "kind", "standing", "isolator", "spur", "what"}}
	for _, p := range r.Points {
		isolator := ""
		if p.parts() {
			isolator = "isolator"
		}
		t.Rows = append(t.Rows, []string{p.Label, string(p.Kind), p.Standing.words(), isolator, p.Spur, p.Title})
	}
	return t
}

func (p RingPoint) parts() bool { return p.Isolator || p.Kind == IsolatorKind }

// kinds are the kinds that occur, in the order of the constants.
func (r Ring) kinds() []Kind {
	all := []Kind{Smoke, Heat, Multi, Gas, Flame, CallPoint, Sounder, Beacon, Module, IsolatorKind, Other}
	occurs := func(k Kind) bool {
		return slices.ContainsFunc(r.Points, func(p RingPoint) bool { return p.Kind == k || k == Other && !slices.Contains(all, p.Kind) })
	}
	return slices.DeleteFunc(slices.Clone(all), func(k Kind) bool { return !occurs(k) })
}

// key explains the forms and shades that occur.
func (r Ring) key() []keyItem {
	var items []keyItem
	for _, k := range r.kinds() {
		items = append(items, keyItem{Good, k.form(), string(k)})
	}
	for _, s := range []Standing{StandsGood, StandsSoon, StandsOut, StandsUnknown} {
		if slices.ContainsFunc(r.Points, func(p RingPoint) bool { return p.Standing == s }) {
			items = append(items, keyItem{s.class(), Circle, s.words()})
		}
	}
	if slices.ContainsFunc(r.Points, func(p RingPoint) bool { return p.Isolator && p.Kind != IsolatorKind }) {
		items = append(items, keyItem{Barrier, Bar, "isolator in the base"})
	}
	return items
}
