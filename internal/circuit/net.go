package circuit

import (
	"sootline"
)

// Circuit is a loop that was checked and can be solved. It is never changed, so several goroutines may share it.
type Circuit struct {
	loop   Loop
	ring   []int    // the points on the ring, in order
	branch []branch // branch k leads to ring[k]; the last one leads back to IN
	spurs  []spur
	nodes  []node // one a point: where it hangs
	sound  constants
	top    float64
}

// branch is a stretch of cable between neighbouring points, with the isolators at its ends and, at the panel,
// the source.
type branch struct {
	plus, minus float64
	left, right bool // an isolator, or the panel, can open at this end
}

// spur is a chain of points that hangs from ring position at.
type spur struct {
	at     int
	points []int
	branch []branch // branch i leads to points[i]
}

// node says where a point hangs: on the ring at position pos, or at position pos of a spur.
type node struct{ spur, pos int } // spur -1: on the ring

// New checks a loop and makes it ready to be solved. The error is a sentence that names the point.
func New(loop Loop) (*Circuit, error) {
	c := &Circuit{loop: loop.clone()}
	if err := c.check(); err != nil {
		return nil, err
	}
	if err := c.thread(); err != nil {
		return nil, err
	}
	if err := c.isolate(); err != nil {
		return nil, err
	}
	first, last := &c.branch[0], &c.branch[len(c.ring)]
	first.plus += float64(loop.Out.Plus)
	first.minus += float64(loop.Out.Minus)
	last.plus += float64(loop.In.Plus)
	last.minus += float64(loop.In.Minus)
	first.left, last.right = true, true
	c.sound = c.constants(0, BothCores)
	c.top = max(float64(loop.Out.Volts), float64(loop.In.Volts))
	return c, nil
}

// Loop gives the loop that the circuit was made from. It is not to be changed.
func (c *Circuit) Loop() *Loop { return &c.loop }

// Cabling is what the cable of a loop comes to, for the limits that a panel sets.
type Cabling struct {
	EndToEnd Ohms   // both cores in series from OUT to IN, closed isolators included, the panel's own resistance not
	Metres   Metres // of the ring and its spurs, where they are known
	Unknown  int    // cables without metres
}

// Cabling sums the cable up.
func (c *Circuit) Cabling() Cabling {
	var sum Cabling
	for k := range c.branch {
		sum.EndToEnd += Ohms(c.branch[k].plus + c.branch[k].minus)
	}
	sum.EndToEnd -= c.loop.Out.Plus + c.loop.Out.Minus + c.loop.In.Plus + c.loop.In.Minus
	for s := range c.loop.ReturnSegment() + 1 {
		cable := c.loop.Return
		if s < c.loop.ReturnSegment() {
			cable = c.loop.Points[s].Cable
		}
		sum.Metres += cable.Metres
		if cable.Metres <= 0 {
			sum.Unknown++
		}
	}
	return sum
}

// thread sorts the points into the ring and its spurs and works out the resistance of every cable.
func (c *Circuit) thread() error {
	at := make(map[string]int, len(c.loop.Points))
	for i := range c.loop.Points {
		at[c.loop.Points[i].Name] = i
	}
	bySpur := map[int]int{}
	c.nodes = make([]node, len(c.loop.Points))
	for i := range c.loop.Points {
		p := &c.loop.Points[i]
		b, err := newBranch(p.Cable, "the cable to "+p.Name)
		if err != nil {
			return err
		}
		if p.Spur == "" {
			c.nodes[i] = node{-1, len(c.ring)}
			c.ring, c.branch = append(c.ring, i), append(c.branch, b)
			continue
		}
		parent := at[p.Spur] // check has seen to it that it is there
		s, known := bySpur[parent]
		if !known {
			s = len(c.spurs)
			bySpur[parent] = s
			c.spurs = append(c.spurs, spur{at: parent})
		}
		c.nodes[i] = node{s, len(c.spurs[s].points)}
		c.spurs[s].points = append(c.spurs[s].points, i)
		c.spurs[s].branch = append(c.spurs[s].branch, b)
	}
	for s := range c.spurs {
		c.spurs[s].at = c.nodes[c.spurs[s].at].pos // from point to ring position, known only now
	}
	back, err := newBranch(c.loop.Return, "the return cable")
	c.branch = append(c.branch, back)
	return err
}

func newBranch(cable Cable, what string) (branch, error) {
	plus, minus, err := cable.Cores()
	if err != nil {
		return branch{}, sootline.Errorf(sootline.Invalid, "", "%s: %w", what, err)
	}
	if r := plus + minus; r < leastOhms || r > mostOhms {
		return branch{}, invalid("%s has %g ohm, and what can be calculated lies between %g and %g", what, float64(r), leastOhms, mostOhms)
	}
	return branch{plus: float64(plus), minus: float64(minus)}, nil
}

// isolate puts the isolators' resistance into the branches and marks the ends at which they open.
func (c *Circuit) isolate() error {
	for _, iso := range c.loop.Isolators {
		n := c.nodes[c.loop.at(iso.Point)]
		share := 1.0
		if iso.Side == Base {
			share = 0.5
		}
		for _, b := range c.sides(n, iso.Side) {
			b.branch.plus += share * float64(iso.Plus)
			b.branch.minus += share * float64(iso.Minus)
			*b.end = true
		}
		if iso.Side == Branch && len(c.sides(n, Branch)) == 0 {
			return sootline.Errorf(sootline.Invalid, "", "the isolator at %s opens towards a spur, and no spur hangs there", iso.Point)
		}
	}
	return nil
}

type branchEnd struct {
	branch *branch
	end    *bool
}

// sides lists the ends of branches that an isolator at a point opens.
func (c *Circuit) sides(n node, side Side) []branchEnd {
	line := c.branch
	if n.spur >= 0 {
		line = c.spurs[n.spur].branch
	}
	var ends []branchEnd
	if side == Before || side == Base {
		ends = append(ends, branchEnd{&line[n.pos], &line[n.pos].right})
	}
	if (side == After || side == Base) && n.pos+1 < len(line) {
		ends = append(ends, branchEnd{&line[n.pos+1], &line[n.pos+1].left})
	}
	if side == Branch && n.spur < 0 {
		for s := range c.spurs {
			if c.spurs[s].at == n.pos {
				ends = append(ends, branchEnd{&c.spurs[s].branch[0], &c.spurs[s].branch[0].left})
			}
		}
	}
	return ends
}
