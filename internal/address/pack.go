package address

import (
	"cmp"
	"slices"
)

// packed places the devices of a range beside those kept, without regard to
// their order: in one of a few ways, the hardest first. It gives the numbers, and
// the first device that has none, or -1.
func (p *planner) packed(r Range, all []int) (numbers []int, out int) {
	kept := p.around(r)
	for way, order := range p.hardest(all) {
		got, first := p.pack(kept.clone(), order)
		if first < 0 {
			return got, nobody
		}
		if way == 0 {
			numbers, out = got, first
		}
	}
	s := packing{planner: p, room: kept, order: p.hardest(all)[0], numbers: slices.Clone(p.numbers), left: mostPacked}
	if s.try(0) {
		return s.numbers, nobody
	}
	return numbers, out
}

// mostPacked is how many places are tried before devices are said not to fit.
const mostPacked = 5000

// packing tries every place of one device after another, as far as its tries go.
type packing struct {
	*planner
	room    *room
	order   []int
	numbers []int
	left    int
}

func (s *packing) try(k int) bool {
	if k == len(s.order) {
		return true
	}
	i := s.order[k]
	d := &s.loop.Devices[i]
	for n := s.fit(s.room, i, 0); n > 0; n = s.fit(s.room, i, n+1) {
		if s.left--; s.left < 0 {
			return false
		}
		before := s.room
		s.room = before.clone()
		s.room.take(n, d.width())
		if s.numbers[i] = n; s.try(k + 1) {
			return true
		}
		s.room = before
	}
	return false
}

// hardest lists the devices that are not kept in a few orders: those whose reach
// ends first, of these the widest; the widest first; those with the fewest places.
// The first is exact for devices of one number each (exchange argument); for
// others each may find what the others miss.
func (p *planner) hardest(all []int) [][]int {
	free := slices.DeleteFunc(slices.Clone(all), func(i int) bool { return p.kept[i] })
	by := func(compare func(i, j int) int) []int {
		order := slices.Clone(free)
		slices.SortStableFunc(order, compare)
		return order
	}
	reach := func(i, j int) int {
		return cmp.Compare(min(p.loop.Devices[i].Setter.Most(), p.loop.Span.Last), min(p.loop.Devices[j].Setter.Most(), p.loop.Span.Last))
	}
	wide := func(i, j int) int { return cmp.Compare(p.loop.Devices[j].width(), p.loop.Devices[i].width()) }
	return [][]int{
		by(func(i, j int) int { return cmp.Or(reach(i, j), wide(i, j)) }),
		by(func(i, j int) int { return cmp.Or(wide(i, j), reach(i, j)) }),
		by(func(i, j int) int { return cmp.Or(cmp.Compare(p.places(i), p.places(j)), wide(i, j)) }),
	}
}

// places is how many first numbers a device could have on the empty span.
func (p *planner) places(i int) int { return p.windows[i][1] - p.windows[i][0] }

// pack gives each device of an order the lowest numbers that are left for it.
func (p *planner) pack(room *room, order []int) (numbers []int, out int) {
	numbers, out = slices.Clone(p.numbers), nobody
	for _, i := range order {
		d := &p.loop.Devices[i]
		if numbers[i] = p.fit(room, i, 0); numbers[i] == 0 {
			if out < 0 {
				out = i
			}
			continue
		}
		room.take(numbers[i], d.width())
	}
	return numbers, out
}
