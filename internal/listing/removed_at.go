package listing

import "strings"

// removalHeads head columns of the days, or marks, of devices that are there no longer. Common practice, no source.
const removalHeads = `
removed: removed, removal, dismantled, decommissioned, scrapped, ausgebaut, demontiert, entfernt, stillgelegt, ausbau, depose, enleve, retire, desmontado, retirado, rimosso, smontato, dismesso, verwijderd, gedemonteerd
`

// settleRemoved finds the column of a schedule that says which devices were taken out.
func (s *study) settleRemoved() {
	words := map[string]bool{}
	eachWord(removalHeads, func(_, word string) { words[fold(word)] = true })
	s.u.removed = -1
	for i, c := range s.u.Columns {
		if s.u.Kind != KindSchedule || c.Field != Unused || s.matches[i].strength == strengthProfile {
			continue
		}
		for word := range strings.FieldsSeq(fold(c.Heading)) {
			if words[word] {
				s.u.removed = i
				s.u.Columns[i].Why += "; a row that has something there is not taken"
				return
			}
		}
	}
}

// holdRemoved refuses a row that says that its device was taken out.
func (r *rowReader) holdRemoved() {
	cell, _ := r.get(slot{column: r.u.removed})
	yes, known := r.u.lx.yes[fold(cell)]
	if r.u.removed < 0 || strings.Trim(cell, "-–— ") == "" || known && !yes {
		return
	}
	r.fail(r.u.removed, "a device that is fitted", quoteShort(cell)+", which may say that it was taken out", "leave the row out, or write that nothing is fitted there")
}
