package listing

import "strings"

// vacantWords say that nothing is fitted at a number, or that nothing was read.
const vacantWords = `
vacant: spare, reserve, reserva, riserva, frei, libre, libero, vrij, unused, not used, empty, leer, vide, vacio, vuoto, leeg, n a, na, nil, none, nothing, not fitted, not installed, not present, nicht montiert, nicht vorhanden, nicht installiert, nicht belegt, entfallt, non monte, non installe, non pose, absent, no montado, no instalado, no existe, non montato, non installato, assente, niet gemonteerd, niet geplaatst, niet aanwezig, removed, taken out, entfernt, ausgebaut, supprime, retire, depose, retirado, eliminado, quitado, rimosso, tolto, verwijderd, weggehaald
`

// otherDayWords stand in headings of days that are not when the row's thing was done.
const otherDayWords = `
other: last, latest, previous, next, due, until, till, expires, expiry, expiration, warranty, guarantee, valid, planned, printed, created, issued, birth, birthday, ordered, order, delivered, delivery, manufacture, manufactured, production, produced, made, purchase, purchased, invoice, invoiced, battery, print, bestellt, geliefert, lieferdatum, bestelldatum, herstellung, herstelldatum, hergestellt, produktion, geburtstag, geburtsdatum, gekauft, rechnung, rechnungsdatum, batterie, druckdatum, commande, livre, livraison, fabrication, fabrique, naissance, anniversaire, achat, facture, pile, batterie, impression, pedido, entregado, entrega, fabricacion, fabricado, nacimiento, cumpleanos, compra, factura, bateria, impresion, ordinato, ordine, consegna, consegnato, produzione, prodotto, fabbricazione, nascita, compleanno, acquisto, fattura, batteria, stampa, besteld, bestelling, geleverd, levering, fabricage, vervaardigd, productie, geboorte, verjaardag, aankoop, factuur, batterij, drukdatum, letzter, letzte, letztes, vorherige, nachste, nachster, nachstes, fallig, bis, garantie, gewahrleistung, ablauf, gultig, geplant, gedruckt, derniere, dernier, precedente, precedent, prochain, prochaine, echeance, jusqu, jusqu au, expire, garantie, valable, prevu, imprime, ultima, ultimo, anterior, proximo, proxima, vence, vencimiento, hasta, garantia, caduca, valido, previsto, impreso, prossima, prossimo, scadenza, fino, garanzia, scade, stampato, laatste, vorige, volgend, volgende, tot, vervalt, geldig, gepland, afgedrukt
`

// printedWords stand beside the day of a print, which is that of its values where it has no other.
const printedWords = `
printed: printed, print, gedruckt, imprime, impreso, stampato, afgedrukt
`

const dayPartWords = `
day: day, day of month, tag, jour, dia, giorno, dag
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
category: category, kategorie, categorie, categoria, art, kind
`

func (lx *lexicon) learnIntakeWords() {
	lx.vacancies, lx.subAddresses, lx.otherDays = map[string]bool{}, map[string]bool{}, map[string]bool{}
	lx.pairs, lx.categories = map[string]Apart{}, map[string]string{}
	eachWord(pairWords, func(apart, word string) { lx.pairs[word] = Apart(apart) })
	eachWord(categoryWords, func(category, word string) { lx.categories[word] = category })
	lx.dayWords = map[string]bool{}
	eachWord(dayPartWords, func(_, word string) { lx.dayWords[word] = true })
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
	if cell == "" || isDigit(cell[0]) || cell[0] == '#' || len(cell) > 30 || strings.ContainsAny(cell, "0123456789") { // no such word has a digit, and most cells do; "#N/A" is what a spreadsheet could not reckon
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

// pairWords head two values of one visit that are no samples of one look.
const pairWords = `
as found: as found, found, found value, value found, before, before cleaning, value before, before service, vorgefunden, wert vorgefunden, vorher, vor reinigung, vor der reinigung, trouve, valeur trouvee, avant, avant nettoyage, encontrado, valor encontrado, antes, antes de limpieza, antes de la limpieza, trovato, valore trovato, prima, prima della pulizia, aangetroffen, aangetroffen waarde, voor reiniging, voor, voor het reinigen
as left: as left, left, left value, value left, after, after cleaning, value after, after service, hinterlassen, wert hinterlassen, nachher, nach reinigung, nach der reinigung, laisse, valeur laissee, apres, apres nettoyage, dejado, valor dejado, despues, despues de limpieza, despues de la limpieza, lasciato, valore lasciato, dopo, dopo la pulizia, achtergelaten, achtergelaten waarde, na, na reiniging, na het reinigen
by day: day value, value by day, by day, day mode, tagwert, wert tag, wert am tag, tagsuber, valeur de jour, valeur jour, de jour, valor de dia, valor dia, de dia, valore diurno, valore giorno, di giorno, dagwaarde, waarde dag, overdag
by night: night value, value by night, by night, night, night mode, nachtwert, wert nacht, wert in der nacht, nacht, nachts, valeur de nuit, valeur nuit, nuit, de nuit, valor de noche, valor noche, noche, de noche, valore notturno, valore notte, notte, di notte, nachtwaarde, waarde nacht, s nachts
`

// categoryWords say why an alarm was given; the categories are those of the register.
const categoryWords = `
unwanted: unwanted, unwanted alarm, nuisance, unerwunscht, unerwunschter alarm, tauschungsalarm, tauschung, intempestive, alarme intempestive, no deseada, alarma no deseada, indesiderato, allarme indesiderato, ongewenst, ongewenste melding
equipment: equipment, equipment fault, technical, geratedefekt, gerateausfall, technischer defekt, technisch, materiel, defaut materiel, technique, equipo, fallo del equipo, tecnico, apparecchiatura, guasto tecnico, apparatuur, technische storing
malicious: malicious, malice, boswillig, mutwillig, malveillante, malveillance, malintencionada, maliciosa, doloso, dolosa, kwaadwillig, moedwillig
good intent: good intent, good faith, gute absicht, guter glaube, bonne intention, bonne foi, buena intencion, buena fe, buona fede, buone intenzioni, goede bedoeling, te goeder trouw
fire: fire, real fire, genuine fire, brand, echter brand, feuer, incendie, vrai feu, incendio, incendio real, incendio reale, echte brand
test: test, test alarm, probe, probealarm, essai, prueba, prova, proefalarm
`

// alarmCategory finds the category that a cell names; empty: none.
func (lx *lexicon) alarmCategory(cell string) string { return lx.categories[fold(cell)] }

// shortestSlip is the length of words from which one a slip away is taken for them.
const shortestSlip = 5

// nearHeading finds the known heading that is one slip away from folded words: two letters exchanged, one left out, put in
// or changed, in words of five letters and more; empty: none, or several of different meaning.
func (lx *lexicon) nearHeading(s string, shortest int, may func(Field) bool) string {
	if len(s) < shortest {
		return ""
	}
	found := ""
	for word, field := range lx.headings {
		if len(word) < shortest || len(word)-len(s) > 1 || len(s)-len(word) > 1 || !isSlip(s, word) || may != nil && !may(field) {
			continue
		}
		if found != "" && lx.headings[found] != field {
			return ""
		}
		if found == "" || word < found {
			found = word
		}
	}
	return found
}

// isDayWord: a head of the day of a month, or one a slip away from it.
func (lx *lexicon) isDayWord(s string) bool { return isNearly(s, lx.dayWords) }

// isSubAddress: a word for a part of an address, or one a slip away from it.
func (lx *lexicon) isSubAddress(s string) bool { return isNearly(s, lx.subAddresses) }

// isNearly: a text is one of some words or, if it is long enough, a slip away from one.
func isNearly(s string, words map[string]bool) bool {
	if words[s] || len(s) < shortestSlip {
		return words[s]
	}
	for word := range words {
		if isSlip(s, word) {
			return true
		}
	}
	return false
}

// isSlip: two letters exchanged, one left out, put in or changed.
func isSlip(a, b string) bool {
	from := 0
	for from < len(a) && from < len(b) && a[from] == b[from] {
		from++
	}
	ra, rb := a[from:], b[from:]
	switch {
	case len(ra) == len(rb) && len(ra) >= 2 && ra[0] == rb[1] && ra[1] == rb[0] && ra[2:] == rb[2:]:
		return true
	case len(ra) == len(rb):
		return len(ra) > 0 && ra[1:] == rb[1:]
	case len(ra) == len(rb)+1:
		return ra[1:] == rb
	case len(rb) == len(ra)+1:
		return rb[1:] == ra
	}
	return false
}

// pairedValue reads a word for a value beside one for a half of a pair, "value day", "reading at night".
func (lx *lexicon) pairedValue(s string) Apart {
	value, rest := false, ""
	for word := range strings.FieldsSeq(s) {
		switch {
		case lx.headings[word] == Value:
			value = true
		case lx.dayFillers[word] && !lx.dayWords[word]:
		case rest != "":
			return ""
		default:
			rest = word
		}
	}
	switch {
	case !value || rest == "":
		return ""
	case lx.dayWords[rest]:
		return ByDay
	}
	return lx.pairs[rest]
}

// pairOf tells which of two values of a visit a heading is of, by the word or one a slip away from it.
func (lx *lexicon) pairOf(s string) Apart {
	const shortest = 7
	if apart := lx.pairedValue(s); apart != "" {
		return apart
	}
	if apart, ok := lx.pairs[s]; ok || len(s) < shortest {
		return apart
	}
	if _, known := lx.headings[s]; known {
		return ""
	}
	found := Apart("")
	for word, apart := range lx.pairs {
		if len(word) >= shortest && isSlip(s, word) {
			if found != "" && found != apart {
				return ""
			}
			found = apart
		}
	}
	return found
}
