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
	numbers []int   // by device; 0: not placed yet
	kept    []bool  // it has the number that it had
	roomFor []int   // the device + 1 for which a number was let go
	refused []error // why the number it has cannot stay
	left    []bool  // it leaves its order
	notes   []string
	windows [][2]int // the lowest and the highest first number that each device can have
}

func newPlanner(l Loop, blocks [][]int) *planner {
	n := len(l.Devices)
	p := &planner{
		loop: l, blocks: blocks, numbers: make([]int, n), kept: make([]bool, n), roomFor: make([]int, n),
		refused: make([]error, n), left: make([]bool, n), windows: make([][2]int, n),
	}
	for i := range l.Devices {
		d := &l.Devices[i]
		p.windows[i] = [2]int{max(d.Setter.Least(), l.Span.first()), min(d.Setter.Most(), l.Span.Last-d.width()+1)}
	}
	return p
}

// around is the room of a range with the numbers taken that are kept.
func (p *planner) around(r Range) *room {
	room := newRoom(p.loop.Span)
	for i := range p.loop.Devices {
		if d := &p.loop.Devices[i]; p.kept[i] && p.loop.rangeOf(d) == r {
			room.take(p.numbers[i], d.width())
		}
	}
	return room
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

// pin keeps the numbers of the devices that must keep them.
func (p *planner) pin() error {
	rooms := [2]*room{newRoom(p.loop.Span), newRoom(p.loop.Span)}
	for i := range p.loop.Devices {
		d := &p.loop.Devices[i]
		if !d.Pinned {
			continue
		}
		if d.number() == 0 {
			return sootline.Errorf(sootline.Invalid, "let it go, or give it a number first", "%s must keep its number, and has none", d.Name)
		}
		if err := p.refuse(d); err != nil {
			return fmt.Errorf("%s must keep number %d: %w", d.Name, d.number(), err)
		}
		room := rooms[p.loop.rangeOf(d)]
		if !room.fits(d.number(), d.width()) {
			return sootline.Errorf(sootline.Conflict, "let one of them go", "%s must keep number %d, and another that must keep its own takes it too", d.Name, d.number())
		}
		room.take(d.number(), d.width())
		p.numbers[i], p.kept[i] = d.number(), true
	}
	return nil
}

// keep keeps as many of the numbers that devices have as can be kept at once,
// beside those that must be. Devices take intervals of numbers; taking those that
// end first keeps the most. Of equal ones, one that was found there stays.
func (p *planner) keep(r Range) {
	var having []int
	for _, i := range p.ofRange(r) {
		d := &p.loop.Devices[i]
		if d.number() == 0 || p.kept[i] {
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
	room := p.around(r)
	for _, i := range having {
		d := &p.loop.Devices[i]
		if room.fits(d.number(), d.width()) {
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
	switch n := d.number(); {
	case n > d.Setter.Most():
		return sootline.Errorf(sootline.Invalid, "", "number %d cannot be set on it, %d is the highest", n, d.Setter.Most())
	case n < d.Setter.Least():
		return sootline.Errorf(sootline.Invalid, "", "number %d cannot be set on it, %d is the lowest", n, d.Setter.Least())
	}
	return p.loop.Span.Refuse(d.number(), d.width())
}

// fit gives the lowest first number from n on that a device can have in a room,
// or 0.
func (p *planner) fit(room *room, i, n int) int {
	w := p.windows[i]
	return room.find(max(n, w[0]), p.loop.Devices[i].width(), w[1])
}

// place gives the devices of one range their numbers: in their order, but for
// those that cannot take their turn; else, on a loop so full that this fails, as
// they fit; else by letting go of numbers that were kept.
func (p *planner) place(f Fit, s Style) error {
	all := p.ofRange(f.Range)
	for {
		if t := p.best(f, s, all); t != nil {
			p.settle(t)
			p.noteTurns(t, s)
			return nil
		}
		numbers, out := p.packed(f.Range, all)
		if out < 0 {
			for _, i := range all {
				p.numbers[i] = numbers[i]
			}
			p.notes = append(p.notes, fmt.Sprintf("loop %s is so full that the devices hardest to place went first: the numbers do not follow the order asked for everywhere", p.loop.Name))
			return nil
		}
		if !slices.ContainsFunc(all, p.mayGo) {
			return sootline.Errorf(sootline.Invalid, "let one of those go that must keep their numbers", "%s fits nowhere beside the devices that must keep their numbers", p.loop.Devices[out].Name)
		}
		p.makeRoom(f, s, out, all)
	}
}

// makeRoom lets go of a kept number so that all fit, or more do: one that is
// enough by itself, where there is one, else those that stand in the way of device
// i where they are fewest, else all but those that must stay.
func (p *planner) makeRoom(f Fit, s Style, i int, all []int) {
	if j := p.enough(f, s, all); j >= 0 {
		p.kept[j], p.roomFor[j] = false, i+1
		return
	}
	fewest := p.inTheWay(i, all)
	if fewest == nil {
		fewest = all
	}
	for _, j := range fewest {
		if p.mayGo(j) {
			p.kept[j], p.roomFor[j] = false, i+1
		}
	}
}

// enough finds the kept number whose going makes all fit, and most of them follow
// the order, or -1.
func (p *planner) enough(f Fit, s Style, all []int) int {
	best, least, left := nobody, len(all)+1, triesOf(all)
	for _, j := range all {
		if !p.mayGo(j) {
			continue
		}
		p.kept[j] = false
		if _, out := p.packed(f.Range, all); out < 0 {
			if t, ok := p.turns(f.Range, all, p.gaps(all, f, s), try{}); best < 0 || ok && t.out() < least {
				best = j
				if ok {
					least = t.out()
				}
			}
			left--
		}
		if p.kept[j] = true; left == 0 {
			break
		}
	}
	return best
}

func (p *planner) mayGo(i int) bool { return p.kept[i] && !p.loop.Devices[i].Pinned }

// inTheWay finds the kept numbers that stand on a run for device i where they are
// fewest, or nil.
func (p *planner) inTheWay(i int, all []int) []int {
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
	for n := p.windows[i][0]; n <= p.windows[i][1]; n++ {
		if p.loop.Span.Refuse(n, d.width()) != nil {
			continue
		}
		in := owners(owner[n : n+d.width()])
		if slices.ContainsFunc(in, func(j int) bool { return !p.mayGo(j) }) {
			continue
		}
		if len(in) > 0 && (fewest == nil || len(in) < len(fewest)) {
			fewest = in
		}
	}
	return fewest
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

// gaps says how many numbers to leave free before each device of a range, and
// above the last: so many at the end of each block, or in proportion to the devices
// passed, where a block begins.
func (p *planner) gaps(all []int, f Fit, s Style) []int {
	gaps := make([]int, len(all)+1)
	if !s.Spares.Spread && !s.Spares.Each {
		return gaps
	}
	begins := p.begins(f.Range)
	given := 0
	for k, i := range all {
		switch due := k * f.Spares / len(all); {
		case s.Spares.Each && begins[i] && k > 0:
			gaps[k] = s.Spares.Count
		case !s.Spares.Each && (begins[i] || s.By == AlongCable):
			gaps[k], given = due-given, due
		}
	}
	if s.Spares.Each {
		gaps[len(all)] = s.Spares.Count
	}
	return gaps
}

// begins are the devices with which the blocks of a range begin.
func (p *planner) begins(r Range) map[int]bool {
	begins := map[int]bool{}
	for _, block := range p.blocks {
		if at := slices.IndexFunc(block, func(i int) bool { return p.loop.rangeOf(&p.loop.Devices[i]) == r }); at >= 0 {
			begins[block[at]] = true
		}
	}
	return begins
}

// outOfTurn lists the devices that leave their order, in that order.
func (p *planner) outOfTurn() []int {
	return slices.DeleteFunc(append(p.ofRange(Sensors), p.ofOther()...), func(i int) bool { return !p.left[i] })
}

// ofOther lists the devices of the second range, where there is one.
func (p *planner) ofOther() []int {
	if p.loop.Span.Separate {
		return p.ofRange(Modules)
	}
	return nil
}
