package address

import (
	"fmt"

	"sootline"
)

// Doubt says what of a number written down by hand may be a slip: one that the
// loop does not have, or one wanted that another device has or is to have. It is
// empty where there is nothing to ask. That a device was found at a number that
// another one has is no slip: to find that is why people look.
func Doubt(r *sootline.Register, p *sootline.Point, said sootline.Addressed) string {
	loop := r.Loop(p.LoopID())
	span := Span{First: loop.First, Last: loop.Last, Unset: loop.Unset, Reserved: loop.Reserved, Separate: loop.Separate}
	width := r.Sheet(p.Type).Numbers()
	if n := said.Found; n != 0 && n != loop.Unset && (n < span.first() || n > span.Last) {
		return fmt.Sprintf("number %d found is not one of the numbers %d to %d of loop %s%s", n, span.first(), span.Last, loop.LoopID, assumed(r, loop))
	}
	if said.Wanted == 0 {
		return ""
	}
	if err := span.Refuse(said.Wanted, width); err != nil {
		return err.Error() + assumed(r, loop)
	}
	return taken(r, p, span, said.Wanted, width)
}

// assumed says where nobody described a loop.
func assumed(r *sootline.Register, loop sootline.Loop) string {
	if r.Described(loop.LoopID) {
		return ""
	}
	return ", which are assumed: nobody described the loop"
}

// taken tells of another device that has the numbers from n, or is to have them.
func taken(r *sootline.Register, p *sootline.Point, span Span, n, width int) string {
	mine := rangeOf(r.Sheet(p.Type))
	for _, other := range r.Points() {
		sheet := r.Sheet(other.Type)
		if other.ID == p.ID || other.LoopID() != p.LoopID() || span.Separate && rangeOf(sheet) != mine {
			continue
		}
		takes := func(first int) bool { return first != 0 && first < n+width && n < first+sheet.Numbers() }
		switch {
		case takes(other.Found):
			return fmt.Sprintf("number %d is taken: %s was found at it", n, named(other))
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
