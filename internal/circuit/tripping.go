package circuit

// deadShort is the resistance of a short that stands, and shortLead that of the lead put before a terminal that is shorted:
// both small beside any cable, and not so small that digits are lost.
const (
	deadShort = 1e-10
	shortLead = 1e-4
)

// opening holds the isolators that must open against the volts at their points while a short stands, none has opened yet,
// nothing is drawn, and the ends give what the cable takes: whatever is drawn, or limited, leaves less. The short is put at
// that end of its cable which leaves the isolator most.
func (c *Circuit) opening(v *Verdict) {
	judged := false
	for i := range c.loop.Isolators {
		judged = judged || c.loop.Isolators[i].Opens > 0
	}
	if !judged {
		return
	}
	for s := range c.loop.ReturnSegment() + 1 {
		c.openingAt(v, s)
	}
}

// trip is an isolator that must open, and the point at the far end of the shorted cable as it sees it, or an end of the panel.
type trip struct {
	point int
	far   int
}

// The ends of the panel, where a cable has no point.
const (
	endOut = -1
	endIn  = -2
)

func (c *Circuit) openingAt(v *Verdict, s Segment) {
	f := Fault{Kind: Short, Segment: s}
	for _, t := range c.trips(s) {
		by, volts, asks := c.stays(t)
		switch {
		case by <= 0:
		case asks.amps > 0: // the end gives less than that, and so leaves less: whether it opens is not known
			v.bound(Bound{Limit: IsolatorOpens, Point: t.point, Fault: []Fault{f}, Past: by, Asks: asks.amps, Gives: asks.limit})
		default:
			v.fail(Failure{
				Limit: IsolatorOpens, Point: t.point, By: by, Is: volts, Needs: volts - by,
				At: Situation{Faults: []Fault{f}, Volts: c.loop.Out.Volts},
			})
		}
	}
	// An isolator of a spur that the short reaches from the ring has nothing behind it that is fed; whether it opens changes
	// nothing that is known, so where it may not it stands in the way and is no failure.
	for _, t := range c.idleTrips(s) {
		if by, _, _ := c.stays(t); by > 0 {
			v.bound(Bound{Limit: IsolatorOpens, Point: t.point, Fault: []Fault{f}, Past: by})
		}
	}
}

// asked is what an end would have to give into a short, and can give, where that is less; zero: it can give what it would.
type asked struct{ amps, limit float64 }

// stays gives by how much the volts at an isolator are too many for it to open surely; at most 0: it opens. They rest on
// ends that give what the cable takes: asks is what they then give beyond their limit.
func (c *Circuit) stays(t trip) (by, volts float64, asks asked) {
	opens := c.opensAt(t.point)
	if opens == 0 {
		return 0, 0, asked{}
	}
	volts, asks, ok := c.shorted(t)
	if by = volts - opens; !ok || by <= slack*c.top {
		return 0, volts, asked{}
	}
	return by, volts, asks
}

// asking holds what the ends give into the short of a trip against what they can: the end on the isolator's side of a short
// in the ring, either end for one on a spur.
func (c *Circuit) asking(t trip, out, in float64) asked {
	fromOut, fromIn := t.far != endOut, t.far != endIn
	if t.far >= 0 {
		far, at := c.nodes[t.far], c.nodes[t.point]
		if far.spur < 0 && at.spur < 0 {
			fromOut, fromIn = at.pos < far.pos, at.pos > far.pos
		}
	}
	if limit := float64(c.loop.Out.Limit); fromOut && limit > 0 && (out > limit || limit >= farAmps) {
		return asked{out, limit}
	}
	if limit := float64(c.loop.In.Limit); fromIn && limit > 0 && (in > limit || limit >= farAmps) {
		return asked{in, limit}
	}
	return asked{}
}

// idleTrips lists the first isolators of spurs that hang where a short in a cable of the ring, or of a spur without isolator,
// reaches the ring.
func (c *Circuit) idleTrips(s Segment) []trip {
	left := c.cutBy(Fault{Kind: Short, Segment: s})
	if left.closed {
		return nil
	}
	n := node{-1, len(c.ring)}
	if s < c.loop.ReturnSegment() {
		n = c.nodes[s]
	}
	var list []trip
	for i := range c.spurs {
		sp := &c.spurs[i]
		if sp.at < left.out || sp.at >= left.in || i == n.spur {
			continue
		}
		up := c.ring[sp.at]
		for k, p := range sp.points {
			if sp.branch[k].left {
				list = append(list, c.facing(up, s, n)...)
				break
			}
			if sp.branch[k].right {
				list = append(list, c.facing(p, s, n)...)
				break
			}
			up = p
		}
	}
	return list
}

// facing gives a trip for each end that the short may stand at.
func (c *Circuit) facing(point int, s Segment, n node) []trip {
	switch {
	case n.spur >= 0:
		return []trip{{point, int(s)}}
	case n.pos == 0:
		return []trip{{point, endOut}, {point, c.ring[0]}}
	case n.pos == len(c.ring):
		return []trip{{point, endIn}, {point, c.ring[n.pos-1]}}
	}
	return []trip{{point, c.ring[n.pos-1]}, {point, c.ring[n.pos]}}
}

// opensAt gives the volts below which all isolators of a point surely open; 0: not judged.
func (c *Circuit) opensAt(point int) float64 {
	volts := 0.0
	for i := range c.loop.Isolators {
		iso := &c.loop.Isolators[i]
		if c.loop.at(iso.Point) == point && iso.Opens > 0 && (volts == 0 || float64(iso.Opens) < volts) {
			volts = float64(iso.Opens)
		}
	}
	return volts
}

// trips lists the isolators that a short in a cable must open: the first one in each direction.
func (c *Circuit) trips(s Segment) []trip {
	n := node{-1, len(c.ring)}
	if s < c.loop.ReturnSegment() {
		n = c.nodes[s]
	}
	if n.spur >= 0 {
		return c.spurTrips(n)
	}
	left, right := endOut, endIn
	if n.pos > 0 {
		left = c.ring[n.pos-1]
	}
	if n.pos < len(c.ring) {
		right = c.ring[n.pos]
	}
	return append(c.leftTrip(n.pos, right), c.rightTrip(n.pos, left)...)
}

// leftTrip finds the isolator that bounds branch k and what follows towards OUT.
func (c *Circuit) leftTrip(k, far int) []trip {
	for {
		if c.branch[k].left {
			if k == 0 {
				return nil // the panel's own terminals
			}
			return []trip{{c.ring[k-1], far}}
		}
		k--
		if c.branch[k].right {
			return []trip{{c.ring[k], far}}
		}
	}
}

// rightTrip finds the one towards IN.
func (c *Circuit) rightTrip(k, far int) []trip {
	for {
		if c.branch[k].right {
			if k == len(c.ring) {
				return nil
			}
			return []trip{{c.ring[k], far}}
		}
		k++
		if c.branch[k].left {
			return []trip{{c.ring[k-1], far}}
		}
	}
}

// spurTrips finds the one towards the ring, or, where the spur has none, those on the ring.
func (c *Circuit) spurTrips(n node) []trip {
	sp := &c.spurs[n.spur]
	far := sp.points[n.pos]
	for k := n.pos; k >= 0; k-- {
		up := c.ring[sp.at]
		if k > 0 {
			up = sp.points[k-1]
		}
		if sp.branch[k].left {
			return []trip{{up, far}}
		}
		if k > 0 && sp.branch[k-1].right {
			return []trip{{up, far}}
		}
	}
	var list []trip
	if c.branch[sp.at].right {
		list = append(list, trip{c.ring[sp.at], far})
	} else {
		list = append(list, c.leftTrip(sp.at, far)...)
	}
	if c.branch[sp.at+1].left {
		return append(list, trip{c.ring[sp.at], far})
	}
	return append(list, c.rightTrip(sp.at+1, far)...)
}

// shorted gives the volts at a point with the far end of a cable shorted and nothing drawn, and what an end is then asked
// for beyond its limit.
func (c *Circuit) shorted(t trip) (volts float64, asks asked, ok bool) {
	at, point, d := t.far, t.point, c
	switch t.far {
	case endIn:
		at, d = len(c.loop.Points), c.led(t.far)
	case endOut:
		at, point, d = 0, t.point+1, c.led(t.far)
	}
	if d == nil {
		return 0, asked{}, false
	}
	w := d.newLadder(&cut{})
	loads := make([]Load, len(d.loop.Points))
	loads[at] = Across(deadShort)
	a := arc{0, len(d.ring), true, true, nil}
	if _, ok = w.settle(a, loads); !ok {
		return 0, asked{}, false
	}
	out, in := w.ends(a)
	return w.v[point], c.asking(t, out, in), true
}

// led gives the loop with a short lead before one end of the panel, and a point at its far end: the last point before IN,
// or the first behind OUT, where all others move one place up. What the source has of resistance stands between that point
// and the loop: where in the panel it lies is not known, and so it leaves the isolators most. nil: it cannot be calculated.
func (c *Circuit) led(end int) *Circuit {
	l := c.loop.clone()
	added := Point{Name: "\x00short", Junction: true}
	source, side, b := &l.Out, After, &c.branch[0]
	if end == endIn {
		source, side, b = &l.In, Before, &c.branch[len(c.ring)]
	}
	share := shortLead / (b.plus + b.minus) // as if the short slid along its cable up to the end
	lead := Cable{Plus: Ohms(share * b.plus), Minus: Ohms(share * b.minus)}
	if end == endIn {
		added.Cable, l.Return = l.Return, lead
		l.Points = append(l.Points, added)
	} else {
		added.Cable = lead
		l.Points = append([]Point{added}, l.Points...)
	}
	l.Isolators = append(l.Isolators, Isolator{Point: added.Name, Side: side, Plus: source.Plus, Minus: source.Minus})
	source.Plus, source.Minus = 0, 0
	d, err := New(l)
	if err != nil {
		return nil
	}
	return d
}
