package plans

import (
	"cmp"
	"slices"
)

// LeastMoves is a number of moves that no plan is below: the devices with a number, less the most of them that can stay
// beside each other and the pinned ones. Where there is room for the others a plan reaches it.
func LeastMoves(c Case) int {
	stand, stay := 0, 0
	var could []int
	for i, d := range c.Devices {
		if d.Now == 0 {
			continue
		}
		stand++
		if d.Pinned {
			stay++
			continue
		}
		if c.may(i, d.Now) == nil && !c.onPinned(i, d.Now) {
			could = append(could, i)
		}
	}
	// of intervals the one that ends first is always one of a largest set without overlaps
	end := func(i int) int { return c.Devices[i].Now + c.Devices[i].Width }
	slices.SortStableFunc(could, func(a, b int) int { return cmp.Compare(end(a), end(b)) })
	last := map[bool]int{}
	for _, i := range could {
		if c.Devices[i].Now >= last[c.ranged(i)] {
			last[c.ranged(i)] = end(i)
			stay++
		}
	}
	return stand - stay
}

// onPinned says whether a device at a number would overlap another that must keep its own.
func (c Case) onPinned(i, n int) bool {
	for k, d := range c.Devices {
		if k != i && d.Pinned && c.overlap(i, n, k, d.Now) {
			return true
		}
	}
	return false
}

// LeastOut is a number of devices out of order that no plan is below, across blocks or within: the most devices of a range,
// or block, that can have rising numbers, were the others not there but for the pinned ones.
func LeastOut(c Case, across bool) int {
	order, of := c.parts(len(c.Devices))
	if !across {
		out := 0
		for _, p := range order {
			out += len(of[p]) - c.rising(of[p])
		}
		return out
	}
	all := map[bool][]int{}
	for _, p := range order {
		all[p.module] = append(all[p.module], of[p]...)
	}
	return len(c.Devices) - c.rising(all[false]) - c.rising(all[true])
}

// rising is how many of a sequence can have rising numbers at most.
func (c Case) rising(of []int) int {
	ends := []int{c.First} // by how many have one: the least number that is free after them
	for _, i := range of {
		for k := len(ends) - 1; k >= 0; k-- {
			n, ok := c.next(i, ends[k])
			if !ok {
				continue
			}
			end := n + c.Devices[i].Width
			if k+1 == len(ends) {
				ends = append(ends, end)
			} else {
				ends[k+1] = min(ends[k+1], end)
			}
		}
	}
	return len(ends) - 1
}

// next is the least number from one on that a device can have beside the pinned ones.
func (c Case) next(i, from int) (int, bool) {
	for n := from; n <= c.Last; n++ {
		if c.may(i, n) == nil && !c.onPinned(i, n) {
			return n, true
		}
	}
	return 0, false
}
