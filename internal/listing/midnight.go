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
	raw, ok := splitDate(cell)
	if !ok || !raw.hasTime {
		return
	}
	var c Civil
	if c.setClock(raw.clock) != nil {
		return
	}
	f.clocks++
	if c.Hour+c.Minute+c.Second+c.Nanosecond == 0 && !c.HasOffset {
		f.midnights++
	}
}
