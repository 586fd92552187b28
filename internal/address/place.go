package address

import (
	"cmp"
	"fmt"
	"slices"

	"sootline"
)

// planner holds a plan while it is made.
type planner struct {
	loop    Loop
	blocks  [][]int
	rooms   [2]*room // by range
	numbers []int    // by device; 0: not placed yet
	kept    []bool
	letGo   []bool  // kept at first, then moved to make room
	refused []error // why the number it has cannot stay
	shared  []bool  // the number it has went to another
	notes   []string
}

func newPlanner(l Loop, blocks [][]int) *planner {
	n := len(l.Devices)
	p := &planner{
		loop: l, blocks: blocks, numbers: make([]int, n), kept: make([]bool, n), letGo: make([]bool, n),
		refused: make([]error, n), shared: make([]bool, n),
	}
	p.empty(Sensors)
	p.empty(Modules)
	return p
}

// empty frees every number of a range that is not kept.
func (p *planner) empty(r Range) {
	p.rooms[r] = newRoom(p.loop.Span)
	for i := range p.loop.Devices {
		d := &p.loop.Devices[i]
		if p.loop.rangeOf(d) != r {
			continue
		}
		if p.kept[i] {
			p.rooms[r].take(p.numbers[i], d.width())
			continue
		}
		p.numbers[i] = 0
	}
}

// ofRange lists the devices of a range in the order of the blocks, or of the
// walk where there are none.
func (p *planner) ofRange(r Range) []int {
	blocks := p.blocks
	if blocks == nil {
		blocks = [][]int{p.loop.Walk()}
	}
	var all []int
	for _, i := range slices.Concat(blocks...) {
		if p.loop.rangeOf(&p.loop.Devices[i]) == r {
			all = append(all, i)
		}
	}
	return all
}

// keep keeps as many of the numbers that devices have as can be kept at once.
// Devices take intervals of numbers; taking those that end first keeps the
// most. Of equal ones, one that was found there stays.
func (p *planner) keep() {
	var having []int
	for _, i := range p.loop.Walk() {
		d := &p.loop.Devices[i]
		if d.number() == 0 {
			continue
		}
		if p.refused[i] = p.refuse(d); p.refused[i] == nil {
			having = append(having, i)
		}
	}
	slices.SortStableFunc(having, func(i, j int) int {
		a, b := &p.loop.Devices[i], &p.loop.Devices[j]
		return cmp.Or(cmp.Compare(a.number()+a.width(), b.number()+b.width()),
			cmp.Compare(a.width(), b.width()), cmp.Compare(a.away(), b.away()))
	})
	for _, i := range having {
		d := &p.loop.Devices[i]
		room := p.rooms[p.loop.rangeOf(d)]
		if p.shared[i] = !room.fits(d.number(), d.width()); !p.shared[i] {
			room.take(d.number(), d.width())
			p.numbers[i], p.kept[i] = d.number(), true
		}
	}
}

// away is 1 when a device was found elsewhere than at its number on paper.
func (d *Device) away() int {
	if d.Found != 0 && d.Found != d.number() {
		return 1
	}
	return 0
}

// refuse says why a device cannot keep the number it has.
func (p *planner) refuse(d *Device) error {
	if n := d.number(); n > d.Setter.Most() {
		return sootline.Errorf(sootline.Invalid, "", "number %d cannot be set on it, %d is the highest", n, d.Setter.Most())
	}
	return p.loop.Span.Refuse(d.number(), d.width())
}

// place gives the devices of one range their numbers: as wished; else without
// regard to order and gaps; else by letting go of numbers that were kept, as
// few as make one more device fit. On the empty loop the second way works, as
// Fits has shown.
func (p *planner) place(r Range, all, gaps []int) {
	for {
		p.empty(r)
		if p.placeInTurn(p.rooms[r], all, gaps) {
			return
		}
		p.empty(r)
		_, out := p.placeTight(p.rooms[r], all)
		if out < 0 {
			p.notes = append(p.notes, fmt.Sprintf("loop %s is so full that the devices hardest to place went first: the numbers do not follow the order asked for everywhere", p.loop.Name))
			return
		}
		p.makeRoom(out, all)
	}
}

// placeInTurn gives each device the lowest free numbers above those of the one
// before it, a gap left between them where one is due, or else the lowest of
// all. It reports whether every device got a number.
func (p *planner) placeInTurn(room *room, all, gaps []int) bool {
	above := 0
	for k, i := range all {
		d := &p.loop.Devices[i]
		if !p.kept[i] {
			n := cmp.Or(room.find(above+gaps[k], d.width(), d.Setter.Most()), room.find(0, d.width(), d.Setter.Most()))
			if n == 0 {
				return false
			}
			room.take(n, d.width())
			p.numbers[i] = n
		}
		above = p.numbers[i] + d.width()
	}
	return true
}

// placeTight places the devices that fit in the fewest places first: those
// whose setters reach least far, of these the widest. It gives how many are
// placed, and the first that is not, or -1.
func (p *planner) placeTight(room *room, all []int) (placed, out int) {
	order := slices.Clone(all)
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &p.loop.Devices[i], &p.loop.Devices[j]
		return cmp.Or(cmp.Compare(p.reach(a), p.reach(b)), cmp.Compare(b.width(), a.width()))
	})
	out = -1
	for _, i := range order {
		d := &p.loop.Devices[i]
		if !p.kept[i] {
			p.numbers[i] = room.find(0, d.width(), d.Setter.Most())
		}
		switch {
		case p.numbers[i] == 0 && out < 0:
			out = i
		case p.numbers[i] != 0:
			placed++
			if !p.kept[i] {
				room.take(p.numbers[i], d.width())
			}
		}
	}
	return placed, out
}

// reach is the highest first number that a device can be given.
func (p *planner) reach(d *Device) int { return min(d.Setter.Most(), p.loop.Span.Last) }

// makeRoom lets go of the kept numbers that stand in the way of device i, where
// they are fewest, or of all of them where none stands in its way.
func (p *planner) makeRoom(i int, all []int) {
	owner := make([]int, p.loop.Span.Last+1) // device + 1
	for _, j := range all {
		if p.kept[j] {
			for n := range p.loop.Devices[j].width() {
				owner[p.numbers[j]+n] = j + 1
			}
		}
	}
	d := &p.loop.Devices[i]
	var fewest []int
	for n := p.loop.Span.first(); n <= p.reach(d); n++ {
		if p.loop.Span.Refuse(n, d.width()) != nil {
			continue
		}
		in := owners(owner[n : n+d.width()])
		if len(in) > 0 && (fewest == nil || len(in) < len(fewest)) {
			fewest = in
		}
	}
	if fewest == nil {
		fewest = all
	}
	for _, j := range fewest {
		p.letGo[j] = p.letGo[j] || p.kept[j]
		p.kept[j] = false
	}
}

// owners lists the devices, each once, that take the numbers of a run.
func owners(run []int) []int {
	var in []int
	for _, j := range run {
		if j > 0 && (len(in) == 0 || in[len(in)-1] != j-1) {
			in = append(in, j-1)
		}
	}
	return in
}

// gaps says how many numbers to leave free before each device of a range:
// in proportion to the devices passed, where a block begins.
func (p *planner) gaps(all []int, f Fit, s Style) []int {
	gaps := make([]int, len(all))
	if !s.Spares.Spread {
		return gaps
	}
	begins := map[int]bool{}
	for _, block := range p.blocks {
		for _, i := range block {
			begins[i] = s.By == AlongCable
		}
		if at := slices.IndexFunc(block, func(i int) bool { return p.loop.rangeOf(&p.loop.Devices[i]) == f.Range }); at >= 0 {
			begins[block[at]] = true
		}
	}
	given := 0
	for k, i := range all {
		if due := k * f.Spares / len(all); begins[i] {
			gaps[k], given = due-given, due
		}
	}
	return gaps
}
