package circuit

// arc is a run of ring positions from lo up to hi, fed from OUT on its left, from IN on its right, or both.
type arc struct {
	lo, hi          int
	fromOut, fromIn bool
	fed             []int // as in cut
}

// arcs lists the runs that are still fed.
func (a *cut) arcs(n int) []arc {
	if a.closed {
		return []arc{{0, n, true, true, a.fed}}
	}
	return []arc{
		{0, a.out, true, false, a.fed},
		{a.in, n, false, true, a.fed},
	}
}

// reach is how many points of a spur are fed, if its ring point is.
func (a *arc) reach(s int, sp *spur) int {
	if a.fed != nil {
		return a.fed[s]
	}
	return len(sp.points)
}

// ladder is the working space for one arc at a time. The unknowns are the voltages between the cores at the
// points and, where the arc is a closed ring, the current that circulates: the plus core carries J, the minus core
// J - circulates, with the same circulates in every cable. With it the two cores cost one border of a tridiagonal
// system instead of twice the unknowns.
type ladder struct {
	c       *Circuit
	out, in float64 // volts of the sources

	live []int // the points of the arc that are fed, the ring's first

	// The load of each point, i = slope v + fixed, by point; and the voltage at which it was taken.
	slope, fixed, before []float64

	constants // of the branches; shared with the circuit, save while one core is open

	// By ring position: what is left of the system after elimination.
	inverse, rhs, border []float64

	v          []float64 // volts by point; 0 where nothing is fed
	circulates float64
}

// constants describe each ring branch.
type constants struct {
	g     []float64 // conductance of both cores in series
	ratio []float64 // share of the minus core in the resistance
	par   []float64 // resistance of both cores in parallel
}

// constants works them out for all branches, with one core of branch half open, or BothCores for none. With r+ endless, g
// and ratio are 0 and the parallel resistance is r-; with r- endless, g is 0 and ratio is 1.
func (c *Circuit) constants(half int, opened Core) constants {
	n := len(c.branch)
	space := make([]float64, 3*n)
	k := constants{space[:n], space[n : 2*n], space[2*n:]}
	for i, b := range c.branch {
		r := b.plus + b.minus
		switch {
		case i != half || opened == BothCores:
			k.g[i], k.ratio[i], k.par[i] = 1/r, b.minus/r, b.plus*b.minus/r
		case opened == PlusCore:
			k.par[i] = b.minus
		default:
			k.ratio[i], k.par[i] = 1, b.plus
		}
	}
	return k
}

// newLadder makes the working space for the arcs of a cut.
func (c *Circuit) newLadder(left *cut) *ladder {
	n, m := len(c.ring), len(c.loop.Points)
	space := make([]float64, 4*m+3*n)
	take := func(k int) []float64 {
		part := space[:k:k]
		space = space[k:]
		return part
	}
	known := c.sound
	if left.core != BothCores {
		known = c.constants(left.half, left.core)
	}
	return &ladder{
		c: c, out: float64(c.loop.Out.Volts), in: float64(c.loop.In.Volts), constants: known,
		slope: take(m), fixed: take(m), before: take(m), v: take(m),
		inverse: take(n), rhs: take(n), border: take(n),
	}
}

// solve finds the voltages of an arc for the loads in slope and fixed, and reports whether the system is positive
// definite: whether the state is one that a supply can hold.
func (w *ladder) solve(a arc) bool {
	for s := range w.c.spurs {
		if at := w.c.spurs[s].at; at >= a.lo && at < a.hi && !w.foldSpur(s, &a) {
			return false
		}
	}
	negative := w.eliminate(a)
	w.circulates = 0
	if a.fromOut && a.fromIn {
		if !w.closeRing(a, negative) {
			return false
		}
	} else if negative > 0 {
		return false
	}
	w.substitute(a)
	return true
}

// foldSpur replaces a spur by what its ring point sees of it, from the far end towards the ring. Each point's slope
// and fixed then stand for itself and all beyond.
func (w *ladder) foldSpur(s int, a *arc) bool {
	sp := &w.c.spurs[s]
	for i := a.reach(s, sp) - 1; i >= 0; i-- {
		p := sp.points[i]
		b := &sp.branch[i]
		g := 1 / (b.plus + b.minus)
		pivot := g + w.slope[p]
		if pivot <= 0 {
			return false
		}
		up := w.c.ring[sp.at]
		if i > 0 {
			up = sp.points[i-1]
		}
		w.slope[up] += g * w.slope[p] / pivot
		w.fixed[up] += g * w.fixed[p] / pivot
	}
	return true
}

// eliminate runs down the arc and counts the pivots that are not positive. It carries the admittance seen
// backwards from each point, so that nothing is subtracted and no digits are lost on a lightly loaded end.
func (w *ladder) eliminate(a arc) (negative int) {
	seen, push, edge := 0.0, 0.0, 0.0
	if a.fromOut {
		seen = w.g[a.lo]
		push = seen * w.out
	}
	for k := a.lo; k < a.hi; k++ {
		p := w.c.ring[k]
		seen += w.slope[p]
		push -= w.fixed[p]
		edge += w.ratio[k] - w.ratio[k+1]
		next := w.g[k+1]
		if k+1 == a.hi && !a.fromIn {
			next = 0
		}
		pivot := seen + next
		if !(pivot > 0) {
			negative++
			if pivot == 0 {
				return a.hi + 1
			}
		}
		inverse := 1 / pivot
		w.inverse[k], w.rhs[k], w.border[k] = inverse, push, edge
		share := next * inverse
		seen, push, edge = share*seen, share*push, share*edge
	}
	if a.hi > a.lo && a.fromIn {
		w.rhs[a.hi-1] += w.g[a.hi] * w.in
	}
	return negative
}

// closeRing finds the circulating current from the condition that the minus core leads from one end to the other
// without a change of potential. It reports whether the bordered system has the inertia of a stable state:
// (T, d; d', -s) has one negative eigenvalue exactly if T + d d'/s has none (Haynsworth).
func (w *ladder) closeRing(a arc, negative int) bool {
	sum := 0.0
	for k := a.lo; k <= a.hi; k++ {
		sum += w.par[k]
	}
	if negative > 1 {
		return false
	}
	last := a.hi - 1
	dy, dz := 0.0, 0.0
	for k := last; k >= a.lo; k-- {
		if k < last {
			w.rhs[k] += w.g[k+1] * w.rhs[k+1]
			w.border[k] += w.g[k+1] * w.border[k+1]
		}
		w.rhs[k] *= w.inverse[k]
		w.border[k] *= w.inverse[k]
		d := w.ratio[k] - w.ratio[k+1]
		dy += d * w.rhs[k]
		dz += d * w.border[k]
	}
	// A core without any resistance leaves 0 here, and nothing that could be told apart circulates.
	schur := sum + dz
	if schur != 0 {
		ends := w.ratio[a.lo]*w.out - w.ratio[a.hi]*w.in
		w.circulates = (ends - dy) / schur
	}
	if schur < 0 {
		return negative == 1
	}
	return negative == 0
}

// substitute writes the voltages of an arc into v, spurs included.
func (w *ladder) substitute(a arc) {
	last := a.hi - 1
	closed := a.fromOut && a.fromIn
	for k := last; k >= a.lo; k-- {
		switch {
		case closed: // closeRing has substituted already
			w.rhs[k] += w.circulates * w.border[k]
		case k < last:
			w.rhs[k] = (w.rhs[k] + w.g[k+1]*w.rhs[k+1]) * w.inverse[k]
		default:
			w.rhs[k] *= w.inverse[k]
		}
		w.v[w.c.ring[k]] = w.rhs[k]
	}
	for s := range w.c.spurs {
		sp := &w.c.spurs[s]
		if sp.at < a.lo || sp.at >= a.hi {
			continue
		}
		up := w.v[w.c.ring[sp.at]]
		for i, p := range sp.points[:a.reach(s, sp)] {
			g := 1 / (sp.branch[i].plus + sp.branch[i].minus)
			up = (g*up - w.fixed[p]) / (g + w.slope[p])
			w.v[p] = up
		}
	}
}
