package app

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"sootline/internal/design"
)

// lay gives areas without a rectangle one, and every device its place.
func (b *briefReader) lay() error {
	if err := b.rectangles(); err != nil {
		return err
	}
	drawn := b.places
	var places []design.Place
	var where []string
	for i := range b.building.Areas {
		grid := b.building.Places(i)
		bare := b.gridOf(i)
		for k := range drawn {
			if drawn[k].Area != i {
				continue
			}
			p := drawn[k]
			if b.bare[k] {
				p.X, p.Y, bare = bare[0].X, bare[0].Y, bare[1:]
			}
			places, where = append(places, p), append(where, b.where[k])
		}
		places, where = append(places, grid...), append(where, make([]string, len(grid))...)
	}
	if len(places) == 0 || len(places) > mostBrief {
		return briefError(2, "give at least one device to an area", "from 1 to %d devices are designed for, found %d", mostBrief, len(places))
	}
	if len(drawn) < len(places) || slices.Contains(b.bare, true) {
		b.assume("devices without coordinates stand on a grid in their area, row by row", ownChoice)
	}
	b.places, b.where = places, where
	for i := range b.zones {
		if b.zones[i] == "" {
			b.zones[i] = strconv.Itoa(i + 1)
		}
	}
	return nil
}

// gridOf gives a grid for the places of a drawing in an area that have no coordinates, in their order.
func (b *briefReader) gridOf(area int) []design.Place {
	n := 0
	for k := range b.places {
		if b.places[k].Area == area && b.bare[k] {
			n++
		}
	}
	of := design.Building{Areas: slices.Clone(b.building.Areas)}
	of.Areas[area].Wants = []design.Want{{Count: n}}
	return of.Places(area)
}

// rectangles puts areas of which nobody said where they lie beside each other on their floor, and makes those of which only
// the square metres are known square.
func (b *briefReader) rectangles() error {
	next := map[int]float64{}
	squares, beside, zones := false, false, false
	for i := range b.building.Areas {
		a := &b.building.Areas[i]
		zones = zones || b.zones[i] == ""
		if a.W == 0 || a.H == 0 {
			drawn := b.drawn(i)
			switch {
			case drawn: // every place has coordinates; no grid is needed
				continue
			case b.m2[i] == 0:
				return briefError(b.lines[i], "write its m2, or its width and depth in metres", "nobody says how large the area %q is", a.Name)
			}
			a.W, a.H, squares = math.Sqrt(b.m2[i]), math.Sqrt(b.m2[i]), true
		}
		if !b.given[i] {
			a.X, a.Y, beside = next[a.Floor], 0, true
		}
		next[a.Floor] = max(next[a.Floor], a.X+a.W)
	}
	if squares {
		b.assume("areas of which only the square metres are known are square", ownChoice)
	}
	if beside {
		b.assume("areas whose corner nobody gave lie side by side on their floor, in the order of the table", ownChoice)
	}
	if zones {
		b.assume("each area is a zone of its own where no zone is given", commonUse)
	}
	return nil
}

// drawn reports whether every place of an area has coordinates.
func (b *briefReader) drawn(area int) bool {
	if len(b.building.Areas[area].Wants) > 0 {
		return false
	}
	for k := range b.places {
		if b.places[k].Area == area && b.bare[k] {
			return false
		}
	}
	return true
}

func (b *DesignBrief) assume(what, source string) {
	b.Assumed = append(b.Assumed, Assumption{what, source})
}

// String writes an assumption with its source.
func (a Assumption) String() string { return fmt.Sprintf("%s (%s)", a.What, a.Source) }
