package loops

import "math"

// net is the two cores of a loop under one fault: nodes with conductances between them and to the panel, whose minus
// is 0 V and whose plus is the supply.
type net struct {
	loop  *Loop
	volts float64 // of the supply
	cut   cut
	plus  []int // node of each point's plus core, -1: lost
	minus []int
	nodes int
	links []link
}

// link is a core of a stretch. An end that is the panel is panelPlus or panelMinus.
type link struct {
	stretch int
	minus   bool
	a, b    int
	siemens float64
}

const (
	panelPlus  = -1
	panelMinus = -2
)

func newNet(l *Loop, volts float64, c cut) *net {
	n := &net{loop: l, volts: volts, cut: c}
	lost := l.lost(c)
	for _, gone := range lost {
		plus, minus := -1, -1
		if !gone {
			plus, minus = n.nodes, n.nodes+1
			n.nodes += 2
		}
		n.plus, n.minus = append(n.plus, plus), append(n.minus, minus)
	}
	for s := range l.Stretches() {
		plus, minus := l.ohms(s)
		n.link(s, false, c.plus[s], plus)
		n.link(s, true, c.minus[s], minus)
	}
	return n
}

func (n *net) link(stretch int, minus, whole bool, ohms float64) {
	a, b := n.loop.Ends(stretch)
	to := link{stretch, minus, n.node(a, minus), n.node(b, minus), 1 / ohms}
	if whole && to.a != lostNode && to.b != lostNode {
		n.links = append(n.links, to)
	}
}

const lostNode = -3

func (n *net) node(point int, minus bool) int {
	of := n.plus
	if minus {
		of = n.minus
	}
	switch {
	case point < 0 && minus:
		return panelMinus
	case point < 0:
		return panelPlus
	case of[point] < 0:
		return lostNode
	}
	return of[point]
}

// build gives the conductances between nodes and the currents that the supply puts into them.
func (n *net) build() (matrix, []float64) {
	g, in := newMatrix(n.nodes), make([]float64, n.nodes)
	for _, k := range n.links {
		for _, end := range [][2]int{{k.a, k.b}, {k.b, k.a}} {
			from, to := end[0], end[1]
			if from < 0 {
				continue
			}
			g[from][from] += k.siemens
			if to >= 0 {
				g[from][to] -= k.siemens
			} else if to == panelPlus {
				in[from] += k.siemens * n.volts
			}
		}
	}
	return g, in
}

// at gives the volts of a node or terminal.
func (n *net) at(node int, x []float64) float64 {
	switch node {
	case panelPlus:
		return n.volts
	case panelMinus:
		return 0
	}
	return x[node]
}

// Operation is a point of operation of a loop.
type Operation struct {
	Volts   []float64 // of each point, NaN: lost
	Out, In float64   // amps from each plus terminal
	Carried []float64 // amps in the plus core of each stretch, towards IN; on a spur, away from the ring
}

// read gives the point of operation from the volts of the nodes.
func (n *net) read(x []float64) Operation {
	p := Operation{Volts: make([]float64, len(n.plus)), Carried: make([]float64, n.loop.Stretches())}
	for i, node := range n.plus {
		p.Volts[i] = math.NaN()
		if node >= 0 {
			p.Volts[i] = x[node] - x[n.minus[i]]
		}
	}
	for _, k := range n.links {
		if k.minus {
			continue
		}
		amps := (n.at(k.a, x) - n.at(k.b, x)) * k.siemens
		p.Carried[k.stretch] = amps
		if a, b := n.loop.Ends(k.stretch); a == OUT {
			p.Out += amps
		} else if b == IN {
			p.In -= amps
		}
	}
	return p
}

// operate finds the upper point of operation with these loads, by Newton's method from the volts without load. The
// volts fall from step to step, so that what is reached is the upper one; false where there is none.
func (n *net) operate(draw func(point int, v float64) (amps, slope float64)) (Operation, bool) {
	g, in := n.build()
	x := append([]float64{}, in...)
	if !g.solve(x) {
		return Operation{}, false
	}
	for range 80 {
		g, f := n.build()
		for i, p := range n.plus {
			if m := n.minus[i]; p >= 0 {
				v := x[p] - x[m]
				amps, slope := draw(i, v)
				amps -= slope * v // the tangent
				f[p], f[m] = f[p]-amps, f[m]+amps
				g[p][p], g[p][m] = g[p][p]+slope, g[p][m]-slope
				g[m][m], g[m][p] = g[m][m]+slope, g[m][p]-slope
			}
		}
		if !g.solve(f) {
			return Operation{}, false
		}
		moved := 0.0
		for k := range f {
			moved = max(moved, math.Abs(f[k]-x[k]))
		}
		x = f
		for i, p := range n.plus {
			if p >= 0 && x[p]-x[n.minus[i]] <= 0 {
				return Operation{}, false
			}
		}
		if moved < 1e-11 {
			return n.read(x), true
		}
	}
	return Operation{}, false
}
