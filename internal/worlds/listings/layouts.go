package listings

// kindOfLayout sorts layouts by what their rows are.
type kindOfLayout byte

const (
	scheduleKind kindOfLayout = iota
	readingKind
	eventKind
	numberKind
	mixedKind
)

// layout is a way in which people lay a listing out.
type layout struct {
	name    string
	kind    kindOfLayout
	plan    plan
	bare    bool // without headings that could be spoilt
	dated   bool // every row has its day in a column
	plain   bool // one table under one row of headings
	tables  func(m *maker) []*table
	arrange func(m *maker, all []*table) *document
}

// layouts lists them all.
func layouts() []layout {
	return append(append(append(scheduleLayouts(), readingLayouts()...), wideLayouts()...), otherLayouts()...)
}

func scheduleLayouts() []layout {
	any1 := plan{filled: empty}
	one := plan{filled: empty, onePanel: true}
	usual := []string{"type", "zone", "place", "serial"}
	cable := []string{"type", "zone", "place", "metres"}
	return []layout{
		{"schedule", scheduleKind, any1, false, false, true, schedules(oneList, usual...), onSheets},
		{"schedule with cable", scheduleKind, any1, false, false, true, schedules(oneList, cable...), onSheets},
		{"schedule under titles", scheduleKind, any1, false, false, true, schedules(oneList, cable...), underTitle},
		{"schedule behind a cover", scheduleKind, any1, false, false, true, schedules(oneList, usual...), behindCover},
		{"schedule, a sheet a loop", scheduleKind, one, false, false, false, schedules(byLoopNamed, usual...), onSheets},
		{"schedule, a sheet a zone", scheduleKind, any1, false, false, false, schedules(byZoneNamed, "type", "place", "serial"), onSheets},
		{"schedule, loops one below another", scheduleKind, one, false, false, false, schedules(byLoopNamed, usual...), stacked},
		{"schedule, points joined", scheduleKind, any1, false, false, true, joined(schedules(oneList, usual...)), onSheets},
		{"schedule, address before loop", scheduleKind, one, false, false, true, crossedSchedule, onSheets},
		{"schedule, few columns", scheduleKind, any1, false, false, true, schedules(oneList, "type", "place"), onSheets},
		{"schedule, transposed", scheduleKind, any1, true, false, false, schedules(oneList, "type", "place"), transposed},
		{"schedule, loops side by side", scheduleKind, plan{filled: empty, onePanel: true, twoLoops: true}, true, false, false, schedules(byLoop, "type", "place"), sideBySide},
		{"schedule without headings", scheduleKind, one, true, false, false, joined(schedules(oneList, "type", "place")), withoutHeads},
		{"schedule with ranges apart", scheduleKind, plan{filled: full, separate: true, onePanel: true}, false, false, true, rangedSchedule, onSheets},
	}
}

func readingLayouts() []layout {
	known := plan{filled: full}
	one := plan{filled: full, onePanel: true}
	return []layout{
		{"readings", readingKind, known, false, true, true, longReadings(1), onSheets},
		{"readings under titles", readingKind, known, false, true, true, longReadings(1), underTitle},
		{"readings, points joined", readingKind, known, false, true, true, joined(longReadings(1)), onSheets},
		{"readings, loop and address apart", readingKind, known, false, true, true, apart(longReadings(1)), onSheets},
		{"readings, three samples", readingKind, known, false, true, true, longReadings(3), onSheets},
		{"readings, samples in one cell", readingKind, known, false, true, true, sampleCells, onSheets},
		{"readings, several visits", readingKind, known, false, true, true, severalVisits, onSheets},
		{"readings, day in the title", readingKind, known, false, false, true, undatedReadings, underDay},
		{"readings, a sheet a visit", readingKind, known, false, false, false, visitSheets, onSheets},
		{"readings, a sheet a loop", readingKind, one, false, true, false, loopReadings(byLoopNamed), onSheets},
		{"readings, loops one below another", readingKind, one, false, true, false, loopReadings(byLoopNamed), stacked},
		{"readings, loops side by side", readingKind, plan{filled: full, onePanel: true, twoLoops: true}, true, false, false, loopReadings(byLoop), sideBySide},
		{"readings, day, month, year apart", readingKind, known, false, false, true, threeColumnDays, onSheets},
		{"readings, serial days", readingKind, known, false, false, true, serialDays, onSheets},
		{"readings by serial", readingKind, known, false, true, true, bySerial, onSheets},
		{"readings in percent", readingKind, plan{filled: full, percent: true}, false, true, true, longReadings(1), onSheets},
		{"readings, unit in the cell", readingKind, known, false, true, true, unitCells, onSheets},
		{"readings without headings", readingKind, one, true, true, false, joined(longReadings(1)), withoutHeads},
		{"print of a panel", readingKind, one, true, false, false, printed, paged},
		{"print of a panel without headings", readingKind, one, true, false, false, printedBare, pagedBare},
		{"readings by zone and detector", readingKind, plan{filled: full, onePanel: true, twoLoops: true}, false, true, true, zoneDetectors, onSheets},
		{"readings with zone and detector beside", readingKind, known, false, true, true, besideDetectors, onSheets},
		{"readings by number alone", readingKind, one, false, true, true, numberAlone, onSheets},
		{"readings with ranges apart", readingKind, plan{filled: full, separate: true, onePanel: true}, false, true, true, rangedReadings, onSheets},
	}
}

func wideLayouts() []layout {
	known := plan{filled: full}
	return []layout{
		{"readings by visit, wide", readingKind, known, false, false, false, wide(visitHeads), onSheets},
		{"readings by visit, merged heads", readingKind, known, false, false, false, mergedVisits, onSheets},
		{"readings by year", readingKind, known, false, false, false, wide(yearHeads), onSheets},
		{"readings by quarter", readingKind, known, false, false, false, wide(quarterHeads), onSheets},
		{"readings by month", readingKind, known, false, false, false, wide(monthHeads), onSheets},
		{"readings, transposed", readingKind, known, true, false, false, joined(wide(visitHeads)), transposed},
		{"readings found and left", readingKind, known, false, true, true, pairs("found", "left"), onSheets},
		{"readings before and after cleaning", readingKind, known, false, true, true, pairs("before", "after"), onSheets},
		{"readings by day and night", readingKind, known, false, true, true, pairs("day mode", "night"), onSheets},
	}
}

func otherLayouts() []layout {
	known := plan{filled: full}
	one := plan{filled: full, onePanel: true}
	return []layout{
		{"check list", eventKind, known, false, true, true, checks, onSheets},
		{"check list without headings", eventKind, one, true, true, false, joined(shortChecks), withoutHeads},
		{"check list with sub-addresses", eventKind, one, false, true, true, nestedChecks, onSheets},
		{"alarms", eventKind, known, false, true, true, alarms, onSheets},
		{"events", eventKind, known, false, true, true, events, onSheets},
		{"numbers found, by serial", numberKind, known, false, false, true, numbersBySerial, onSheets},
		{"numbers found, by point", numberKind, known, false, false, true, numbersByPoint, onSheets},
		{"types", mixedKind, plan{filled: empty}, false, false, true, typeList, onSheets},
		{"workbook of several kinds", mixedKind, plan{filled: empty}, false, false, false, severalKinds, onSheets},
		{"kinds one below another", mixedKind, plan{filled: empty}, false, false, false, severalKinds, stacked},
	}
}
