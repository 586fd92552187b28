package address

import (
	"cmp"
	"slices"
)

// turns is a plan of one range in which as many devices as can be found have
// rising numbers along the order; the others leave it, each alone.
type turns struct {
	*planner
	all     []int // in their order
	gaps    []int // numbers to leave free before each, and above the last
	room    *room // with what is kept and what left the order
	numbers []int // by device; of those that left the order, and of the kept
	rising  []bool
	kept    []bool
	apart   map[int]bool // the numbers of those that left the order
	spare   []bool       // where to mark the spare numbers while turns are laid, or nil
	try     try
}

// try is what is done otherwise to look for a better plan.
type try struct {
	out  []int // devices that leave the order, whatever their turn
	down bool  // a device out of its turn goes down from its highest number, or up where it would have gone down
}

// turns plans a range; ok is false where not every device gets a number.
func (p *planner) turns(r Range, all, gaps []int, try try) (*turns, bool) {
	t := &turns{planner: p, all: all, gaps: gaps, room: p.around(r), numbers: slices.Clone(p.numbers), kept: slices.Clone(p.kept), apart: map[int]bool{}, try: try}
	for _, i := range all {
		if !p.kept[i] {
			t.numbers[i] = 0
		}
	}
	if !t.allInTurn() {
		t.chain()
	}
	for {
		i := t.hardestLeft()
		if i < 0 {
			return t, t.finish()
		}
		if n := t.spot(i); n > 0 {
			t.leave(i, n)
			continue
		}
		// Whatever it takes, others leave the order too.
		n := t.anySpot(i)
		if n == 0 {
			return t, false
		}
		t.leave(i, n)
		t.chain()
	}
}

// finish gives those with a turn their numbers; some that left the order may stand
// in it all the same.
func (t *turns) finish() bool {
	if !t.lay(t.numbers) {
		return false
	}
	if len(t.apart) > 0 || slices.ContainsFunc(t.all, func(i int) bool { return !t.rising[i] }) {
		t.gaps, t.try = make([]int, len(t.all)+1), try{}
		t.chain()
	}
	return true
}

// allInTurn reports whether every device can have its turn, but those that are to
// leave the order.
func (t *turns) allInTurn() bool {
	t.rising = make([]bool, len(t.numbers))
	for _, i := range t.all {
		t.rising[i] = t.numbers[i] != 0 || !slices.Contains(t.try.out, i)
	}
	return t.lay(nil)
}

// leave gives a device a number out of its turn.
func (t *turns) leave(i, n int) {
	t.numbers[i] = n
	t.room.take(n, t.loop.Devices[i].width())
	t.markApart(n, t.loop.Devices[i].width(), true)
}

func (t *turns) markApart(n, width int, apart bool) {
	for k := range width {
		t.apart[n+k] = apart
	}
}

// link is a chain of devices with rising numbers, the last one first.
type link struct{ device, before int }

// chain finds the most devices that can have rising numbers beside those that
// have theirs: by how many have one, the least number above them, device after
// device (as for longest increasing subsequences: Fredman 1975, from memory).
func (t *turns) chain() {
	ends, chains := make([]int, 1, len(t.all)+1), make([]int, 1, len(t.all)+1)
	links := []link{{nobody, 0}}
	for k, i := range t.all {
		if t.gaps[k] > 0 {
			for m := 1; m < len(ends); m++ {
				ends[m], _ = t.room.skip(ends[m], t.gaps[k])
			}
		}
		if slices.Contains(t.try.out, i) && t.numbers[i] == 0 {
			continue
		}
		for m := len(ends) - 1; m >= 0; m-- {
			if m+1 < len(ends) && ends[m+1] <= ends[m]+1 {
				continue // no device could end lower
			}
			end := t.after(i, ends[m])
			switch {
			case end == 0:
			case m+1 == len(ends):
				ends, chains = append(ends, end), append(chains, len(links))
				links = append(links, link{i, chains[m]})
			case end < ends[m+1]:
				ends[m+1], chains[m+1] = end, len(links)
				links = append(links, link{i, chains[m]})
			}
		}
	}
	most := len(ends) - 1
	for ; most > 0; most-- {
		if _, ok := t.room.skip(ends[most], t.gaps[len(t.all)]); ok {
			break
		}
	}
	t.rising = make([]bool, len(t.numbers))
	for l := chains[most]; l > 0; l = links[l].before {
		t.rising[links[l].device] = true
	}
}

// after is the number above a device that has its turn from n on; 0 where it
// cannot have it.
func (t *turns) after(i, n int) int {
	d := &t.loop.Devices[i]
	at := t.numbers[i]
	if at == 0 {
		at = t.fit(t.room, i, n)
	}
	if at == 0 || at < n {
		return 0
	}
	return at + d.width()
}

// hardestLeft finds the device with the fewest places among those without a turn
// and without a number, or -1.
func (t *turns) hardestLeft() int {
	hardest := nobody
	for _, i := range t.all {
		if t.rising[i] || t.numbers[i] != 0 {
			continue
		}
		if hardest < 0 || cmp.Or(cmp.Compare(t.places(i), t.places(hardest)), cmp.Compare(t.loop.Devices[hardest].width(), t.loop.Devices[i].width())) < 0 {
			hardest = i
		}
	}
	return hardest
}

// spot finds a number for a device out of its turn that leaves all others
// theirs, or 0.
func (t *turns) spot(i int) int {
	d := &t.loop.Devices[i]
	used := t.used()
	kept, tried := t.room, t.room.clone()
	defer func() { t.room = kept }()
	for _, n := range t.spots(i) {
		if !kept.fits(n, d.width()) {
			continue
		}
		if used != nil && !slices.Contains(used[n:n+d.width()], true) {
			return n
		}
		copy(tried.next, kept.next)
		tried.take(n, d.width())
		t.room = tried
		t.markApart(n, d.width(), true)
		ok := t.lay(nil)
		if t.markApart(n, d.width(), false); ok {
			return n
		}
	}
	return 0
}

// used marks the numbers of those that have their turn, and the spare ones among
// them; nil where they cannot have it as things are.
func (t *turns) used() []bool {
	numbers := slices.Clone(t.numbers)
	used := make([]bool, t.room.end+1)
	t.spare = used
	ok := t.lay(numbers)
	if t.spare = nil; !ok {
		return nil
	}
	for _, i := range t.all {
		if t.rising[i] {
			for n := range t.loop.Devices[i].width() {
				used[numbers[i]+n] = true
			}
		}
	}
	return used
}

// anySpot finds a number for a device, whoever loses a turn by it.
func (t *turns) anySpot(i int) int {
	for _, n := range t.spots(i) {
		if t.room.fits(n, t.loop.Devices[i].width()) {
			return n
		}
	}
	return 0
}

// spots lists the first numbers of a device: down from its highest where its
// reach ends before its turn, else up from the lowest.
func (t *turns) spots(i int) []int {
	d := &t.loop.Devices[i]
	var all []int
	for n := t.windows[i][0]; n <= t.windows[i][1]; n++ {
		all = append(all, n)
	}
	if (d.Setter.Most() < t.loop.Span.Last) != t.try.down {
		slices.Reverse(all)
	}
	return all
}

// lay gives the devices that have their turn the lowest numbers in their order,
// with the gaps, and reports whether each gets one. The numbers go into a list
// unless it is nil.
func (t *turns) lay(into []int) bool {
	above := 0
	for k, i := range t.all {
		if t.gaps[k] > 0 && above > 0 {
			from := above
			if above, _ = t.room.skip(above, t.gaps[k]); t.parted(from, above) {
				return false
			}
		}
		if !t.rising[i] {
			continue
		}
		end := t.after(i, above)
		if end == 0 {
			return false
		}
		if above = end; into != nil {
			into[i] = end - t.loop.Devices[i].width()
		}
	}
	end, ok := t.room.skip(above, t.gaps[len(t.all)])
	return ok && !t.parted(above, end)
}

// parted reports whether a device that left the order stands among spare numbers.
func (t *turns) parted(from, above int) bool {
	parted := false
	for n := from; n < above; n++ {
		parted = parted || t.apart[n]
		if t.spare != nil {
			t.spare[n] = true
		}
	}
	return parted
}

// out counts the devices that are out of their order.
func (t *turns) out() int {
	n := 0
	for _, i := range t.all {
		if !t.rising[i] {
			n++
		}
	}
	return n
}

// settle takes a plan of a range over.
func (p *planner) settle(t *turns) {
	for _, i := range t.all {
		p.numbers[i], p.kept[i], p.left[i] = t.numbers[i], t.kept[i], !t.rising[i]
	}
}
