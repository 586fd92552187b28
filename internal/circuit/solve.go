package circuit

import "math"

// State is what the loop is in: its faults, and who is in alarm.
type State struct {
	Faults []Fault // none, one or two
	Alarm  []int   // points in alarm, by index in Loop.Points
	All    bool    // every point in alarm
}

// Solution is the state of every point. Where Exists is false the loop has no operating point: past that limit
// a source cannot hold its loads, and the other fields but Fed are empty.
type Solution struct {
	Exists     bool
	Volts      []Volts // by point; 0 where not fed
	Fed        []bool  // by point
	Out, In    Amps    // from each end, in its plus core
	Circulates Amps    // plus core minus minus core of every ring cable
	Steps      int     // Newton steps, the largest of any arc
}

// Solve finds the voltages of one state in time proportional to the number of points. An error means that the
// state itself makes no sense.
func (c *Circuit) Solve(state State) (*Solution, error) {
	left, err := c.cut(state.Faults)
	if err != nil {
		return nil, err
	}
	loads, err := c.loads(state)
	if err != nil {
		return nil, err
	}
	return c.solve(&left, loads), nil
}

// loads picks each point's load in a state.
func (c *Circuit) loads(state State) ([]Load, error) {
	loads := make([]Load, len(c.loop.Points))
	for i := range loads {
		loads[i] = c.loop.Points[i].Rest
		if state.All {
			loads[i] = c.loop.Points[i].Alarm
		}
	}
	for _, i := range state.Alarm {
		if i < 0 || i >= len(loads) {
			return nil, invalid("the loop has points 0 to %d, and none numbered %d in alarm", len(loads)-1, i)
		}
		loads[i] = c.loop.Points[i].Alarm
	}
	return loads, nil
}

func (c *Circuit) solve(left *cut, loads []Load) *Solution {
	w := c.newLadder(left)
	sol := &Solution{Exists: true, Fed: make([]bool, len(loads)), Volts: make([]Volts, len(loads))}
	for i := range loads {
		sol.Fed[i] = left.holds(c, i)
	}
	for _, a := range left.arcs(len(c.ring)) {
		steps, ok := w.settle(a, loads)
		if !ok {
			return &Solution{Fed: sol.Fed}
		}
		sol.Steps = max(sol.Steps, steps)
		out, in := w.ends(a)
		sol.Out += Amps(out)
		sol.In += Amps(in)
		sol.Circulates += Amps(w.circulates)
	}
	for i, v := range w.v {
		sol.Volts[i] = Volts(v)
	}
	return sol
}

// ends gives the current that each end sends into an arc just solved, in the plus core.
func (w *ladder) ends(a arc) (out, in float64) {
	if a.hi == a.lo {
		return 0, 0
	}
	current := func(k int, from, to float64) float64 { return (from-to)*w.g[k] + w.ratio[k]*w.circulates }
	if a.fromOut {
		out = current(a.lo, w.out, w.v[w.c.ring[a.lo]])
	}
	if a.fromIn {
		in = -current(a.hi, w.v[w.c.ring[a.hi-1]], w.in)
	}
	return out, in
}

// Newton stops when no voltage moves by more than this share of the supply; convergence being quadratic, the error
// then is far less.
const (
	settled  = 1e-10
	maxSteps = 200
)

// settle finds the operating point of an arc by Newton's method from above. While an operating point exists the
// iterates fall towards the high one and never pass it, and the system stays positive definite; so a state that is
// not, or a voltage that is not positive, proves that there is none (docs/methods/circuit.md).
func (w *ladder) settle(a arc, loads []Load) (steps int, ok bool) {
	w.enter(a)
	linear := true
	for _, p := range w.live {
		linear = linear && loads[p].Kind != Power
		w.v[p] = w.c.top
	}
	for steps = 1; steps <= maxSteps; steps++ {
		w.linearise(loads)
		if !w.solve(a) {
			return steps, false
		}
		moved, low := w.moved()
		if !(low > 0) {
			return steps, false
		}
		if linear || moved <= settled*w.c.top {
			return steps, true
		}
	}
	return maxSteps, false
}

// enter lists the points of an arc that are fed.
func (w *ladder) enter(a arc) {
	w.live = append(w.live[:0], w.c.ring[a.lo:a.hi]...)
	for s := range w.c.spurs {
		sp := &w.c.spurs[s]
		if sp.at < a.lo || sp.at >= a.hi {
			continue
		}
		w.live = append(w.live, sp.points[:a.reach(s, sp)]...)
	}
}

// linearise puts each load's tangent at its present voltage into slope and fixed, and notes that voltage.
func (w *ladder) linearise(loads []Load) {
	for _, p := range w.live {
		v := w.v[p]
		w.slope[p], w.fixed[p], w.before[p] = 0, 0, v
		value := loads[p].Value
		if value == 0 {
			continue
		}
		switch loads[p].Kind {
		case Current:
			w.fixed[p] = value
		case Resistance:
			w.slope[p] = 1 / value
		case Power:
			w.slope[p], w.fixed[p] = -value/(v*v), 2*value/v
		}
	}
}

// moved gives the largest change of a voltage since linearise and the lowest voltage.
func (w *ladder) moved() (moved, low float64) {
	low = math.Inf(1)
	for _, p := range w.live {
		moved = max(moved, math.Abs(w.v[p]-w.before[p]))
		low = min(low, w.v[p])
	}
	return moved, low
}
