package circuit

import "slices"

// Fault is one thing wrong with one cable.
type Fault struct {
	Kind    FaultKind
	Segment Segment
	Core    Core // of an open; a short is between both
}

// FaultKind says what is wrong.
type FaultKind uint8

// The kinds of fault.
const (
	Open  FaultKind = iota // interrupted
	Short                  // core to core, with the isolators around it open
)

// Core says which core is interrupted.
type Core uint8

// The cores.
const (
	BothCores Core = iota
	PlusCore
	MinusCore
)

// cut is what faults leave of the circuit. Ring positions before out are fed from OUT, those from in on are fed
// from IN, and what lies between is lost. A closed ring has no such positions.
type cut struct {
	closed  bool
	out, in int
	fed     []int // how many points of each spur are fed, if its ring point is; nil: all
	core    Core  // other than BothCores: the one that is open in branch half, and nothing else is cut
	half    int
}

func (c *Circuit) whole() cut { return cut{closed: true, out: len(c.ring), in: len(c.ring)} }

// cut works out what a set of faults leaves.
func (c *Circuit) cut(faults []Fault) (cut, error) {
	left := c.whole()
	for _, f := range faults {
		if f.Segment < 0 || f.Segment > c.loop.ReturnSegment() {
			return cut{}, invalid("the loop has cables 0 to %d, and no cable %d", c.loop.ReturnSegment(), f.Segment)
		}
		if f.Core != BothCores && (len(faults) > 1 || f.Kind == Short) {
			return cut{}, invalid("a single open core is solved by itself, not with a second fault and not as a short")
		}
		left = left.and(c.cutBy(f, faults...))
	}
	return left, nil
}

// cutBy works out what one fault leaves; others may be given, for a short does not pass a break.
func (c *Circuit) cutBy(f Fault, others ...Fault) cut {
	left := c.whole()
	n := node{-1, len(c.ring)}
	if f.Segment < c.loop.ReturnSegment() {
		n = c.nodes[f.Segment]
	}
	switch {
	case f.Kind == Short && n.spur >= 0:
		return c.shortOnSpur(n, others)
	case f.Kind == Short:
		left.closed = false
		left.out, left.in = c.reachLeft(n.pos, others), c.reachRight(n.pos, others)
	case n.spur >= 0: // no ring goes around an interrupted core of a spur
		left.fed = c.allFed()
		left.fed[n.spur] = n.pos
	case f.Core != BothCores:
		left.half, left.core = n.pos, f.Core
	default:
		left.closed = false
		left.out, left.in = n.pos, n.pos
	}
	return left
}

func (c *Circuit) allFed() []int {
	fed := make([]int, len(c.spurs))
	for s := range c.spurs {
		fed[s] = len(c.spurs[s].points)
	}
	return fed
}

// and combines two faults: on a ring, whatever lies between them is lost.
func (a cut) and(b cut) cut {
	switch {
	case a.closed:
		a.closed, a.out, a.in = b.closed, b.out, b.in
	case !b.closed:
		a.out, a.in = min(a.out, b.out), max(a.in, b.in)
	}
	if a.fed == nil {
		a.fed = b.fed
	} else if b.fed != nil {
		for s := range a.fed {
			a.fed[s] = min(a.fed[s], b.fed[s])
		}
	}
	if b.core != BothCores {
		a.half, a.core = b.half, b.core
	}
	return a
}

// holds reports whether a point is still fed.
func (a *cut) holds(c *Circuit, point int) bool {
	n := c.nodes[point]
	pos := n.pos
	if n.spur >= 0 {
		if a.fed != nil && n.pos >= a.fed[n.spur] {
			return false
		}
		pos = c.spurs[n.spur].at
	}
	return a.closed || pos < a.out || pos >= a.in
}

// reachLeft gives the first ring position that a short in branch k takes with it towards OUT.
func (c *Circuit) reachLeft(k int, others []Fault) int {
	for !c.branch[k].left {
		k--
		if c.branch[k].right || broken(c.segment(k), others) {
			break
		}
	}
	return k
}

// reachRight gives the first ring position beyond branch k that a short in it does not take towards IN.
func (c *Circuit) reachRight(k int, others []Fault) int {
	for !c.branch[k].right {
		k++
		if c.branch[k].left || broken(c.segment(k), others) {
			break
		}
	}
	return k
}

// shortOnSpur works out what a short on a spur takes: the spur from the nearest isolator towards the ring on,
// and, where there is none, what a short at its ring point takes.
func (c *Circuit) shortOnSpur(n node, others []Fault) cut {
	left := c.whole()
	sp := &c.spurs[n.spur]
	for k := n.pos; ; k-- {
		b := sp.branch[k]
		if b.left || k < n.pos && (b.right || broken(Segment(sp.points[k]), others)) {
			left.fed = c.allFed()
			left.fed[n.spur] = k
			return left
		}
		if k == 0 {
			break
		}
	}
	left.closed = false
	left.out, left.in = sp.at, sp.at+1
	if !c.branch[sp.at].right && !broken(c.segment(sp.at), others) {
		left.out = c.reachLeft(sp.at, others)
	}
	if !c.branch[sp.at+1].left && !broken(c.segment(sp.at+1), others) {
		left.in = c.reachRight(sp.at+1, others)
	}
	return left
}

// broken reports whether a cable is interrupted by one of the faults.
func broken(s Segment, faults []Fault) bool {
	return slices.ContainsFunc(faults, func(f Fault) bool { return f.Kind == Open && f.Segment == s })
}
