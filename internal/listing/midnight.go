package listing

import "strings"

// clock counts times of day behind days, and those that are midnight.
func (f *facts) clock(cell string, kind cellKind) {
	if kind&cellNumber != 0 {
		return
	}
	cell = strings.TrimSpace(cell)
	const dayAlone = 10 // as in 2026-11-13
	if len(cell) <= dayAlone {
		return
	}
	if f.told != cell { // the rows of a visit often have one
		f.told = cell
		f.toldClock, f.toldMidnight = clockIn(cell)
	}
	if f.toldClock {
		f.clocks++
	}
	if f.toldMidnight {
		f.midnights++
	}
}

// clockIn tells whether a time of day stands behind a day, and whether it is midnight.
func clockIn(cell string) (clock, midnight bool) {
	raw, ok := splitDate(cell)
	if !ok || !raw.hasTime {
		return false, false
	}
	var c Civil
	if c.setClock(raw.clock) != nil {
		return false, false
	}
	return true, c.Hour+c.Minute+c.Second+c.Nanosecond == 0 && !c.HasOffset
}
