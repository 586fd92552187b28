package listing

import "fmt"

// fittedHeads head columns of a schedule with a yes or a no: whether the device of the row is fitted. Common practice, no source.
const fittedHeads = `
fitted: fitted, is fitted, device fitted, installed, is installed, in place, mounted, eingebaut, montiert, installiert, verbaut, vorhanden, pose, posee, installe, monte, en place, instalado, montado, colocado, installato, montato, posato, geplaatst, gemonteerd, geinstalleerd, aanwezig
`

var fittedMarkHeads = func() map[string]bool {
	heads := map[string]bool{}
	eachWord(fittedHeads, func(_, word string) { heads[word] = true })
	return heads
}()

// findFittedMarks takes a column of marks under such a heading for what it is, and no column of days.
func (s *study) findFittedMarks() {
	s.u.fittedMarks = -1
	for i, c := range s.u.Columns {
		held := &s.content[i]
		if s.matches[i].strength == strengthProfile || !fittedMarkHeads[withoutChoice(fold(c.Heading))] || held.filled == 0 || held.dates > 0 {
			continue
		}
		marks := 0
		for _, row := range s.sample {
			if row.Line > s.u.HeaderLine && s.u.lx.isMarked(trimmedAt(row.Cells, i)) != "" {
				marks++
			}
		}
		if !held.mostly(marks) {
			continue
		}
		s.u.fittedMarks = i
		s.barred[i] = fmt.Sprintf("the heading %q says whether the device is fitted; a row with a no is of a number at which nothing is", c.Heading)
		s.matches[i] = match{strength: strengthExact}
		return
	}
}

// isMarked reads a yes or a no; empty: it is neither.
func (lx *lexicon) isMarked(cell string) string {
	said := fold(cell)
	yes, known := lx.yes[said]
	switch {
	case isTick(said) || known && yes:
		return "yes"
	case isCross(said) || known:
		return "no"
	}
	return ""
}

// saysNotFitted: the mark of a row says that its device is not fitted.
func (u *Understanding) saysNotFitted(row *Row) (cell string, not bool) {
	if u.fittedMarks < 0 || u.Kind != KindSchedule {
		return "", false
	}
	cell = trimmedAt(row.Cells, u.fittedMarks)
	return cell, u.lx.isMarked(cell) == "no"
}

// holdMark refuses a row that does not say whether its device is fitted, where the others do.
func (r *rowReader) holdMark() {
	if r.u.fittedMarks < 0 || r.u.Kind != KindSchedule {
		return
	}
	if cell := trimmedAt(r.row.Cells, r.u.fittedMarks); r.u.lx.isMarked(cell) == "" {
		found := "nothing"
		if cell != "" {
			found = quoteShort(cell)
		}
		r.fail(r.u.fittedMarks, "yes or no, whether the device is fitted", found, "write one of them")
	}
}
