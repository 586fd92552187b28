package circuit

// Outcome is what a state with faults comes to, at its worst alarms.
type Outcome struct {
	Faults  []Fault
	Exists  bool  // false: some part that is still fed has no operating point
	Point   int   // where the margin is least; -1: no device is fed
	Volts   Volts // there
	Margin  Volts // above its least working volts; negative: it does not work
	Alarm   []int // who is in alarm then
	Exact   bool  // no other choice of alarms can be worse
	Bounded bool  // no choice of alarms can push the margin below Floor
	Floor   Volts // equal to Margin when Exact
	Out, In Amps  // the most that each end may have to give
}

// Works reports whether every fed device has its least volts and no end is asked for more than it can give. A bound
// below zero is no failure of the state that was solved, and is left to be said.
func (o *Outcome) Works(l *Loop) bool {
	return o.Exists && o.Margin >= 0 && !over(o.Out, l.Out.Limit) && !over(o.In, l.In.Limit)
}

func over(current, limit Amps) bool { return limit > 0 && current > limit }

// Survey is the loop healthy and under every single fault.
type Survey struct {
	Healthy Outcome
	Singles []Outcome // every open, then every short, by cable
	Worst   Outcome   // the least margin of all of these
	Pairs   *Outcome  // the least margin under two opens on the ring, where pairs were asked for
	Counted int       // states looked at
}

// surveyor remembers what each one-ended arc came to: a fault leaves two of them, and 2 (N + 1) of them serve all.
type surveyor struct {
	c       *Circuit
	w       *ladder
	alarms  Alarms
	out, in []*finding
}

func (c *Circuit) newSurveyor(alarms Alarms) *surveyor {
	n := len(c.ring) + 1
	return &surveyor{c: c, w: c.newLadder(&cut{}), alarms: alarms, out: make([]*finding, n), in: make([]*finding, n)}
}

// Survey looks at the loop healthy, under every single open and every single short, and on request under every pair
// of opens on the ring. A short with its isolators open leaves what two opens leave, so the pairs hold for every
// pair of faults as far as volts are concerned.
func (c *Circuit) Survey(alarms Alarms, pairs bool) (*Survey, error) {
	if err := c.checkAlarms(alarms); err != nil {
		return nil, err
	}
	s := c.newSurveyor(alarms)
	all := &Survey{Healthy: s.at(nil, c.whole())}
	all.Worst = all.Healthy
	for kind := Open; kind <= Short; kind++ {
		for k := range c.loop.ReturnSegment() + 1 {
			f := Fault{Kind: kind, Segment: k}
			o := s.at([]Fault{f}, c.cutBy(f))
			all.Singles = append(all.Singles, o)
			if o.worseThan(&all.Worst) {
				all.Worst = o
			}
		}
	}
	all.Counted = 1 + len(all.Singles)
	if pairs {
		all.Pairs = s.pairs(all)
	}
	return all, nil
}

// Hardest looks at the two breaks next to the panel and gives the one with less margin, with the larger current of either.
// Under any other single fault, or none, every fed device has at least the volts that it has under one of these, and no end
// gives more: taking load off raises every voltage, and so does feeding from a second end (docs/methods/circuit.md).
func (c *Circuit) Hardest(alarms Alarms) (Outcome, error) {
	if err := c.checkAlarms(alarms); err != nil {
		return Outcome{}, err
	}
	s := c.newSurveyor(alarms)
	n := len(c.ring)
	worst := s.at([]Fault{{Segment: c.segment(0)}}, cut{})
	other := s.at([]Fault{{Segment: c.segment(n)}}, cut{out: n, in: n})
	if other.worseThan(&worst) {
		worst, other = other, worst
	}
	worst.Out, worst.In = max(worst.Out, other.Out), max(worst.In, other.In)
	worst.Exact = worst.Exact && other.Exact
	worst.Bounded = worst.Bounded && other.Bounded
	worst.Floor = min(worst.Floor, other.Floor)
	return worst, nil
}

// Under looks at one state with given faults, at its worst alarms.
func (c *Circuit) Under(faults []Fault, alarms Alarms) (Outcome, error) {
	if err := c.checkAlarms(alarms); err != nil {
		return Outcome{}, err
	}
	left, err := c.cut(faults)
	if err != nil {
		return Outcome{}, err
	}
	s := c.newSurveyor(alarms)
	s.w = c.newLadder(&left)
	return s.at(faults, left), nil
}

func (c *Circuit) checkAlarms(alarms Alarms) error {
	for _, p := range alarms.Named {
		if p < 0 || p >= len(c.loop.Points) {
			return invalid("the loop has points 0 to %d, and none numbered %d in alarm", len(c.loop.Points)-1, p)
		}
	}
	return nil
}

// at looks at one state.
func (s *surveyor) at(faults []Fault, left cut) Outcome {
	arcs := left.arcs(len(s.c.ring))
	if left.closed {
		f := s.w.worst(arcs[0], s.alarms)
		return f.outcome(faults, f.out, f.in)
	}
	return join(faults, s.known(&s.out[left.out], arcs[0]), s.known(&s.in[left.in], arcs[1]))
}

// known works an arc out unless it is remembered already. No two states that one surveyor looks at differ in their spurs
// while the ring is broken.
func (s *surveyor) known(at **finding, a arc) *finding {
	if *at == nil {
		f := s.w.worst(a, s.alarms)
		*at = &f
	}
	return *at
}

// join puts an arc from OUT and one from IN together.
func join(faults []Fault, out, in *finding) Outcome {
	worse := out
	if in.worseThan(out) {
		worse = in
	}
	o := worse.outcome(faults, out.out, in.in)
	// A bound of the whole is the lower of the two sides'.
	o.Exact = out.exact && in.exact
	o.Bounded = out.bounded && in.bounded
	for _, f := range []*finding{out, in} {
		if f.point >= 0 {
			o.Floor = min(o.Floor, Volts(f.floor))
		}
	}
	return o
}

func (f *finding) worseThan(g *finding) bool {
	switch {
	case f.exists != g.exists:
		return !f.exists
	case f.point < 0 || g.point < 0:
		return f.point >= 0
	}
	return f.margin < g.margin
}

func (f *finding) outcome(faults []Fault, out, in float64) Outcome {
	return Outcome{
		Faults: faults, Exists: f.exists, Point: f.point, Volts: Volts(f.volts), Margin: Volts(f.margin),
		Alarm: f.alarm, Exact: f.exact, Bounded: f.bounded, Floor: Volts(f.floor),
		Out: Amps(out), In: Amps(in),
	}
}

func (o *Outcome) worseThan(p *Outcome) bool {
	a := finding{exists: o.Exists, point: o.Point, margin: float64(o.Margin)}
	return a.worseThan(&finding{exists: p.Exists, point: p.Point, margin: float64(p.Margin)})
}

// pairs looks at every pair of opens on the ring; with every arc known, each pair costs a comparison.
func (s *surveyor) pairs(all *Survey) *Outcome {
	var worst *Outcome
	n := len(s.c.ring)
	for i := range n + 1 {
		for j := i + 1; j <= n; j++ {
			o := s.at(nil, cut{out: i, in: j})
			all.Counted++
			if worst == nil || o.worseThan(worst) {
				o.Faults = []Fault{{Kind: Open, Segment: s.c.segment(i)}, {Kind: Open, Segment: s.c.segment(j)}}
				worst = &o
			}
		}
	}
	return worst
}

// segment numbers the cable of a ring branch.
func (c *Circuit) segment(branch int) Segment {
	if branch == len(c.ring) {
		return c.loop.ReturnSegment()
	}
	return Segment(c.ring[branch])
}
