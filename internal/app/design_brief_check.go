package app

import (
	"math"
	"strings"

	"sootline"
)

// sidesShare is how far square metres may be from the product of the sides: areas are rounded, and not all are right-angled.
// A judgement of ours, no source.
const sidesShare = 0.25

// narrowest is how narrow an area may be, in metres. A judgement of ours, no source.
const narrowest = 1.0

// onceHeaded refuses a table in which two columns have one heading.
func onceHeaded(heads []string) error {
	seen := map[string]bool{}
	for _, head := range heads {
		name := strings.ToLower(head)
		if name != "" && seen[name] {
			return sootline.Errorf(sootline.Invalid, "leave one of them, or sum them up", "two columns are headed %q", head)
		}
		seen[name] = true
	}
	return nil
}

// contradiction refuses places that cannot be: two on one spot, or further apart than their area can be long.
func (b *briefReader) contradiction() error {
	for i := range b.places {
		p := &b.places[i]
		for k := range i {
			q := &b.places[k]
			if b.bare[i] || b.bare[k] || p.Area != q.Area {
				continue
			}
			apart := math.Hypot(p.X-q.X, p.Y-q.Y)
			if apart == 0 {
				return sootline.Errorf(sootline.Invalid, "two devices stand at least a hand apart", "what is wanted: two devices stand on one spot, %g and %g m on floor %d", p.X, p.Y, p.Floor)
			}
			area := &b.building.Areas[p.Area]
			longest := b.m2[p.Area] / narrowest
			if area.W > 0 && area.H > 0 {
				longest = math.Hypot(area.W, area.H)
			}
			if longest > 0 && apart > longest {
				return sootline.Errorf(sootline.Invalid, "correct x and y, or the size of the area", "what is wanted: two devices of %s are %.0f m apart, and it is at most %.0f m long", area.Name, apart, longest)
			}
		}
	}
	return nil
}
