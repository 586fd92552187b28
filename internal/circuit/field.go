package circuit

import "math"

// field is an arc under one fault as what each ampere drawn at a point does: volts and currents are then sums over the
// loads, and what the alarms can make of a sum is bounded by choosing its largest terms.
type field struct {
	c       *Circuit
	w       *ladder
	stood   stood
	live    []int       // points that are fed, by index
	none    []float64   // volts of each with nothing drawn
	z       [][]float64 // volts that live i loses by an ampere at live j; no entry is negative
	rows    []row
	rest    []Load
	alarm   []Load
	kin     []kin // who stands beyond whom
	power   bool  // some load is a constant power
	ohmic   bool  // some load is a constant resistance
	single  bool  // fed from one end
	nothing []float64
}

// row is a limit as a sum: weight times current, over the loads, comes to at most budget.
type row struct {
	limit  Limit
	point  int       // the device or isolator, by index in the loop; -1: none
	weight []float64 // by place in live
	budget float64
	needs  float64 // the limit in its own unit
	at     int     // place in live of a row of volts, else -1
}

// kin says which devices are alike and in line: of two of one group, the one with more depth lies further from what feeds it.
type kin struct{ group, depth int }

// field works an arc out, an ampere at a time.
func (c *Circuit) field(s stood) *field {
	f := &field{c: c, w: c.newLadder(&s.left), stood: s, single: !(s.arc.fromOut && s.arc.fromIn)}
	f.w.enter(s.arc)
	f.live = append(f.live, f.w.live...)
	clear(f.w.slope)
	clear(f.w.fixed)
	f.w.solve(s.arc)
	n := len(f.live)
	f.none, f.nothing = make([]float64, n), make([]float64, n)
	for i, p := range f.live {
		f.none[i] = f.w.v[p]
		point := &c.loop.Points[p]
		f.rest, f.alarm = append(f.rest, point.Rest), append(f.alarm, point.Alarm)
		for _, load := range [...]Load{point.Rest, point.Alarm} {
			f.power = f.power || load.Kind == Power && load.Value > 0
			f.ohmic = f.ohmic || load.Kind == Resistance && load.Value > 0
		}
	}
	flows := f.flows()
	for _, fl := range flows {
		fl.idle = fl.current()
		fl.weight = make([]float64, n)
	}
	f.z = make([][]float64, n)
	space := make([]float64, n*n)
	for j, p := range f.live {
		f.w.transfer(s.arc, p)
		f.z[j] = space[j*n : (j+1)*n : (j+1)*n]
		for i, q := range f.live {
			f.z[j][i] = -f.w.v[q]
		}
		out, in := f.w.out, f.w.in
		f.w.out, f.w.in = 0, 0
		for _, fl := range flows {
			fl.weight[j] = fl.current()
		}
		f.w.out, f.w.in = out, in
	}
	f.volts()
	for _, fl := range flows {
		f.rows = append(f.rows, fl.rows()...)
	}
	f.kinship()
	return f
}

// volts makes the rows of devices and of isolators that must hold.
func (f *field) volts() {
	points := f.c.loop.Points
	holds := map[int]float64{}
	for i := range f.c.loop.Isolators {
		iso := &f.c.loop.Isolators[i]
		if iso.Holds > 0 {
			p := f.c.loop.at(iso.Point)
			holds[p] = max(holds[p], float64(iso.Holds))
		}
	}
	for i, p := range f.live {
		least, limit := 0.0, LeastVolts
		if !points[p].Junction {
			least = float64(points[p].Least)
		}
		if holds[p] > least {
			least, limit = holds[p], IsolatorHolds
		}
		if least == 0 { // its volts are not judged, but there are some
			limit = OperatingPoint
		}
		if least > 0 || !f.power {
			f.rows = append(f.rows, row{limit: limit, point: p, weight: f.z[i], budget: f.none[i] - least, needs: least, at: i})
		}
	}
	if f.power { // a row that breaks only where there is no operating point
		f.rows = append(f.rows, row{limit: OperatingPoint, point: -1, weight: f.nothing, at: -1})
	}
}

// flow is a current that has a limit, as a sum over the loads.
type flow struct {
	limit   Limit
	point   int
	most    float64
	current func() float64 // of what the ladder has solved
	idle    float64        // with nothing drawn
	weight  []float64
}

// rows gives the flow's limit in both directions.
func (fl *flow) rows() []row {
	back := make([]float64, len(fl.weight))
	away := false
	for i, w := range fl.weight {
		back[i] = -w
		away = away || w < 0
	}
	list := []row{{limit: fl.limit, point: fl.point, weight: fl.weight, budget: fl.most - fl.idle, needs: fl.most, at: -1}}
	if away || fl.idle < 0 {
		list = append(list, row{limit: fl.limit, point: fl.point, weight: back, budget: fl.most + fl.idle, needs: fl.most, at: -1})
	}
	return list
}

// flows lists the currents of the arc that have a limit: each end's, and those of isolators.
func (f *field) flows() []*flow {
	var list []*flow
	w, a, l := f.w, f.stood.arc, &f.c.loop
	if a.fromOut && l.Out.Limit > 0 {
		list = append(list, &flow{limit: OutCurrent, point: -1, most: float64(l.Out.Limit), current: func() float64 { out, _ := w.ends(a); return out }})
	}
	if a.fromIn && l.In.Limit > 0 {
		list = append(list, &flow{limit: InCurrent, point: -1, most: float64(l.In.Limit), current: func() float64 { _, in := w.ends(a); return in }})
	}
	for i := range l.Isolators {
		iso := &l.Isolators[i]
		if iso.Carries <= 0 {
			continue
		}
		p := l.at(iso.Point)
		for _, current := range f.c.through(w, &f.stood.arc, p, iso.Side) {
			list = append(list, &flow{limit: IsolatorCarries, point: p, most: float64(iso.Carries), current: current})
		}
	}
	return list
}

// through gives the currents in the plus core of the cables on an isolator's side of its point, of what the ladder has
// solved for the arc.
func (c *Circuit) through(w *ladder, a *arc, p int, side Side) []func() float64 {
	var list []func() float64
	n := c.nodes[p]
	add := func(spur, k int) { list = append(list, func() float64 { return c.plusCurrent(w, a, spur, k) }) }
	before, after := side == Before || side == Base, side == After || side == Base
	if before {
		add(n.spur, n.pos)
	}
	if after && (n.spur < 0 || n.pos+1 < len(c.spurs[n.spur].points)) {
		add(n.spur, n.pos+1)
	}
	if side == Branch {
		for s := range c.spurs {
			if n.spur < 0 && c.spurs[s].at == n.pos {
				add(s, 0)
			}
		}
	}
	return list
}

// plusCurrent is what flows towards IN, or away from the ring, in the plus core of branch k of the ring (spur < 0) or of a spur.
func (c *Circuit) plusCurrent(w *ladder, a *arc, spur, k int) float64 {
	if spur >= 0 {
		sp := &c.spurs[spur]
		if sp.at < a.lo || sp.at >= a.hi || k >= a.reach(spur, sp) {
			return 0
		}
		up := w.v[c.ring[sp.at]]
		if k > 0 {
			up = w.v[sp.points[k-1]]
		}
		b := &sp.branch[k]
		return (up - w.v[sp.points[k]]) / (b.plus + b.minus)
	}
	if k < a.lo || k > a.hi || k == a.lo && !a.fromOut || k == a.hi && !a.fromIn {
		return 0
	}
	from, to := w.out, w.in
	if k > a.lo {
		from = w.v[c.ring[k-1]]
	}
	if k < a.hi {
		to = w.v[c.ring[k]]
	}
	return (from-to)*w.g[k] + w.ratio[k]*w.circulates
}

// kinship groups devices that are alike and in line. Of such, an alarm further out is never the lesser evil: it costs
// every point at least as much, as long as what an alarm adds does not shrink when the volts fall. Where resistances draw
// or both ends feed that was not proved, and each device is a group of its own.
func (f *field) kinship() {
	type like struct {
		rest, alarm Load
		spur        int
	}
	groups := map[like]int{}
	for i, p := range f.live {
		n := f.c.nodes[p]
		k := kin{group: -1 - i, depth: n.pos}
		if n.spur < 0 && f.stood.arc.fromIn {
			k.depth = -n.pos
		}
		if f.single && !f.ohmic && swells(f.rest[i], f.alarm[i], f.c.top) {
			key := like{f.rest[i], f.alarm[i], n.spur}
			g, known := groups[key]
			if !known {
				g = len(groups)
				groups[key] = g
			}
			k.group = g
		}
		f.kin = append(f.kin, k)
	}
}

// swells reports whether an alarm adds current, and no less of it where the volts are less.
func swells(rest, alarm Load, top float64) bool {
	if rest.Kind == Power && rest.Value > 0 && !(alarm.Kind == Power && alarm.Value >= rest.Value) {
		return false
	}
	return alarm.at(top) >= rest.at(top)
}

// draws gives the loads with the devices of a set in alarm.
func (f *field) draws(in []bool) []Load {
	loads := f.w.restLoads()
	for i, p := range f.live {
		if in[i] {
			loads[p] = f.alarm[i]
		}
	}
	return loads
}

// past solves the arc with the devices of a set in alarm and gives the row whose limit is missed most, or missed least, and
// by how much in its own unit. Without an operating point there is no row and the excess is infinite.
func (f *field) past(in []bool) (worst *row, by float64) {
	if _, ok := f.w.settle(f.stood.arc, f.draws(in)); !ok {
		return nil, math.Inf(1)
	}
	currents := make([]float64, len(f.live))
	for i, p := range f.live {
		load := f.rest[i]
		if in[i] {
			load = f.alarm[i]
		}
		currents[i] = load.at(f.w.v[p])
	}
	share := math.Inf(-1)
	for k := range f.rows {
		r := &f.rows[k]
		if r.limit == OperatingPoint {
			continue
		}
		excess := 0.0
		if r.at >= 0 {
			excess = r.needs - f.w.v[f.live[r.at]]
		} else {
			excess = dot(r.weight, currents) - r.budget
		}
		if s := excess / r.needs; s > share {
			worst, by, share = r, excess, s
		}
	}
	return worst, by
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
