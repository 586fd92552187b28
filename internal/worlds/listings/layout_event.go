package listings

import (
	"fmt"
	"slices"

	"sootline"
)

// checks lists function tests: a row a device, with its result.
func checks(m *maker) []*table {
	day := m.newDays(1)[0]
	cols := []column{{concept: "date", head: m.head("tested")}, {concept: "result", head: m.head("result")}}
	return []*table{m.longTable(m.word("checks"), m.site.devices, cols, func(d *device) []*cell {
		return m.checked(d, day)
	})}
}

// checked gives the day and result of a test.
func (m *maker) checked(d *device, day sootline.Day) []*cell {
	f := EventFact{Stated: m.stated(d), Kind: sootline.TestedKind, Day: dayText(day), Failed: m.rng.IntN(15) == 0}
	text := m.word("ok")
	if f.Failed {
		text = m.word("bad")
	}
	return []*cell{date(day), words(text).stating(f)}
}

// shortChecks is a list of day, point and "ok".
func shortChecks(m *maker) []*table {
	day := m.newDays(1)[0]
	t := &table{name: m.word("checks"), cols: []column{{concept: "date"}, {concept: "point"}, {concept: "result"}}}
	for _, d := range m.site.devices {
		cells := m.checked(d, day)
		t.rows = append(t.rows, rowOf(cells[0], m.refCells(d)[0], cells[1]))
	}
	return []*table{t}
}

// nestedChecks lists tests of channels: loop, address and sub-address in one cell. All channels of a device are one
// point.
func nestedChecks(m *maker) []*table {
	day := m.newDays(1)[0]
	t := &table{name: m.word("checks"), cols: []column{
		{concept: "nested", head: m.head("nested")}, {concept: "date", head: m.head("tested")}, {concept: "result", head: m.head("result")},
	}}
	for _, d := range m.site.devices {
		channels := 1
		if d.typ.device == sootline.Module {
			channels = 2 + m.rng.IntN(3)
		}
		for sub := range channels {
			ok := EventFact{Stated: m.stated(d), Kind: sootline.TestedKind, Day: dayText(day)}
			name := words(fmt.Sprintf("%s.%d.%d", d.loop, d.number, sub+1))
			t.rows = append(t.rows, rowOf(name, date(day), words(m.word("ok")).stating(ok)))
		}
	}
	return []*table{t}
}

// alarmWords are the concepts of the categories.
func alarmWords() map[sootline.AlarmCategory]string {
	return map[sootline.AlarmCategory]string{
		sootline.Unwanted: "unwanted", sootline.Equipment: "equip", sootline.Malicious: "malice", sootline.GoodIntent: "intent",
	}
}

// alarms lists alarms with category, cause and whether the fire service came.
func alarms(m *maker) []*table {
	cols := append([]column{{concept: "date", head: m.head("date")}}, m.refColumns()...)
	for _, concept := range []string{"category", "cause", "attended"} {
		cols = append(cols, column{concept: concept, head: m.head(concept)})
	}
	t := &table{name: m.word("alarms"), cols: cols}
	for _, day := range m.newDays(4 + m.rng.IntN(6)) {
		d := m.site.detectors()[m.rng.IntN(len(m.site.detectors()))]
		t.rows = append(t.rows, rowOf(m.alarm(d, day)...))
	}
	return []*table{t}
}

// alarm gives the cells of one.
func (m *maker) alarm(d *device, day sootline.Day) []*cell {
	category := pick(m.rng, sootline.Unwanted, sootline.Unwanted, sootline.Unwanted, sootline.Equipment, sootline.Malicious, sootline.GoodIntent)
	f := EventFact{
		Stated: m.stated(d), Kind: sootline.AlarmKind, Day: dayText(day),
		Category: category, Attended: m.rng.IntN(3) == 0,
	}
	came := "no"
	if f.Attended {
		came = "yes"
	}
	var cause *cell
	if category == sootline.Unwanted {
		f.Cause = m.word(pick(m.rng, "cooking", "steam", "dust"))
		cause = words(f.Cause)
	}
	cells := append([]*cell{date(day).stating(f)}, m.refCells(d)...)
	return append(cells, words(m.word(alarmWords()[category])), cause, words(m.word(came)))
}

// events lists tests, cleanings, faults, disablements and restorings.
func events(m *maker) []*table {
	cols := append([]column{{concept: "date", head: m.head("date")}}, m.refColumns()...)
	cols = append(cols, column{concept: "event", head: m.head("event")}, column{concept: "cause", head: m.head("cause")})
	t := &table{name: m.word("events"), cols: cols}
	kinds := map[string]sootline.Kind{
		"test": sootline.TestedKind, "clean": sootline.CleanedKind, "fault": sootline.FaultKind,
		"disable": sootline.DisabledKind, "restore": sootline.RestoredKind,
	}
	used := []*device{}
	for _, day := range m.newDays(8 + m.rng.IntN(5)) {
		d := m.unused(used)
		used = append(used, d)
		what := pick(m.rng, "test", "test", "clean", "fault", "disable", "restore")
		f := EventFact{Stated: m.stated(d), Kind: kinds[what], Day: dayText(day)}
		var cause *cell
		if what == "fault" {
			f.Cause = m.word("dust")
			cause = words(f.Cause)
		}
		cells := append([]*cell{date(day).stating(f)}, m.refCells(d)...)
		t.rows = append(t.rows, rowOf(append(cells, words(m.word(what)), cause)...))
	}
	return []*table{t}
}

// unused finds a detector that no event names yet, or any where all are named.
func (m *maker) unused(used []*device) *device {
	all := m.site.detectors()
	for range 50 {
		if d := all[m.rng.IntN(len(all))]; !slices.Contains(used, d) {
			return d
		}
	}
	return all[0]
}
