package address

// alone explains each trace by itself.
func (s *scene) alone(by bySign) []Explanation {
	var all []Explanation
	for _, t := range by.missing {
		all = append(all, Explanation{Kind: Silent, Number: t.Number, Moved: []Misplaced{s.misplaced(t.Device, 0)}})
	}
	for _, t := range by.unexpected {
		all = append(all, Explanation{Kind: Stranger, Number: t.Number, accounted: []int{t.Answer}})
	}
	for _, t := range by.wrong {
		all = append(all, Explanation{Kind: OtherFitted, Number: t.Number, Moved: []Misplaced{s.misplaced(t.Device, t.Number)}, accounted: []int{t.Answer}})
	}
	for _, t := range by.flicker {
		all = append(all, Explanation{Kind: DoubleNumber, Number: t.Number, Moved: []Misplaced{s.misplaced(t.Device, t.Number)}, accounted: []int{t.Answer}})
	}
	return all
}

func (s *scene) misplaced(device, at int) Misplaced {
	return Misplaced{Device: device, Wanted: s.loop.Devices[device].Wanted, At: at}
}

// The cost of pairing a missing device with an unexpected answer: the pair is
// one mistake either way, so the cost only says how little it takes to make it.
const (
	costUnset   = 1
	costMisread = 2 // plus the Misreading
	costNext    = 8
	costOther   = 9
	costNever   = 10_000
)

// paired explains missing devices together with unexpected answers: each device
// by the answer to which it comes most easily, all in all.
func (s *scene) paired(by bySign) []Explanation {
	rows, columns := len(by.missing), len(by.unexpected)
	if rows == 0 || columns == 0 {
		return nil
	}
	cost := make([][]int, min(rows, columns))
	for i := range cost {
		cost[i] = make([]int, max(rows, columns))
		for j := range cost[i] {
			m, u := pair(i, j, rows, columns)
			cost[i][j] = s.ease(by.missing[m].Device, by.unexpected[u].Answer)
		}
	}
	var all []Explanation
	for i, j := range assign(cost) {
		if cost[i][j] == costNever {
			continue
		}
		m, u := pair(i, j, rows, columns)
		all = append(all, s.misSet(by.missing[m].Device, by.unexpected[u].Number, cost[i][j]))
	}
	return all
}

// pair turns a row and column of the cost table, which is never taller than
// wide, into the indices of a missing device and an unexpected answer.
func pair(i, j, missing, unexpected int) (m, u int) {
	if missing <= unexpected {
		return i, j
	}
	return j, i
}

func (s *scene) misSet(device, at, cost int) Explanation {
	e := Explanation{Kind: MisSet, Number: s.loop.Devices[device].Wanted, Moved: []Misplaced{s.misplaced(device, at)}}
	if cost == costUnset {
		e.Kind = StillUnset
	}
	if cost >= costMisread && cost < costNext {
		e.Misread, e.How = true, Misreading(cost-costMisread)
	}
	return e
}

// ease is how little it takes for a device to give an answer.
func (s *scene) ease(device, answer int) int {
	d, a := &s.loop.Devices[device], &s.answers[answer]
	if !s.agrees(device, answer) {
		return costNever
	}
	if s.loop.Span.isUnset(a.Number) {
		return costUnset
	}
	return s.costOf(d, a.Number)
}

// costOf is how little it takes to set a device to n instead of its number.
func (s *scene) costOf(d *Device, n int) int {
	for m := Exchanged; m <= OneDial; m++ {
		for _, r := range d.misreadings(m) {
			if r == n {
				return costMisread + int(m)
			}
		}
	}
	if n == d.Wanted+1 || n == d.Wanted-1 {
		return costNext
	}
	return costOther
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
// where it is typed or picked, its digits may have been exchanged.
func (d *Device) setters(m Misreading) []Setter {
	switch {
	case d.Setter.How == Unknown:
		return []Setter{{How: Dials, TensTo: 9}, {How: Switches, Switches: 7}, {How: Switches, Switches: 8}}
	case d.Setter.How == Switches || d.Setter.How == Dials:
		return []Setter{d.Setter}
	case m == Exchanged:
		return []Setter{{How: Dials, TensTo: 9}}
	}
	return nil
}
