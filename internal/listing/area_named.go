package listing

import (
	"fmt"
	"slices"
	"strings"
)

// plainParts are words that name a part of any site, and are no site's name. Common practice, no source.
const plainParts = `
part: annex, annexe, main, north, south, east, west, central, old, new, upper, lower, front, rear, stores, store, warehouse, production, admin, administration, hall, tower, lobby, canteen, kitchen, school, church, nord, sud, ost, mitte, neubau, altbau, haupthaus, nebengebaude, hauptgebaude, lager, halle, produktion, verwaltung, turm, est, ouest, central, ancien, nouveau, principal, depot, atelier, bureau, entrepot, tour, norte, sur, este, oeste, nuevo, viejo, anexo, almacen, oficina, torre, ovest, vecchio, nuovo, principale, magazzino, ufficio, noord, zuid, oost, oud, nieuw, hoofdgebouw, bijgebouw, magazijn, kantoor, toren, bureaux, oficinas, uffici, kantoren, offices
`

var partsOfSites = func() map[string]bool {
	parts := map[string]bool{}
	eachWord(plainParts, func(_, word string) { parts[word] = true })
	return parts
}()

// doubtAreas asks about a column of areas or buildings of which one is a name that the book does not know: it may be another
// site's.
func (s *study) doubtAreas() {
	u := s.u
	for i, m := range s.matches {
		if u.Columns[i].Field != Unused || m.strength < strengthNear || m.field != Area || s.barred[i] != "" {
			continue
		}
		u.areas = append(u.areas, i)
		rows, example := 0, ""
		for _, row := range s.sample {
			cell := trimmedAt(row.Cells, i)
			if row.Line <= u.HeaderLine || !u.isStrangeArea(cell) {
				continue
			}
			if rows++; example == "" {
				example = fmt.Sprintf("%s in row %d", quoteShort(cell), row.Line)
			}
		}
		if rows > 0 && u.profile.Contrary == "" {
			u.askContrary(fmt.Sprintf("Column %q has names that the book does not know, in %d rows (%s). If they are of another site than %q, such rows do not belong here.", u.columnName(i), rows, example, s.known.site))
		}
	}
}

// isStrangeArea: a cell of a column of areas has no word that the book or the trade knows.
func (u *Understanding) isStrangeArea(cell string) bool {
	return u.isOfStrangers(cell) && !slices.ContainsFunc(strings.Fields(fold(cell)), func(word string) bool { return partsOfSites[word] || len(word) < 3 })
}

// holdArea refuses a row of such an area, where that was answered.
func (r *rowReader) holdArea() {
	if r.u.profile.Contrary != ContraryLeft {
		return
	}
	for _, i := range r.u.areas {
		if cell, _ := r.get(slot{column: i}); r.u.isStrangeArea(cell) {
			r.fail(i, "an area of this site", quoteShort(cell), "it was put aside, as was answered")
		}
	}
}
