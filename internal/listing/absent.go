package listing

import (
	"slices"
	"strings"
)

// absentWords say in the place of a type, or of the state of a device, that none is fitted there now. Elsewhere they may
// say other things, so that they are no vacantWords. Common practice, no source.
const absentWords = `
english: vacant, blank, blanked, blanked off, blanking plate, blank plate, no device, no detector, no unit, disused, gone, missing, future, future use, for future, for future use, future device, allow for future, allowance, provision, reserved, unassigned, not assigned, unallocated, not allocated, unpopulated, not populated, n f, n u, n i, to be fitted, to be installed, not yet fitted, not yet installed, not fitted yet, not installed yet, yet to be fitted, planned, tbc, tba, tbd, to be confirmed, to be advised, decommissioned, deleted, stripped out, omitted, not in use, no longer fitted, no longer there, do not fit, not to be fitted, wiring only, cable only, base only, to be ordered, on order, ordered, not ordered, awaiting delivery, cancelled, canceled, void, withdrawn
german: unbelegt, unbenutzt, ungenutzt, unbesetzt, unbestuckt, nicht benutzt, nicht genutzt, nicht besetzt, nicht bestuckt, nicht vergeben, nicht verbaut, nicht eingebaut, reserviert, freigehalten, kein melder, kein gerat, blindplatte, blinddeckel, blindabdeckung, zukunft, zukunftig, noch nicht montiert, noch nicht installiert, noch nicht eingebaut, wird montiert, wird nachgerustet, fehlt, demontiert, abgebaut, stillgelegt, vorgesehen, geplant, nicht montieren, nicht einbauen, nur leitung, nur verdrahtung, nur sockel, zu bestellen, bestellt, storniert, entfallen
french: inoccupe, non occupe, non attribue, non affecte, non equipe, reservee, non utilise, inutilise, aucun, aucun appareil, pas d appareil, plaque pleine, obturateur, futur, prevu, a poser, a installer, pas encore pose, pas encore installe, non encore pose, manquant, enleve, demonte, a confirmer, ne pas poser, ne pas installer, cablage seul, socle seul, a commander, en commande, commande, annule, annulee
spanish: vacante, no utilizado, sin utilizar, sin asignar, no asignado, reservado, desocupado, sin uso, no usado, sin equipo, sin dispositivo, sin detector, tapa ciega, futuro, futura, previsto, por instalar, pendiente de instalar, aun no instalado, falta, desmontado, en desuso, por confirmar, ninguno, no montar, no instalar, solo cableado, solo zocalo, por pedir, pedido, anulado, anulada, cancelado, suprimido
italian: non usato, non utilizzato, non assegnato, non occupato, riservato, inutilizzato, nessun dispositivo, nessun rivelatore, nessuno, piastra cieca, tappo cieco, da installare, da montare, non ancora installato, non ancora montato, manca, mancante, smontato, dismesso, da confermare, non montare, non installare, solo cablaggio, solo zoccolo, da ordinare, ordinato, annullato, annullata, scorta, di scorta
dutch: niet gebruikt, niet in gebruik, niet toegewezen, niet bezet, onbezet, onbenut, gereserveerd, ongebruikt, geen melder, geen apparaat, blindplaat, toekomst, toekomstig, gepland, nog te plaatsen, te plaatsen, nog niet geplaatst, nog niet gemonteerd, ontbreekt, gedemonteerd, nader te bepalen, niet plaatsen, niet monteren, alleen bekabeling, alleen sokkel, te bestellen, besteld, geannuleerd, vervallen
`

// shortestAbsent is the length of phrases that count beside other words too: shorter ones may be a part of a name.
const shortestAbsent = 5

func (lx *lexicon) learnAbsent() {
	lx.absent = map[string]bool{}
	eachWord(absentWords, func(_, word string) { lx.absent[word] = true })
}

// isAbsent: a cell says that no device is fitted, perhaps with a number, as in "Spare 2".
func (lx *lexicon) isAbsent(cell string) bool {
	if lx.isVacant(cell) {
		return true
	}
	said := strings.TrimRight(fold(cell), " 0123456789")
	return said != "" && (lx.absent[said] || lx.vacancies[said] || lx.vacancies[withoutNumberWord(said)])
}

// hidesAbsent: a cell says so beside other words, as in "Larch (removed)".
func (lx *lexicon) hidesAbsent(cell string) bool {
	said := fold(cell)
	for from, to := range wordRuns(said) {
		if phrase := said[from:to]; len(phrase) >= shortestAbsent && (lx.absent[phrase] || lx.vacancies[phrase]) {
			return true
		}
	}
	return false
}

// isNoName: marks and fillers that are the name of nothing.
func isNoName(cell string) bool {
	said := fold(cell)
	return cell != "" && (said == "" || slices.Contains([]string{"x", "xx", "xxx", "0", "00", "000"}, said))
}

// settleStatus finds the columns of a schedule that say in which state a device is, or say so in a remark.
func (s *study) settleStatus() {
	for i, m := range s.matches {
		if s.u.Kind != KindSchedule || m.strength < strengthNear || s.u.Columns[i].Field != Unused {
			continue
		}
		if m.field == What || (m.field == Remark || m.field == Text) && s.saysAbsent(i) {
			s.u.states = append(s.u.states, i)
			s.u.Columns[i].Why += "; a device that it says not to be fitted is not taken"
		}
	}
}

// saysAbsent: a cell of the column says that nothing is fitted.
func (s *study) saysAbsent(i int) bool {
	for cell := range s.content[i].distinct {
		if strings.Trim(cell, "-–— ") != "" && s.u.lx.isAbsent(cell) || s.u.lx.hidesAbsent(cell) {
			return true
		}
	}
	return false
}

// statusOf gives the state of a device as its row has it, of several columns that which says that it is not fitted, or may.
func (u *Understanding) statusOf(row *Row) (status string, column int) {
	column = -1
	for _, i := range u.states {
		cell, _ := slot{column: i, field: What}.get(row)
		switch {
		case strings.Trim(cell, "-–— ") == "":
		case u.lx.isAbsent(cell):
			return cell, i
		case column < 0 || u.lx.hidesAbsent(cell):
			status, column = cell, i
		}
	}
	return status, column
}

// holdFitted refuses a row of which it is not clear that a device is fitted.
func (r *rowReader) holdFitted() {
	kind := r.u.cell(r.row, Type)
	status, at := r.u.statusOf(r.row)
	switch {
	case r.u.known.isType(kind):
	case isNoName(kind):
		r.fail(r.u.column(Type), "a type of device", quoteShort(kind), "write the type, or leave it empty")
	case r.u.lx.hidesAbsent(kind):
		r.fail(r.u.column(Type), "a type of device", quoteShort(kind)+", which may say that none is fitted", "write the type alone, or that it is not fitted")
	}
	if r.u.lx.hidesAbsent(status) {
		r.fail(at, "the state of a device that is fitted", quoteShort(status)+", which may say that it is not", "")
	}
}
