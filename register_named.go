package sootline

import (
	"slices"
	"time"
)

// Named lists the points that answered to a reference at an instant: none, one,
// or, where a number was used twice, several. A reference without a panel or
// loop means the site's only one. While two points should have one number, the
// number at which each stands tells them apart.
func (r *Register) Named(ref Ref, at time.Time) []*Point {
	ref = r.whole(ref)
	own := lasting(r.tenures, ref, at)
	if len(own) == 0 {
		return pointsOf(r.standInstead(ref, at))
	}
	if len(own) > 1 {
		if here := onlyStandingAt(own, ref.Number); len(here) > 0 {
			own = here
		}
	}
	return pointsOf(own)
}

// Sole gives the one point that ever answered to a reference, and from when until
// when it did; to is zero while it does. Within that time [Register.Named] lists
// this point alone. It is nil where none did, or several, be it one after another.
func (r *Register) Sole(ref Ref) (p *Point, from, to time.Time) {
	held := holding(r.tenures, r.whole(ref))
	if len(held) != 1 {
		return nil, from, to
	}
	return held[0].point, held[0].from, held[0].to
}

// whole fills in the site's only panel and only loop.
func (r *Register) whole(ref Ref) Ref {
	if ref.Panel == "" && len(r.panels) == 1 {
		ref.Panel = r.panels[0]
	}
	if ref.Loop == "" && len(r.listed) == 1 {
		ref.Loop = r.listed[0].Name
	}
	return ref
}

// OfRange leaves of points those that take numbers of a range; all where none is said,
// or where their loop has one range.
func (r *Register) OfRange(points []*Point, of NumberRange) []*Point {
	return slices.DeleteFunc(points, func(p *Point) bool {
		return of != "" && r.Loop(p.LoopID()).Separate && RangeOf(r.Sheet(p.Type)) != of
	})
}

// Whose leaves of points that answered to one number those that an entry of the kind
// can be about: where the loop has two ranges, a reading is of the detector, since the
// other has no resting value.
func (r *Register) Whose(points []*Point, kind Kind, of NumberRange) []*Point {
	if of != "" {
		return r.OfRange(slices.Clone(points), of)
	}
	if kind == ReadKind && len(points) > 1 {
		if left := r.OfRange(slices.Clone(points), DetectorRange); len(left) > 0 {
			return left
		}
	}
	return points
}

// standInstead lists the points that stand at a number which nobody should
// have, while another should have theirs too.
func (r *Register) standInstead(ref Ref, at time.Time) []tenure {
	var instead []tenure
	for _, t := range lasting(r.standsAt, ref, at) {
		if len(lasting(r.tenures, t.ref, at)) > 1 {
			instead = append(instead, t)
		}
	}
	return instead
}

// onlyStandingAt leaves out those that were found at another number.
func onlyStandingAt(all []tenure, number int) []tenure {
	var here []tenure
	for _, t := range all {
		if t.stands == 0 || t.stands == number {
			here = append(here, t)
		}
	}
	return here
}

// holding gives all that a number of a loop was ever held by.
func holding(tenures map[LoopID][][]tenure, ref Ref) []tenure {
	byNumber := tenures[LoopID{ref.Panel, ref.Loop}]
	if ref.Number < 1 || ref.Number >= len(byNumber) {
		return nil
	}
	return byNumber[ref.Number]
}

func lasting(tenures map[LoopID][][]tenure, ref Ref, at time.Time) []tenure {
	held := holding(tenures, ref)
	if len(held) == 1 && held[0].lasts(at) {
		return held // nearly always: nothing is to be left out
	}
	var all []tenure
	for i := range held {
		if held[i].lasts(at) {
			all = append(all, held[i])
		}
	}
	return all
}

func pointsOf(tenures []tenure) []*Point {
	if len(tenures) == 0 {
		return nil
	}
	points := make([]*Point, len(tenures))
	for i := range tenures {
		points[i] = tenures[i].point
	}
	return points
}

// hold files a tenure under a number of its loop.
func hold(tenures map[LoopID][][]tenure, number int, t tenure) {
	if number == 0 {
		return
	}
	loop := LoopID{t.ref.Panel, t.ref.Loop}
	byNumber := tenures[loop]
	if short := number + 1 - len(byNumber); short > 0 {
		byNumber = append(byNumber, make([][]tenure, short)...)
	}
	byNumber[number] = append(byNumber[number], t)
	tenures[loop] = byNumber
}

// settleRefs makes references unambiguous where the numbers at which points stand
// can: of points that should have one number, those that stand at a number that no
// other has, or stands at, are called by that.
func (r *Register) settleRefs() {
	own, stands := map[Ref]int{}, map[Ref]int{}
	at := func(p *Point, number int) Ref { return Ref{p.Panel, p.Place.Loop, number} }
	for _, p := range r.points {
		if p.Placed && p.Removed == nil {
			own[p.Ref()]++
			stands[at(p, p.Stands.Number)]++
		}
	}
	for _, p := range r.points {
		if p.Placed && p.Removed == nil && p.Stands.Number != 0 && p.Stands.Number != p.Wanted && own[p.Ref()] > 1 {
			p.byStanding = own[at(p, p.Stands.Number)] == 0 && stands[at(p, p.Stands.Number)] == 1
		}
	}
}
