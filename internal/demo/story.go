package demo

import (
	"fmt"
	"math"
	"time"
)

// step is how many standard deviations of noise apart two levels are for a step
// between them to be planted; the kinds promise six.
const step = 7

// live tells the six years; what happens to one point is told in order of time,
// because each thing begins where the one before ended.
func (w *world) live() {
	w.cleanRoom(bakery, 1)
	w.swapPair(1, w.gap(1, 3))
	w.wipeSilently(kitchen, 1, w.gap(2, 0))
	w.cleanRoom(kitchen, 2)
	w.cleanRoom(bakery, 3)
	w.wipeSilently("Workshop", 2, w.gap(4, 1))
	w.swapPair(2, w.gap(4, 2))
	w.cleanSingly()
	w.renew()
	w.forget()
	w.everyday()
	w.test()
}

// cleanRoom cleans a room's smoke and multi detectors, the day after the year's
// last visit.
func (w *world) cleanRoom(name string, year int) {
	v := w.lastVisit(year)
	var done []*point
	for _, p := range w.points {
		if p.room.name == name && p.device.catches > 0 {
			w.wipe(p, v.after())
			w.note(p, v.after(), "cleaned", "", "whole room", v.by)
			done = append(done, p)
		}
	}
	w.tell(Cleaned, v.after(), name+": the whole room was cleaned.", done...)
}

// cleanSingly cleans one detector outside the dusty rooms in each of four years.
func (w *world) cleanSingly() {
	picked := w.pick(4, func(p *point) bool { return p.is(smoke) && p.room.dust < dusty })
	for i, p := range picked {
		v := w.lastVisit(i + 1)
		w.wipe(p, v.after())
		w.note(p, v.after(), "cleaned", "insects", "", v.by)
		w.tell(Cleaned, v.after(), fmt.Sprintf("The detector at %q was cleaned.", p.location), p)
	}
}

// wipeSilently cleans detectors of a room that have risen far, and writes
// nothing down. A cleaned unit may come back up to a count above its clean level.
func (w *world) wipeSilently(name string, n int, at time.Time) {
	fits := func(p *point) bool {
		return p.room.name == name && p.is(smoke) && p.level(at)-p.clean >= step*p.sd+1
	}
	for _, p := range w.pick(n, fits) {
		before := p.level(at)
		w.wipe(p, at)
		w.tell(CleanedUnrecorded, at, fmt.Sprintf("The level fell from %.1f to %.1f.", before, p.level(at)), p)
	}
}

// swapPair exchanges a smoke detector of a dusty room with one of a quiet room
// on the same loop, and writes nothing down.
func (w *world) swapPair(loop int, at time.Time) {
	var pairs [][2]*point
	for _, a := range w.points {
		if w.taken[a] || !a.is(smoke) || a.room.loop != loop || a.room.dust < dusty {
			continue
		}
		for _, b := range w.points {
			if !w.taken[b] && calm(b) && b.room.loop == loop && math.Abs(a.level(at)-b.level(at)) >= step*a.sd {
				pairs = append(pairs, [2]*point{a, b})
			}
		}
	}
	if len(pairs) == 0 {
		return
	}
	pair := pairs[w.rng.IntN(len(pairs))]
	a, b := pair[0], pair[1]
	w.taken[a], w.taken[b] = true, true
	text := fmt.Sprintf("The devices at %q and %q changed places; their levels were %.1f and %.1f.", a.location, b.location, a.level(at), b.level(at))
	swap(a, b, at)
	w.tell(Swapped, at, text, a, b)
}

// renew replaces three gas cells in the fourth year, and two smoke detectors.
func (w *world) renew() {
	for _, p := range w.pick(3, func(p *point) bool { return p.is(gas) }) {
		w.replace(p, w.lastVisit(3), "age")
	}
	for i, p := range w.pick(2, func(p *point) bool { return p.is(smoke) && p.room.dust < dusty }) {
		w.replace(p, w.lastVisit(1+2*i), "damaged")
	}
}

func (w *world) replace(p *point, v visit, cause string) {
	p.clean = w.newClean(p.device)
	p.restart(v.after(), p.clean)
	serial := fmt.Sprintf("W%05d", 20000+len(w.events)*7)
	w.note(p, v.after(), "replaced", cause, "serial "+serial, v.by)
}

// forget disables a point a little after the first visit of the last year; it
// is not read, tested or restored any more.
func (w *world) forget() {
	v := w.visits[w.visitIndex(Years-1, 0)]
	for _, p := range w.pick(1, calm) {
		p.off = v.after()
		w.note(p, p.off, "disabled", "works", "ceiling works in the room", v.by)
		w.tell(Forgotten, p.off, fmt.Sprintf("The point at %q was disabled for works and never restored.", p.location), p)
	}
}

// seen reports whether what happens at the point can be told of by its number,
// and the point is in use.
func (p *point) seen(at time.Time) bool { return !p.unread && (p.off.IsZero() || at.Before(p.off)) }
