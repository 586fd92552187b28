package demo

import (
	"fmt"
	"slices"
	"time"

	"sootline"
)

// The numbers of every loop.
const (
	firstNumber = sootline.DefaultFirst
	lastNumber  = sootline.DefaultLast
	unsetNumber = sootline.DefaultUnset
)

// spareNumbers are left free behind each room.
const spareNumbers = 2

// point is a place on a loop, with the unit there.
type point struct {
	ref      sootline.Ref
	which    int // index of device among the types
	device   *device
	room     *room
	zone     int
	location string
	serial   string
	fitted   time.Time
	metres   float64
	wanted   string // settings
	life
}

// layOut fits the devices of every room along the loops, a day's work a room,
// in the weeks before handover.
func (w *world) layOut() []*point {
	var points []*point
	types, all := devices(), rooms()
	next, loop := firstNumber, 0
	for i := range all {
		area := &all[i]
		if area.loop != loop {
			next, loop = firstNumber, area.loop
		}
		seen := map[string]int{}
		for turn, which := range w.shuffled(area) {
			p := w.fit(types, which, area)
			p.ref = sootline.Ref{Panel: panelName, Loop: loopNames()[area.loop], Number: next}
			p.zone, p.fitted = i+1, w.from.AddDate(0, 0, i-len(all)-7)
			p.location = spot(area, turn, seen)
			p.serial = fmt.Sprintf("W%05d", 10000+len(points)*7)
			points = append(points, p)
			next += p.device.numbers
		}
		next += spareNumbers
	}
	return points
}

// shuffled gives the devices of a room in the order of the cable: first an
// isolator where there is one, the others mixed.
func (w *world) shuffled(area *room) []int {
	var all []int
	for which, count := range area.counts {
		all = append(all, slices.Repeat([]int{which}, count)...)
	}
	w.rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	if i := slices.Index(all, isolator); i > 0 {
		all[0], all[i] = all[i], all[0]
	}
	return all
}

// fit brings a new device into a room.
func (w *world) fit(types *[deviceCount]device, which int, area *room) *point {
	d := &types[which]
	p := &point{which: which, device: d, room: area, wanted: d.wanted}
	if area.name == kitchen && d.wanted == normalSensitivity {
		p.wanted = "sensitivity=low"
	}
	p.metres = 4 + float64(w.rng.IntN(100))/10
	p.life = w.born(d, area)
	return p
}

// spot describes where a device is; a spot used again gets a count.
func spot(area *room, turn int, seen map[string]int) string {
	at := area.spots[turn%len(area.spots)]
	seen[at]++
	return fmt.Sprintf("%s, %s %d", area.floor, at, seen[at])
}

// is reports whether the point has a device of that index.
func (p *point) is(which int) bool { return p.which == which }
