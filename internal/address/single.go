package address

// singly explains traces one by one, the missing devices together with what
// answers where it should not: that a missing device gives an answer is one
// mistake, that it is silent and something else answers are two. Which belongs
// to which is an assignment of the least odds in all.
func (b *board) singly(traces []Trace) ([]Explanation, odds) {
	var missing, signs []Trace
	for _, t := range traces {
		if t.Sign == NoAnswer {
			missing = append(missing, t)
		} else {
			signs = append(signs, t)
		}
	}
	var all []Explanation
	answered := b.answerOf(missing, signs)
	given := map[int]bool{}
	for m, t := range missing {
		if k := answered[m]; k >= 0 {
			given[k] = true
			all = append(all, *b.together(t, signs[k]))
		} else {
			all = append(all, b.alone(t))
		}
	}
	for k, t := range signs {
		if !given[k] {
			all = append(all, b.alone(t))
		}
	}
	var sum odds
	for i := range all {
		sum += all[i].odds
	}
	return all, sum + odds(b.tally.hidden)*oddsHidden
}

// answerOf gives the sign that each missing device goes with, or -1.
func (b *board) answerOf(missing, signs []Trace) []int {
	const nothing = 10_000 // the cost of standing alone; a pair costs less by what it saves
	cost := make([][]int, len(missing))
	for m := range missing {
		cost[m] = make([]int, len(signs)+len(missing))
		alone := b.alone(missing[m]).odds
		for k := range cost[m] {
			cost[m][k] = nothing
			if k >= len(signs) {
				continue
			}
			cost[m][k]++ // of equal ones, standing alone
			if e := b.together(missing[m], signs[k]); e != nil {
				cost[m][k] += int(e.odds - alone - b.alone(signs[k]).odds)
			}
		}
	}
	answered := assign(cost)
	for m, k := range answered {
		if k >= len(signs) || cost[m][k] > nothing {
			answered[m] = nobody
		}
	}
	return answered
}

// alone explains a trace by itself.
func (b *board) alone(t Trace) Explanation {
	e := Explanation{Number: t.Number, traces: 1}
	switch t.Sign {
	case NoAnswer:
		e.Kind, e.Moved = Silent, []Misplaced{b.misplaced(t.Device, 0)}
		return b.rate(e)
	case WrongType:
		return b.other(t, e)
	case OtherUnit:
		e.Kind, e.Moved = Replaced, []Misplaced{b.misplaced(t.Device, t.Number)}
	case Flickering:
		e.Kind, e.Moved = DoubleNumber, []Misplaced{b.misplaced(t.Device, t.Number)}
	default:
		e.Kind = Stranger
		if own := b.own[b.heardIn(&b.answers[t.Answer])][t.Number]; len(own) > 0 && !b.loop.Span.isUnset(t.Number) {
			e.Kind, e.Moved = DoubleNumber, []Misplaced{b.misplaced(own[0], t.Number)}
		}
	}
	e.accounted, e.Range = []int{t.Answer}, b.heardIn(&b.answers[t.Answer])
	return b.rate(e)
}

// other explains a wrong type, or the serial of another device of the loop, by
// what is fitted. A unit of the register that is not where it should be is no
// likelier than an exchange of two, and one more mistake: who is at its place.
func (b *board) other(t Trace, e Explanation) Explanation {
	e.Kind, e.Moved, e.accounted = OtherFitted, []Misplaced{b.misplaced(t.Device, t.Number)}, []int{t.Answer}
	e = b.rate(e)
	if b.owner[t.Answer] != nobody {
		e.odds = Exchange.kind() + 2*b.anyDevice() + oddsOneMore
	}
	if b.answers[t.Answer].Unstable {
		e.odds += oddsUnsteady
	}
	return e
}

// together explains a missing device and a sign at a number by the device being
// there; nil where it cannot be what answers.
func (b *board) together(missing, sign Trace) *Explanation {
	i := missing.Device
	a := &b.answers[sign.Answer]
	r := b.heardIn(a)
	if r != b.loop.rangeOf(&b.loop.Devices[i]) || sign.Number == b.number[i] || !b.reaches(i, sign.Answer) {
		return nil
	}
	stale := b.strange(i, sign.Answer) && b.sameType(i, sign.Answer)
	if sign.Sign != Flickering && !stale && !b.agrees(i, sign.Answer) {
		return nil
	}
	e := Explanation{Kind: MisSet, Number: b.loop.Devices[i].Wanted, Moved: []Misplaced{b.misplaced(i, sign.Number)}, traces: 2}
	switch {
	case b.loop.Span.isUnset(sign.Number):
		e.Kind = StillUnset
	case len(b.own[r][sign.Number])+len(b.wide[r][sign.Number]) > 0:
		e.Kind = DoubleNumber
	}
	if e.Kind != StillUnset {
		e.How, e.Misread = b.loop.Devices[i].misreadingTo(sign.Number)
	}
	e = b.rate(e)
	if e.Kind == DoubleNumber && sign.Sign == WrongType && !a.Unstable {
		e.odds += oddsHidden // the one that belongs there is not heard
	}
	if stale && sign.Sign != Flickering {
		e.odds += oddsStale
		e.accounted = []int{sign.Answer}
	}
	return &e
}

func (s *scene) misplaced(device, at int) Misplaced {
	return Misplaced{Device: device, Wanted: s.loop.Devices[device].Wanted, At: at}
}

// misreadingTo finds the likeliest misreading that makes n of a device's number.
func (d *Device) misreadingTo(n int) (Misreading, bool) {
	for m := Exchanged; m <= OneDial; m++ {
		for _, r := range d.misreadings(m) {
			if r == n {
				return m, true
			}
		}
	}
	return 0, false
}

// misreadings gives the numbers to which a misreading leads on a device.
func (d *Device) misreadings(m Misreading) []int {
	var all []int
	for _, s := range d.setters(m) {
		for _, n := range s.misread(d.Wanted, m) {
			if n > 0 && n != d.Wanted {
				all = append(all, n)
			}
		}
	}
	return all
}

// setters lists the setters on which a misreading may have happened. Where
// nobody wrote down how the number is set, switches and dials are all tried;
// where it is typed or picked, its digits may have been exchanged, or one be a step
// off.
func (d *Device) setters(m Misreading) []Setter {
	switch {
	case d.Setter.How == Unknown:
		return []Setter{{How: Dials, TensTo: 9}, {How: Switches, Switches: 7}, {How: Switches, Switches: 8}}
	case d.Setter.How == Switches || d.Setter.How == Dials:
		return []Setter{d.Setter}
	case m == Exchanged || m == OneDial:
		return []Setter{{How: Dials, TensTo: 15}}
	}
	return nil
}
