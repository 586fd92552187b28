package address

import "fmt"

// changes lists the devices that get another number.
func (p *planner) changes(s Style) []Change {
	keeper := p.keepers()
	var changes []Change
	for _, i := range p.loop.Walk() {
		if d := p.loop.Devices[i]; d.number() != p.numbers[i] {
			changes = append(changes, Change{Device: i, From: d.number(), To: p.numbers[i], Why: p.why(i, s, keeper)})
		}
	}
	return changes
}

// keepers gives by range and number the device + 1 that keeps it.
func (p *planner) keepers() [2]map[int]int {
	keeper := [2]map[int]int{{}, {}}
	for i := range p.loop.Devices {
		d := &p.loop.Devices[i]
		for n := range d.width() {
			if p.kept[i] {
				keeper[p.loop.rangeOf(d)][p.numbers[i]+n] = i + 1
			}
		}
	}
	return keeper
}

// why says why a device gets another number, and, where it leaves its order, why
// that too.
func (p *planner) why(i int, s Style, keeper [2]map[int]int) string {
	d := &p.loop.Devices[i]
	n := d.number()
	why := p.turn(i, s)
	switch {
	case n == 0:
		return "it has no number yet" + p.unless(i, why, s)
	case !s.Keep:
		return why
	case p.roomFor[i] > 0:
		return fmt.Sprintf("it makes room for %s, which fits nowhere else", p.loop.Devices[p.roomFor[i]-1].Name)
	case p.refused[i] != nil:
		return p.refused[i].Error() + p.unless(i, why, s)
	}
	for k := range d.width() {
		if j := keeper[p.loop.rangeOf(d)][n+k]; j > 0 {
			return fmt.Sprintf("%s keeps number %d", p.loop.Devices[j-1].Name, n+k) + p.unless(i, why, s)
		}
	}
	return why
}

// unless adds why a device leaves its order, where it does.
func (p *planner) unless(i int, why string, s Style) string {
	if p.left[i] && !s.Keep {
		return "; " + why
	}
	return ""
}

// turn says that a device has its turn, or why not.
func (p *planner) turn(i int, s Style) string {
	d := &p.loop.Devices[i]
	switch {
	case !p.left[i] && s.By == ByZone && d.Zone != "":
		return "that is its turn in zone " + d.Zone
	case !p.left[i] && s.By == ByArea && d.Area != "":
		return "that is its turn in " + d.Area
	case !p.left[i]:
		return "that is its turn"
	case d.Setter.Most() < p.loop.Span.Last && p.above(i) > d.Setter.Most():
		return fmt.Sprintf("out of its turn: %s at %d", ends(d.Setter), d.Setter.Most())
	case d.Setter.Least() > p.loop.Span.first() && p.above(i) < d.Setter.Least():
		return fmt.Sprintf("out of its turn: it can be set from %d on", d.Setter.Least())
	case d.width() > 1:
		return fmt.Sprintf("out of its turn: it takes %d in a row, and there are not so many there", d.width())
	}
	return "out of its turn: no number is left there"
}

// above is the number after that of the device before one in its order.
func (p *planner) above(i int) int {
	above := 0
	for _, j := range p.ofRange(p.loop.rangeOf(&p.loop.Devices[i])) {
		if j == i {
			break
		}
		if !p.left[j] {
			above = p.numbers[j] + p.loop.Devices[j].width()
		}
	}
	return above
}

// ends says what of a setter ends at its highest number.
func ends(s Setter) string {
	switch {
	case s.To > 0 || s.How == Unknown:
		return "its numbers end"
	case s.How == Switches:
		return "its switches end"
	case s.How == Dials:
		return "its dials end"
	}
	return "its numbers end"
}

// noteTurns says how many devices leave the order, and how many spares are not
// where they were asked for.
func (p *planner) noteTurns(t *turns, s Style) {
	var out []string
	for _, i := range t.all {
		if !t.rising[i] {
			out = append(out, p.loop.Devices[i].Name)
		}
	}
	switch {
	case len(out) > 0 && s.Keep:
		p.notes = append(p.notes, fmt.Sprintf("%d of %d devices are out of the order asked for, since as few as can be change their number", len(out), len(t.all)))
	case len(out) > 0:
		p.notes = append(p.notes, fmt.Sprintf("out of the order asked for: %s", listed(out)))
	}
	if lacks := t.worth(Style{Spares: s.Spares})[0]; lacks > 0 {
		p.notes = append(p.notes, fmt.Sprintf("%d of the spares asked for are not at the end of their zone or area", lacks))
	}
}
