package listing

import (
	"slices"
	"strings"
)

// Cells that contradict what stands beside them, or could be of several things, are refused with their rows.

// placeSaysAbsent: the place of a device says that none is fitted, and is no place of the register.
func (r *rowReader) placeSaysAbsent() bool {
	place := r.u.cell(r.row, Location)
	said := fold(place)
	bare := strings.TrimRight(said, " 0123456789") // "to be fitted 2027", but not "Reserve 2", which may be a store
	if said == "" || r.u.known.isPlace(place) {
		return false
	}
	return r.u.lx.vacancies[said] || r.u.lx.absent[said] || strings.Contains(bare, " ") && r.u.lx.absent[bare]
}

// holdPlace refuses a row that names a device and says in its place that none is fitted.
func (r *rowReader) holdPlace() {
	if r.u.cell(r.row, Type) != "" && r.placeSaysAbsent() {
		r.fail(r.u.column(Location), "the place of the device of this row", quoteShort(r.u.cell(r.row, Location))+", which says that none is fitted", "leave the type empty if nothing is there, or write the place")
	}
}

// holdSamples refuses two numbers in a cell of a column that has mostly one: the other may be a correction, or of
// something else. Three and more are samples.
func (r *rowReader) holdSamples(column int, cell string, numbers int) bool {
	if r.u.Columns[column].lists || numbers > 2 {
		return true
	}
	r.fail(column, "one value, as most cells of the column have", quoteShort(cell), "write the one that holds, or each in a row of its own")
	return false
}

// holdLoop refuses a cell of a loop that could be several loops.
func (r *rowReader) holdLoop() {
	cell, _ := r.get(r.loop)
	if r.loop.column < 0 || cell == "" {
		return
	}
	numbers := 0
	words := strings.Fields(fold(cell))
	for _, word := range words {
		if _, digits := wholeNumber(word); digits {
			numbers++
		}
		if slices.Contains([]string{"or", "oder", "ou", "o", "of"}, word) && len(words) > 2 {
			numbers = 2
		}
	}
	roman := slices.Index([]string{"i", "ii", "iii", "iv", "v", "vi"}, fold(cell)) >= 0 && r.u.known != nil && len(r.u.known.loops) > 0 && !r.u.known.hasLoop(Ref{Loop: normalName(cell)})
	if numbers > 1 || strings.Contains(cell, "?") || roman {
		r.fail(r.loop.column, "the name of one loop", quoteShort(cell), "write the loop as the register has it")
	}
}

// mostLife is the longest service life in years that a sheet may say; beyond it stands a year of the calendar. Common
// practice, no source: detectors are replaced after some ten years.
const mostLife = 100

// holdSheet refuses a sheet whose figures contradict each other.
func (r *rowReader) holdSheet(s *TypeRow) {
	switch {
	case s.Life.Known && s.Life.Value > mostLife:
		r.fail(r.u.column(Life), "a service life in years", quoteShort(r.u.cell(r.row, Life)), "write how many years, and not until which")
	case s.Alarm.Known && s.Low.Known && s.High.Known && s.Worse != "down" && s.Alarm.Value < s.Low.Value && s.Low.Value < s.High.Value:
		r.fail(r.u.column(Alarm), "an alarm level that is not below the low limit", quoteShort(r.u.cell(r.row, Alarm)), "say that dirt moves the value down, if it alarms below")
	}
}
