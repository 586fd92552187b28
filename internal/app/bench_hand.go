package app

import (
	"maps"
	"slices"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/bench"
)

// BenchHand is what is in hand, with how its number is set.
type BenchHand struct {
	bench.Hand
	Card  NumberCard
	Steps []string // the fewest, from what the device carries; none: nothing to move, or nobody said how
}

// InHand gives what comes next in the run, from its front or from its back; ok is
// false when nothing is left.
func (b *BenchRun) InHand(fromBack bool) (BenchHand, bool) {
	next := b.Hand
	if fromBack {
		next = b.HandFromBack
	}
	h, ok := next()
	if !ok {
		return BenchHand{}, false
	}
	return b.WithCard(h), true
}

// WithCard adds to what is in hand the card by which it is set.
func (b *BenchRun) WithCard(h bench.Hand) BenchHand {
	setter := b.setters[sootline.TypeKey(h.Type)]
	d := address.Device{
		Name: sootline.Ref{Panel: h.Loop.Panel, Loop: h.Loop.Name, Number: h.Number}.String(), Type: h.Type,
		Width: max(1, h.Last-h.Number+1), Wanted: h.Number, Setter: setter, Wants: map[string]string{},
	}
	if h.Place != nil {
		p := h.Place.Point
		d.ID, d.Order, d.Zone, d.Area, d.Location = p.ID, p.Order, p.Zone, p.Area, p.Location
	}
	if h.Device != nil {
		d.Serial = h.Device.Serial
	}
	for _, m := range h.Modes {
		d.Wants[m.Name] = m.Choice
		d.Wishes = append(d.Wishes, sootline.Wished{Name: m.Name, Choice: m.Choice, Reason: m.Reason})
	}
	return BenchHand{Hand: h, Card: address.NewCard(d, spanOf(b.Register.Loop(h.Loop))), Steps: setter.Steps(h.Stands, h.Number)}
}

// SetWay says how a type is set, in the words of its type sheet; empty: nobody said.
func (b *BenchRun) SetWay(typeName string) string {
	setter, ok := b.setters[sootline.TypeKey(typeName)]
	if !ok {
		return ""
	}
	return setter.String()
}

// The run's own words, for the faces.
type (
	// BenchPlace is a place of a run.
	BenchPlace = bench.Place
	// BenchType is what of a type the run needs.
	BenchType = bench.Type
	// BenchLooked is what is to be said of what was typed.
	BenchLooked = bench.Looked
	// BenchFigure are the figures of the rules by which values are judged.
	BenchFigure = bench.LookRules
)

// BenchFigures gives them.
func BenchFigures() BenchFigure { return bench.RuleFigures() }

// mostNext is how many numbers a phone takes along for devices that have no place
// yet, of each type.
const mostNext = 20

// NextCards gives the numbers that new places would get, one after another, of each
// type of the box and of the places; none where no place can be made.
func (b *BenchRun) NextCards() []BenchHand {
	loop, ok := b.NewLoop()
	if !ok || b.Closed != nil {
		return nil
	}
	names := map[string]bool{}
	for _, d := range b.Box {
		names[d.Type] = true
	}
	for _, place := range b.Places {
		names[place.Point.Type] = true
	}
	if len(names) == 0 {
		names[""] = true
	}
	var all []BenchHand
	for _, name := range slices.Sorted(maps.Keys(names)) {
		for _, h := range b.NextHands(loop, name, mostNext) {
			all = append(all, b.WithCard(h))
		}
	}
	return all
}

// HandWish says what somebody takes in hand. Nothing given: what comes next.
type HandWish struct {
	Place    string             // by its reference, or by the number to be set there
	Device   sootline.BoxDevice // which is in hand: it is given its place
	New      bool               // a new place is made for it
	FromBack bool               // the next one from the last place on
}

// HandAsWished gives what is in hand; ok is false when nothing is left.
func (b *BenchRun) HandAsWished(w HandWish) (h BenchHand, ok bool, err error) {
	switch {
	case w.Place != "":
		place, err := b.placeNamed(w.Place)
		if err != nil {
			return BenchHand{}, false, err
		}
		return b.WithCard(b.HandAt(place)), true, nil
	case w.New:
		h, ok := b.HandNew(w.Device)
		return b.WithCard(h), ok, nil
	case w.Device != (sootline.BoxDevice{}) && (b.Said.First == sootline.DeviceFirst || len(b.Places) == 0):
		h, ok := b.HandOf(w.Device)
		return b.WithCard(h), ok, nil
	}
	h, ok = b.InHand(w.FromBack)
	return h, ok, nil
}

// BenchValue is a look at a resting value.
type BenchValue = bench.Value

// What the faces tell apart of what was said.
const (
	BenchRefused = bench.Refused
	BenchAsked   = bench.Asked
	NoBenchValue = bench.ValueNone
)
