package listings

import (
	"fmt"
	"slices"
	"strconv"

	"sootline"
)

// group is devices that share a table, and its name.
type group struct {
	name    string
	devices []*device
	loop    bool // the name tells the loop, so that no column does
	zone    bool // the name tells the zone
}

// grouping shares devices out over tables.
type grouping func(m *maker, all []*device) []group

func oneList(m *maker, all []*device) []group {
	return []group{{name: m.word("schedule"), devices: all}}
}

// byLoop gives a table a loop, without saying which in its name.
func byLoop(m *maker, all []*device) []group {
	var groups []group
	for _, loop := range m.site.loops {
		g := group{name: m.loopName(loop)}
		for _, d := range all {
			if (sootline.LoopID{Panel: d.panel, Name: d.loop}) == loop {
				g.devices = append(g.devices, d)
			}
		}
		groups = append(groups, g)
	}
	return groups
}

// byLoopNamed gives a table a loop; only its name says which.
func byLoopNamed(m *maker, all []*device) []group {
	m.apart()
	groups := byLoop(m, all)
	for i := range groups {
		groups[i].loop = true
	}
	return groups
}

func (m *maker) loopName(loop sootline.LoopID) string { return m.word("loop") + " " + loop.Name }

// byZoneNamed gives a table a zone; only its name says which.
func byZoneNamed(m *maker, all []*device) []group {
	var groups []group
	for _, d := range all {
		at := slices.IndexFunc(groups, func(g group) bool { return g.devices[0].zone == d.zone })
		if at < 0 {
			groups = append(groups, group{name: m.word("zone") + " " + d.zone, devices: []*device{d}, zone: true})
			continue
		}
		groups[at].devices = append(groups[at].devices, d)
	}
	return groups
}

// schedules gives tables of devices with the columns named.
func schedules(share grouping, concepts ...string) func(*maker) []*table {
	return func(m *maker) []*table {
		var all []*table
		for _, g := range share(m, m.site.devices) {
			all = append(all, m.schedule(g, concepts))
		}
		return all
	}
}

// schedule is one table of devices.
func (m *maker) schedule(g group, concepts []string) *table {
	t := &table{name: g.name, cols: m.refColumns()}
	if g.loop {
		t.cols = []column{{concept: "address", head: m.head("address")}}
	}
	for _, concept := range concepts {
		t.cols = append(t.cols, column{concept: concept, head: m.head(concept)})
	}
	for _, d := range g.devices {
		written := m.spelled(d)
		f := m.pointFact(d, written, concepts)
		if g.zone {
			f.Zone = d.zone
		}
		cells := m.refCells(d, f)
		if g.loop {
			cells = cells[len(cells)-1:]
		}
		t.rows = append(t.rows, rowOf(append(cells, m.deviceCells(d, written, concepts)...)...))
	}
	return t
}

// spelled writes a device's type, as the listing spells it.
func (m *maker) spelled(d *device) string {
	if !m.flags["type spellings"] {
		return d.typ.name
	}
	m.done["type spellings"] = true
	return pick(m.rng, append([]string{d.typ.name}, d.typ.spelled...)...)
}

// pointFact states of a device what the columns do.
func (m *maker) pointFact(d *device, written string, concepts []string) PointFact {
	f := PointFact{Stated: m.stated(d)}
	for _, concept := range concepts {
		switch concept {
		case "type":
			f.Types = slices.Compact([]string{d.typ.name, written})
		case "zone":
			f.Zone = d.zone
		case "place":
			f.Place = d.place
		case "serial":
			f.Serial = d.serial
		case "metres":
			f.Metres = &d.metres
		}
	}
	return f
}

// deviceCells are the cells of a device beside its reference.
func (m *maker) deviceCells(d *device, written string, concepts []string) []*cell {
	var cells []*cell
	for _, concept := range concepts {
		switch concept {
		case "type":
			cells = append(cells, words(written))
		case "zone":
			cells = append(cells, words(d.zone))
		case "place":
			m.done["separators in cells"] = m.flags["separators in cells"]
			cells = append(cells, words(d.place))
		case "serial":
			cells = append(cells, words(d.serial))
		case "metres":
			cells = append(cells, number(d.metres, 1))
		}
	}
	return cells
}

// joined names points in one cell.
func joined(tables func(*maker) []*table) func(*maker) []*table {
	return func(m *maker) []*table {
		m.together()
		return tables(m)
	}
}

// apart names points in columns apart.
func apart(tables func(*maker) []*table) func(*maker) []*table {
	return func(m *maker) []*table {
		m.apart()
		return tables(m)
	}
}

// crossedSchedule names points by address and loop, in that order, and says so.
func crossedSchedule(m *maker) []*table {
	concepts := []string{"type", "zone", "place"}
	t := &table{name: m.word("schedule"), cols: []column{{concept: "point", head: m.head("crossed")}}}
	for _, concept := range concepts {
		t.cols = append(t.cols, column{concept: concept, head: m.head(concept)})
	}
	for _, d := range m.site.devices {
		written := m.spelled(d)
		name := words(fmt.Sprintf("%03d/%s", d.number, d.loop)).stating(m.pointFact(d, written, concepts))
		t.rows = append(t.rows, rowOf(append([]*cell{name}, m.deviceCells(d, written, concepts)...)...))
	}
	return []*table{t}
}

// rangedSchedule names points of loops on which detectors and the other devices have a range each: D and M before
// the number.
func rangedSchedule(m *maker) []*table {
	concepts := []string{"type", "zone", "place"}
	t := &table{name: m.word("schedule"), cols: []column{{concept: "loop", head: m.head("loop")}, {concept: "address", head: m.head("address")}}}
	for _, concept := range concepts {
		t.cols = append(t.cols, column{concept: concept, head: m.head(concept)})
	}
	for _, d := range m.site.devices {
		written := m.spelled(d)
		cells := []*cell{words(d.loop), words(rangedNumber(d)).stating(m.pointFact(d, written, concepts))}
		t.rows = append(t.rows, rowOf(append(cells, m.deviceCells(d, written, concepts)...)...))
	}
	return []*table{t}
}

func rangedNumber(d *device) string {
	if d.typ.detector() {
		return fmt.Sprintf("D%03d", d.number)
	}
	return fmt.Sprintf("M%03d", d.number)
}

// typeList is a list of types with their bands.
func typeList(m *maker) []*table {
	t := &table{name: m.word("types")}
	for _, concept := range []string{"name", "kind", "low", "high", "trigger"} {
		t.cols = append(t.cols, column{concept: concept, head: m.head(concept)})
	}
	for _, typ := range m.site.types {
		f := TypeFact{Name: "N" + typ.name, Device: typ.device}
		cells := []*cell{words(f.Name), words(m.word(string(typ.device)))}
		if typ.detector() {
			low, high, alarm := typ.low, typ.high, typ.high+20
			f.Low, f.High, f.Alarm = &low, &high, &alarm
			cells = append(cells, number(low, 0), number(high, 0), number(alarm, 0))
		} else {
			cells = append(cells, nil, nil, nil)
		}
		cells[0].stating(f)
		t.rows = append(t.rows, rowOf(cells...))
	}
	return []*table{t}
}

// severalKinds is a schedule, a list of readings and one of checks of the same site.
func severalKinds(m *maker) []*table {
	schedule := schedules(oneList, "type", "zone", "place", "serial")(m)
	readings := longReadings(1)(m)
	return append(append(schedule, readings...), checks(m)...)
}

// freeNumber gives a number of a loop that no device has.
func (m *maker) freeNumber(loop sootline.LoopID) int {
	for n := 100 + m.rng.IntN(8); ; n++ {
		if !slices.ContainsFunc(m.site.devices, func(d *device) bool { return d.panel == loop.Panel && d.loop == loop.Name && d.number == n }) {
			return n
		}
	}
}

// stranger is a device at a free number, which the site does not have.
func (m *maker) stranger() *device {
	loop := m.site.loops[m.rng.IntN(len(m.site.loops))]
	return &device{
		panel: loop.Panel, loop: loop.Name, number: m.freeNumber(loop), typ: m.site.types[0],
		zone: "1", place: m.anyWord("rooms") + " " + strconv.Itoa(900+m.rng.IntN(90)), serial: fmt.Sprintf("K%d", 90000+m.rng.IntN(9000)),
		rest: m.site.fit(30),
	}
}
