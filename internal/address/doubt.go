package address

import (
	"fmt"

	"sootline"
)

// mostSet is the highest number that 8 switches show; no dials show more (common
// practice, no source). Where nobody wrote down how a number is set, that is what a device
// can carry, or what the loop allows where that is more.
const mostSet = 255

// Impossible says why a number cannot have been set on a device, whoever is certain of
// it: its switches or dials do not show it. It is empty where it can.
func Impossible(r *sootline.Register, p *sootline.Point, said sootline.Addressed) string {
	if said.Set == 0 {
		return ""
	}
	return unsettable(r, p, said.Set)
}

// unsettable says why a number cannot be set on devices of a point's type.
func unsettable(r *sootline.Register, p *sootline.Point, n int) string {
	setter, err := SetterOf(r.Sheet(p.Type))
	if err != nil {
		setter = Setter{} // what cannot be read rules nothing out; check names it
	}
	if most := setter.Shows(); n > most {
		return fmt.Sprintf("number %d cannot be set on type %s, which reaches %d (%s)", n, p.Type, most, setter.Words())
	}
	if loop := r.Loop(p.LoopID()); n > max(mostSet, loop.Last, loop.Unset) {
		return fmt.Sprintf("number %d cannot be set on a device: loop %s has the numbers %d to %d, and 8 switches show %d at most", n, loop.LoopID, loop.First, loop.Last, mostSet)
	}
	return ""
}

// Doubt says what of a number written down by hand may be a slip: one that the
// loop does not have, one that the type cannot show, or one wanted or set that another
// device has or is to have. It is
// empty where there is nothing to ask. That a device was listed or found at a number that
// another one has is no slip: to find that is why people look.
func Doubt(r *sootline.Register, p *sootline.Point, said sootline.Addressed) string {
	loop := r.Loop(p.LoopID())
	span := Span{First: loop.First, Last: loop.Last, Unset: loop.Unset, Reserved: loop.Reserved, Separate: loop.Separate}
	width := r.Sheet(p.Type).Numbers()
	for _, one := range []struct {
		number int
		as     string
	}{{said.Found, sootline.AsFound}, {said.Listed, sootline.AsListed}, {said.Set, sootline.AsSet}} {
		if n := one.number; n != 0 && n != loop.Unset && (n < span.first() || n > span.Last) {
			return fmt.Sprintf("number %d %s is not one of the numbers %d to %d of loop %s%s", n, one.as, span.first(), span.Last, loop.LoopID, assumed(r, loop))
		}
	}
	for _, n := range []int{said.Found, said.Wanted} {
		if why := unsettable(r, p, n); why != "" {
			return why
		}
	}
	if said.Set != 0 && said.Set != loop.Unset {
		if why := doubled(r, p, span, said.Set, width); why != "" {
			return why
		}
	}
	if said.Wanted == 0 {
		return ""
	}
	if err := span.Refuse(said.Wanted, width); err != nil {
		return err.Error() + assumed(r, loop)
	}
	return taken(r, p, span, said.Wanted, width)
}

// doubled tells of another device that stands at the numbers from n, to which this
// one was set, or is to have them where this one is not.
func doubled(r *sootline.Register, p *sootline.Point, span Span, n, width int) string {
	for _, other := range sharers(r, p, span) {
		if overlaps(other.Stands.Number, r.Sheet(other.Type).Numbers(), n, width) {
			return fmt.Sprintf("number %d is on another device: %s %s it", n, named(other), standing(taker{Point: other}))
		}
	}
	if p.Wanted == n {
		return ""
	}
	for _, other := range sharers(r, p, span) {
		if overlaps(other.Wanted, r.Sheet(other.Type).Numbers(), n, width) {
			return fmt.Sprintf("number %d is meant for another device: %s is to have it", n, named(other))
		}
	}
	return ""
}

// sharers lists the other devices of the range that a point takes numbers of.
func sharers(r *sootline.Register, p *sootline.Point, span Span) []*sootline.Point {
	var all []*sootline.Point
	for _, other := range r.Points() {
		if other.ID != p.ID && other.LoopID() == p.LoopID() && (!span.Separate || rangeOf(r.Sheet(other.Type)) == rangeOf(r.Sheet(p.Type))) {
			all = append(all, other)
		}
	}
	return all
}

// overlaps reports whether numbers from first share any with those from n.
func overlaps(first, wide, n, width int) bool { return first != 0 && first < n+width && n < first+wide }

// assumed says where nobody described a loop.
func assumed(r *sootline.Register, loop sootline.Loop) string {
	if r.Described(loop.LoopID) {
		return ""
	}
	return ", which are assumed: nobody described the loop"
}

// taken tells of another device that has the numbers from n, or is to have them.
func taken(r *sootline.Register, p *sootline.Point, span Span, n, width int) string {
	for _, other := range sharers(r, p, span) {
		takes := func(first int) bool { return overlaps(first, r.Sheet(other.Type).Numbers(), n, width) }
		switch {
		case takes(other.Stands.Number):
			return fmt.Sprintf("number %d is taken: %s %s it", n, named(other), standing(taker{Point: other}))
		case takes(other.Wanted):
			return fmt.Sprintf("number %d is taken: %s is to have it", n, named(other))
		}
	}
	return ""
}

// named tells which device it is, by its place where that is known.
func named(p *sootline.Point) string {
	if p.Location == "" {
		return p.Ref().String()
	}
	return p.Ref().String() + ", " + p.Location + ","
}
