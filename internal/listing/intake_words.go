package listing

import "strings"

// vacantWords say that nothing is fitted at a number, or that nothing was read.
const vacantWords = `
vacant: spare, reserve, reserva, riserva, frei, libre, libero, vrij, unused, not used, empty, leer, vide, vacio, vuoto, leeg, n a, na, nil, none, nothing, not fitted, not installed, not present, nicht montiert, nicht vorhanden, nicht installiert, nicht belegt, entfallt, non monte, non installe, non pose, absent, no montado, no instalado, no existe, non montato, non installato, assente, niet gemonteerd, niet geplaatst, niet aanwezig, removed, taken out, entfernt, ausgebaut, supprime, retire, depose, retirado, eliminado, quitado, rimosso, tolto, verwijderd, weggehaald
`

// otherDayWords stand in headings of days that are not when the row's thing was done.
const otherDayWords = `
other: last, latest, previous, next, due, until, till, expires, expiry, expiration, warranty, guarantee, valid, planned, printed, created, issued, birth, letzter, letzte, letztes, vorherige, nachste, nachster, nachstes, fallig, bis, garantie, gewahrleistung, ablauf, gultig, geplant, gedruckt, derniere, dernier, precedente, precedent, prochain, prochaine, echeance, jusqu, jusqu au, expire, garantie, valable, prevu, imprime, ultima, ultimo, anterior, proximo, proxima, vence, vencimiento, hasta, garantia, caduca, valido, previsto, impreso, prossima, prossimo, scadenza, fino, garanzia, scade, stampato, laatste, vorige, volgend, volgende, tot, vervalt, geldig, gepland, afgedrukt
`

// printedWords stand beside the day of a print, which is that of its values where it has no other.
const printedWords = `
printed: printed, print, gedruckt, imprime, impreso, stampato, afgedrukt
`

const subAddressWords = `
sub: sub, sub address, subaddress, channel, unteradresse, subadresse, kanal, sous adresse, voie, subdireccion, canal, sottoindirizzo, canale, subadres, kanaal
`

// alternativeWords are headings with more than one meaning: the cells decide.
const alternativeWords = `
type: device, detector, element, melder, detecteur, apparat, appareil, dispositivo, rivelatore, apparaat, unit, equipment, gerat
point: device, detector, unit
location: where fitted, fitted, where, wo, ou, donde, dove, waar, description, label
serial: id, device id, unit
`

func (lx *lexicon) learnIntakeWords() {
	lx.vacancies, lx.subAddresses, lx.otherDays = map[string]bool{}, map[string]bool{}, map[string]bool{}
	lx.printed = map[string]bool{}
	eachWord(printedWords, func(_, word string) { lx.printed[word] = true })
	lx.alternatives = map[string][]Field{}
	eachWord(vacantWords, func(_, word string) { lx.vacancies[word] = true })
	eachWord(subAddressWords, func(_, word string) { lx.subAddresses[word] = true })
	eachWord(otherDayWords, func(_, word string) { lx.otherDays[word] = true })
	eachWord(alternativeWords, func(field, word string) {
		lx.alternatives[word] = append(lx.alternatives[word], Field(field))
	})
}

// isVacant: the cell says that nothing is there.
func (lx *lexicon) isVacant(cell string) bool {
	if cell == "" || len(cell) > 30 {
		return false
	}
	return strings.Trim(cell, "-–—./ ") == "" || lx.vacancies[fold(cell)]
}

// isOtherDay: the heading is of a day that is not the row's own.
func (lx *lexicon) isOtherDay(heading string) bool {
	for word := range strings.FieldsSeq(fold(heading)) {
		if lx.otherDays[word] {
			return true
		}
	}
	return false
}
