package circuit

import "math"

// Stage is how far the volts have come while a loop starts: isolators on the ring close one after another from each end,
// in whatever order between the ends. Passed counts those that have closed, from OUT and from IN; All is the closed ring.
type Stage struct {
	FromOut, FromIn int
	All             bool
}

// gate is an isolator on the ring, as the volts come to it from OUT.
type gate struct {
	branch int
	right  bool // at the IN side of its cable, which is then fed up to it
	point  int  // that it is at
	closes float64
}

// gates lists the isolators of the ring in the order of the cable.
func (c *Circuit) gates() []gate {
	var list []gate
	for k := range c.branch {
		if c.branch[k].left && k > 0 {
			list = append(list, gate{k, false, c.ring[k-1], 0})
		}
		if c.branch[k].right && k < len(c.ring) {
			list = append(list, gate{k, true, c.ring[k], 0})
		}
	}
	for i := range list {
		list[i].closes = c.closing(list[i].point)
	}
	return list
}

// closing gives the volts at which a point's isolators surely close again; 0: not judged.
func (c *Circuit) closing(point int) float64 {
	volts := 0.0
	for i := range c.loop.Isolators {
		if iso := &c.loop.Isolators[i]; c.loop.at(iso.Point) == point {
			volts = max(volts, float64(iso.Closes))
		}
	}
	return volts
}

// starter goes through the stages of a start.
type starter struct {
	c       *Circuit
	verdict *Verdict
	w       *ladder
	gates   []gate
}

// start holds the limits against a loop that comes back after an interruption, every device drawing the more of what it
// draws at rest and in alarm, however many may be in alarm at once.
func (c *Circuit) start(v *Verdict, how Restarts) {
	s := &starter{c: c, verdict: v, w: c.newLadder(&cut{})}
	n := len(c.ring)
	whole := arc{0, n, true, true, nil}
	closed := s.stage(whole, Stage{All: true})
	if how == StartWhole {
		return
	}
	if closed {
		s.branches()
	}
	s.gates = c.gates()
	last := len(s.gates) - 1
	out, in := make([]float64, last+1), make([]float64, last+1) // volts that reach each gate from either end
	for i := range s.gates {
		g := &s.gates[i]
		out[i], in[last-i] = math.Inf(1), math.Inf(1)
		if a := (arc{0, g.branch, true, false, nil}); s.stage(a, Stage{FromOut: i}) {
			out[i] = s.reaches(a, g.branch-1, float64(c.loop.Out.Volts))
		}
		back := &s.gates[last-i]
		if a := (arc{back.branch, n, false, true, nil}); s.stage(a, Stage{FromIn: i}) {
			in[last-i] = s.reaches(a, back.branch, float64(c.loop.In.Volts))
		}
	}
	for i := range s.gates {
		s.close(i, out, in)
	}
}

// reaches gives the volts at a ring position just solved, or of the end where the arc has no point.
func (s *starter) reaches(a arc, pos int, end float64) float64 {
	if pos < a.lo || pos >= a.hi {
		return end
	}
	return s.w.v[s.c.ring[pos]]
}

// close holds the volts of a gate's fed side against those at which it closes. While it waits for one end the other may
// not have come; only the last to close has both beside it, and so has one that shares its cable with that last one, which
// closes by itself if it can.
func (s *starter) close(i int, out, in []float64) {
	g, last := &s.gates[i], len(s.gates)-1
	check := func(volts float64, stage Stage) {
		if by := g.closes - volts; g.closes > 0 && by > slack*s.c.top {
			s.verdict.fail(Failure{Limit: IsolatorCloses, Point: g.point, By: by, Is: volts, Needs: g.closes, At: s.situation(stage)})
		}
	}
	fromOut, fromIn := out[i], in[i]
	if beyond := &s.gates[last]; i == last || i == last-1 && beyond.branch == g.branch {
		fromOut = max(fromOut, in[last])
	}
	if beyond := &s.gates[0]; i == 0 || i == 1 && beyond.branch == g.branch {
		fromIn = max(fromIn, out[0])
	}
	check(fromOut, Stage{FromOut: i})
	check(fromIn, Stage{FromIn: last - i})
}

func (s *starter) situation(stage Stage) Situation {
	return Situation{Starting: true, Stage: stage, Volts: s.c.loop.Out.Volts}
}

// branches holds the isolators of spurs against the volts that they are fed with once all others have closed. In what
// order they do is theirs to choose, so what is missed is a bound and no failure.
func (s *starter) branches() {
	for i := range s.c.spurs {
		sp := &s.c.spurs[i]
		up := s.c.ring[sp.at]
		for k, p := range sp.points {
			if sp.branch[k].left {
				s.branch(up, up, i, k)
			}
			if sp.branch[k].right {
				s.branch(p, up, i, k)
			}
			up = p
		}
	}
}

// branch holds one at a point against the volts before it, with its spur fed up to there.
func (s *starter) branch(point, before, spur, k int) {
	closes := s.c.closing(point)
	if closes == 0 {
		return
	}
	fed := s.c.allFed()
	fed[spur] = k
	if !s.hungriest(arc{0, len(s.c.ring), true, true, fed}) {
		return // and so has the closed ring none, which is said
	}
	if volts := s.w.v[before]; closes > volts+slack*s.c.top {
		s.verdict.bound(Bound{Limit: IsolatorCloses, Point: point, Past: closes - volts})
	}
}

// bound keeps what could not be proved, once for each limit and point.
func (v *Verdict) bound(b Bound) {
	for i := range v.Bounds {
		if is := &v.Bounds[i]; is.Limit == b.Limit && is.Point == b.Point {
			is.Past = max(is.Past, b.Past)
			return
		}
	}
	v.Bounds = append(v.Bounds, b)
}

// stage solves one arc of a stage and holds volts and currents against their limits. false: there is no operating point.
func (s *starter) stage(a arc, at Stage) bool {
	if a.hi == a.lo {
		return true
	}
	s.verdict.Solved++
	if !s.hungriest(a) {
		s.verdict.fail(Failure{Limit: OperatingPoint, Point: -1, By: math.Inf(1), At: s.situation(at)})
		return false
	}
	points := s.c.loop.Points
	for _, p := range s.w.live {
		if least := float64(points[p].Least); !points[p].Junction && least-s.w.v[p] > slack*s.c.top {
			s.verdict.fail(Failure{Limit: LeastVolts, Point: p, By: least - s.w.v[p], Is: s.w.v[p], Needs: least, At: s.situation(at)})
		}
	}
	out, in := s.w.ends(a)
	s.current(OutCurrent, -1, out, float64(s.c.loop.Out.Limit), at)
	s.current(InCurrent, -1, in, float64(s.c.loop.In.Limit), at)
	for i := range s.c.loop.Isolators {
		iso := &s.c.loop.Isolators[i]
		if iso.Carries <= 0 {
			continue
		}
		p := s.c.loop.at(iso.Point)
		for _, current := range s.c.through(s.w, &a, p, iso.Side) {
			s.current(IsolatorCarries, p, math.Abs(current()), float64(iso.Carries), at)
		}
	}
	return true
}

func (s *starter) current(limit Limit, point int, is, most float64, at Stage) {
	if most > 0 && is-most > slack*max(most, 1e-6) {
		s.verdict.fail(Failure{Limit: limit, Point: point, By: is - most, Is: is, Needs: most, At: s.situation(at)})
	}
}

// hungriest solves an arc with each device drawing the more of its two loads at the volts that it then has.
func (s *starter) hungriest(a arc) bool {
	points := s.c.loop.Points
	loads := make([]Load, len(points))
	for i := range points {
		loads[i] = hungrier(&points[i], s.c.top)
	}
	for range 10 {
		if _, ok := s.w.settle(a, loads); !ok {
			return false
		}
		again := false
		for _, p := range s.w.live {
			if load := hungrier(&points[p], s.w.v[p]); load != loads[p] {
				loads[p], again = load, true
			}
		}
		if !again {
			break
		}
	}
	return true
}

// hungrier gives the load of a device that draws more at a voltage.
func hungrier(p *Point, volts float64) Load {
	if p.Alarm.at(volts) >= p.Rest.at(volts) {
		return p.Alarm
	}
	return p.Rest
}
