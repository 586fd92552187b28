package address

import "slices"

// triesOf is how many other plans are tried for so many devices: all that change
// one or two devices of a small loop, a few of a large one, so that the time stays
// the same.
func triesOf(all []int) int { return min(2000, 4+150_000/max(1, len(all)*len(all))) }

// best plans a range with the spares where they are asked for, or, where that
// fails, with as many of them as can be; with Keep the order comes before them.
func (p *planner) best(f Fit, s Style, all []int) *turns {
	gaps := p.gaps(all, f, s)
	if !s.Keep {
		gaps = p.lessen(f.Range, all, gaps)
	}
	spaced := p.climb(f.Range, all, gaps, s)
	if spaced != nil && (spaced.out() == 0 || !s.Keep && spaced.worth(s)[0] == 0) {
		return spaced
	}
	dense := p.climb(f.Range, all, make([]int, len(all)+1), s)
	if dense != nil && (spaced == nil || dense.worth(s).less(spaced.worth(s))) {
		return dense
	}
	return spaced
}

// mostLessened is how many ways to leave out spares are tried.
const mostLessened = 8

// worth is what a plan falls short of, what comes first before: with Keep the
// devices out of their order, then the spares that blocks lack; afresh the other
// way round.
type worth [2]int

func (w worth) less(other worth) bool {
	return w[0] < other[0] || w[0] == other[0] && w[1] < other[1]
}

func (t *turns) worth(s Style) worth {
	lacks := 0
	if s.Spares.Each {
		lacks = t.lacks(s.Spares)
	}
	if s.Keep {
		return worth{t.out(), lacks}
	}
	return worth{lacks, t.out()}
}

// lacks counts the spares that blocks lack: the numbers left free above the highest
// of a block, or, where they may be between its devices, above any.
func (t *turns) lacks(s Spares) int {
	block, highest, free := t.blockOf(), make([]int, len(t.blocks)), make([]int, len(t.blocks))
	at := make([]int, t.loop.Span.Last+1) // device + 1 by number
	for _, i := range t.all {
		highest[block[i]] = max(highest[block[i]], t.numbers[i])
		for n := range t.loop.Devices[i].width() {
			at[t.numbers[i]+n] = i + 1
		}
	}
	below := nobody
	empty := newRoom(t.loop.Span)
	for n := t.loop.Span.first(); n <= t.loop.Span.Last; n++ {
		if at[n] > 0 {
			below = at[n] - 1
		} else if below >= 0 && empty.next[n] == n && (s.Spread || t.numbers[below] == highest[block[below]]) {
			free[block[below]]++
		}
	}
	lacks := 0
	for b, n := range highest {
		if n > 0 {
			lacks += max(0, s.Count-free[b])
		}
	}
	return lacks
}

// blockOf gives the block of each device.
func (p *planner) blockOf() []int {
	block := make([]int, len(p.loop.Devices))
	for b, devices := range p.blocks {
		for _, i := range devices {
			block[i] = b
		}
	}
	return block
}

// lessen leaves out spares from the end on until there is room for the rest: the
// last, then half of them, and so on.
func (p *planner) lessen(r Range, all, gaps []int) []int {
	for range mostLessened {
		for _, down := range []bool{false, true} {
			if _, ok := p.turns(r, all, gaps, try{down: down}); ok {
				return gaps
			}
		}
		gaps = lastLeftOut(gaps)
	}
	return make([]int, len(gaps))
}

// lastLeftOut takes the spares of the last block away that has any: where many
// have, of a quarter of them.
func lastLeftOut(gaps []int) []int {
	gaps = slices.Clone(gaps)
	sum := 0
	for _, n := range gaps {
		sum += n
	}
	for take, k := (sum+3)/4, len(gaps)-1; k >= 0 && take > 0; k-- {
		less := min(take, gaps[k])
		gaps[k] -= less
		take -= less
	}
	return gaps
}

// climb plans a range, and tries to plan it better: with other devices out of
// their turn, and with other numbers kept.
type climb struct {
	*planner
	r         Range
	all, gaps []int
	style     Style
	best      *turns
	least     worth // of the best
	left      int   // tries
}

func (p *planner) climb(r Range, all, gaps []int, s Style) *turns {
	c := &climb{planner: p, r: r, all: all, gaps: gaps, style: s, left: triesOf(all)}
	c.look(try{})
	c.look(try{down: true})
	if s.Keep {
		c.keepOthers()
	}
	c.moveOut()
	return c.best
}

// moveOut has one device leave the order, or two, whatever their turn: those first
// that fit in the fewest places.
func (c *climb) moveOut() {
	free := c.hardest(c.all)[2]
	for pairs := range 2 {
		for k, first := range free {
			others := free[k : k+1]
			if pairs > 0 {
				others = free[k+1:]
			}
			for _, second := range others {
				c.look(try{out: []int{first, second}})
				if c.look(try{out: []int{first, second}, down: true}); c.done() {
					return
				}
			}
		}
	}
}

func (c *climb) done() bool { return c.left <= 0 || c.best != nil && c.least == worth{} }

// look tries a plan, and reports whether it is better.
func (c *climb) look(try try) bool {
	if c.done() {
		return false
	}
	c.left--
	t, ok := c.turns(c.r, c.all, c.gaps, try)
	if !ok || c.best != nil && !t.worth(c.style).less(c.least) {
		return false
	}
	c.best, c.least = t, t.worth(c.style)
	return true
}

// mostSwaps is of how many numbers that another would keep all ways are tried.
const mostSwaps = 6

// keepOthers lets devices keep their number in the place of those that would: each
// way of the first few such pairs, each pair of the others by itself.
func (c *climb) keepOthers() {
	var swaps [][2]int // who would keep, who keeps
	for _, i := range c.all {
		if d := &c.loop.Devices[i]; !c.kept[i] && d.number() != 0 && c.refused[i] == nil {
			if j := c.alone(i); j >= 0 {
				swaps = append(swaps, [2]int{i, j})
			}
		}
	}
	first := min(len(swaps), mostSwaps)
	for some := 1; some < 1<<first; some++ {
		var chosen [][2]int
		for k := range first {
			if some>>k&1 == 1 {
				chosen = append(chosen, swaps[k])
			}
		}
		c.swapped(chosen)
	}
	for _, swap := range swaps[first:] {
		c.swapped([][2]int{swap})
	}
	if c.best != nil {
		c.keeping(c.best.kept)
	}
}

// swapped looks at plans in which some keep their number in the place of others.
func (c *climb) swapped(swaps [][2]int) {
	if c.done() {
		return
	}
	before := slices.Clone(c.kept)
	for _, s := range swaps {
		c.kept[s[1]] = false
	}
	fits, room := true, c.around(c.r)
	for _, s := range swaps {
		d := &c.loop.Devices[s[0]]
		if fits = fits && room.fits(d.number(), d.width()); fits {
			room.take(d.number(), d.width())
			c.kept[s[0]], c.numbers[s[0]] = true, d.number()
		}
	}
	if fits {
		c.look(try{})
		c.look(try{down: true})
	}
	c.keeping(before)
}

// keeping has just these devices keep their numbers.
func (c *climb) keeping(kept []bool) {
	for _, i := range c.all {
		if c.kept[i], c.numbers[i] = kept[i], 0; kept[i] {
			c.numbers[i] = c.loop.Devices[i].number()
		}
	}
}

// alone finds the only device that keeps a number which another would need to
// keep its own; -1 where there are others or that one must stay.
func (c *climb) alone(i int) int {
	d := &c.loop.Devices[i]
	only := nobody
	for _, j := range c.all {
		o := &c.loop.Devices[j]
		if !c.kept[j] || c.numbers[j] >= d.number()+d.width() || d.number() >= c.numbers[j]+o.width() {
			continue
		}
		if only >= 0 || !c.mayGo(j) {
			return nobody
		}
		only = j
	}
	return only
}
