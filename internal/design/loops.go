package design

import (
	"math"
	"math/rand/v2"
)

// kicks is how often the search begins anew from a tour changed somewhere, for each place; mostKicks bounds them.
const (
	kicks     = 150
	mostKicks = 30_000
)

// Fewest is how many loops there are at least, when a loop holds so many numbers.
func Fewest(places []Place, most int) int {
	sum := 0
	for i := range places {
		sum += places[i].takes()
	}
	return max((sum+most-1)/most, 1)
}

// Loops lays so many loops through the places, none with more than most numbers, with little cable: a tour of all places
// that passes the panel once a loop, improved by turning stretches round and moving up to three devices, then changed
// somewhere and improved again, as long as it is worth it. Loops hold places by index, in the order of their cable. It is
// nil where so many loops cannot hold them. The same places and seed give the same loops.
func (b *Building) Loops(places []Place, loops, most int, seed uint64) [][]int {
	return newTour(b, places, loops, most).search(seed)
}

// evenBy is how far a loop's numbers may be off its even share.
const evenBy = 0.05

// EvenLoops does as Loops does, and shares the numbers evenly among the loops, to a twentieth.
func (b *Building) EvenLoops(places []Place, loops, most int, seed uint64) [][]int {
	sum := 0
	for i := range places {
		sum += places[i].takes()
	}
	share := float64(sum) / float64(loops)
	t := newTour(b, places, loops, min(most, int(math.Ceil(share*(1+evenBy)))))
	t.fill, t.least = min(t.most, int(math.Ceil(share))), int(share*(1-evenBy))
	return t.search(seed)
}

// search begins a tour and improves it; nil where there is none that holds.
func (t *tour) search(seed uint64) [][]int {
	if !t.begin() || !t.holds() {
		return nil
	}
	places := t.places
	rng := rand.New(rand.NewPCG(seed, uint64(len(places))))
	t.improveAll()
	for range min(kicks*len(places), mostKicks) {
		t.kick(rng)
	}
	return t.loops()
}

// begin goes to the nearest place each time, and back to the panel when the loop is full.
func (t *tour) begin() bool {
	n := len(t.places)
	there := make([]bool, n)
	t.order = append(t.order[:0], n)
	at, room, panels := n, t.fill, 1
	for range n {
		next := -1
		for k := range n {
			if !there[k] && t.places[k].takes() <= room && (next < 0 || t.metres(at, k) < t.metres(at, next)) {
				next = k
			}
		}
		for next < 0 {
			if panels == t.passes {
				return false
			}
			t.order = append(t.order, n+panels)
			at, room, panels = n, t.fill, panels+1
			for k := range n {
				if !there[k] && t.places[k].takes() <= room && (next < 0 || t.metres(at, k) < t.metres(at, next)) {
					next = k
				}
			}
			if next < 0 {
				return false
			}
		}
		there[next] = true
		room -= t.places[next].takes()
		t.order = append(t.order, next)
		at = next
	}
	for ; panels < t.passes; panels++ {
		t.order = append(t.order, n+panels)
	}
	for i, v := range t.order {
		t.at[v] = i
	}
	return true
}

// kick swaps two stretches that follow each other, improves what that touched, and keeps the result if it is not longer.
func (t *tour) kick(rng *rand.Rand) {
	last := len(t.order) - 1
	if last < 4 {
		return
	}
	t.turned = t.turned[:0]
	from := 1 + rng.IntN(last-1)
	first := 1 + rng.IntN(min(reach, last-from))
	second := 1 + rng.IntN(min(reach, last-from-first+1))
	t.gained = 0
	t.swap(from, from+first, from+first+second-1)
	if !t.holds() {
		t.undo(0)
		return
	}
	t.improve()
	if t.gained < -1e-9 {
		t.undo(0)
	}
}

// reach is how many devices a stretch that is swapped has at most.
const reach = 50

// loops cuts the tour where it passes the panel. Loops without a device are left out.
func (t *tour) loops() [][]int {
	var list [][]int
	var loop []int
	for _, v := range append(t.order[1:], t.order[0]) {
		if v < len(t.places) {
			loop = append(loop, v)
			continue
		}
		if len(loop) > 0 {
			list = append(list, loop)
		}
		loop = nil
	}
	return list
}
