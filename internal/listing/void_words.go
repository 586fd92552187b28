package listing

import (
	"slices"
	"strings"
)

// voidWords say that a value, a row or a sheet does not hold, wherever they stand: beside a value, in a remark, in a title or
// as the name of a sheet. Common practice, no source.
const voidWords = `
english: void, voided, invalid, not valid, cancelled, canceled, ignore, ignored, disregard, discard, discarded, estimated, simulated, rejected, superseded, obsolete, do not use, not to be used, test data, dummy, sample data
german: ungultig, ungultige, storniert, ignorieren, verworfen, geschatzt, simuliert, uberholt, veraltet, nicht verwenden, testdaten
french: annule, annulee, annules, invalide, nul, non valide, a ignorer, ignorer, estime, estimee, simule, simulee, perime, ne pas utiliser, donnees d essai
spanish: anulado, anulada, anulados, cancelado, cancelada, invalido, nulo, ignorar, estimado, simulado, obsoleto, no usar, no utilizar, datos de prueba
italian: annullato, annullata, annullati, cancellato, non valido, nullo, ignorare, da ignorare, stimato, simulato, superato, non usare, dati di prova
dutch: ongeldig, ongeldige, geannuleerd, vervallen, negeren, genegeerd, geschat, gesimuleerd, verouderd, niet gebruiken, testgegevens
`

// voidRemarks say so of the value that they stand beside, and of nothing else.
const voidRemarks = `
english: not read, unread, wrong point, wrong device, wrong detector, wrong address, wrong value, last year s value, value of last year, no reply, no answer, no response, not measured, copied, guessed, typo, misread, estimate, missing, deleted, wrong, suspect
german: nicht gelesen, nicht abgelesen, falscher melder, falscher punkt, falsche adresse, falscher wert, wert vom vorjahr, vorjahreswert, keine antwort, nicht gemessen, kopiert, verlesen, nicht gultig, fehlt, geloscht, falsch
french: non lu, non lue, pas lu, mauvais detecteur, mauvais point, mauvaise adresse, de l an dernier, de l annee precedente, pas de reponse, sans reponse, non mesure, copie, copiee, manquant, supprime, faux
spanish: no leido, no leida, detector equivocado, punto equivocado, direccion equivocada, valor del ano pasado, valor del ano anterior, sin respuesta, no medido, copiado, no valido, falta, borrado
italian: non letto, non letta, rivelatore sbagliato, punto sbagliato, indirizzo sbagliato, valore dell anno scorso, nessuna risposta, non misurato, copiato, mancante
dutch: niet gelezen, niet afgelezen, verkeerde melder, verkeerd punt, verkeerd adres, waarde van vorig jaar, geen antwoord, niet gemeten, gekopieerd, niet geldig, ontbreekt, verwijderd
`

// draftWords say in the name of a sheet that its rows do not hold, or hold no longer; the first line in a title too. The former,
// as whole_words.go has them, do so as well. Common practice, no source.
const draftWords = `
draft: draft, template, example, entwurf, vorlage, beispiel, brouillon, modele, exemple, borrador, plantilla, ejemplo, bozza, esempio, concept, sjabloon, voorbeeld
copy: drafts, older, copy, copy of, backup, archive, archived, scrap, wip, kopie, sicherung, archiv, copie, sauvegarde, copia, copia de, modello, reservekopie
`

// voidFillers may stand beside a single word of those in a remark.
const voidFillers = `
filler: value, reading, row, entry, this, please, is, only, the, wert, messwert, zeile, dieser, bitte, nur, ist, valeur, ligne, cette, valor, lectura, fila, este, esta, valore, lettura, riga, questo, questa, waarde, meting, regel, deze
`

// voids are those words, folded.
var voids = func() (w struct{ everywhere, beside, fillers map[string]bool }) {
	w.everywhere, w.beside, w.fillers = map[string]bool{}, map[string]bool{}, map[string]bool{}
	eachWord(voidWords, func(_, word string) { w.everywhere[word], w.beside[word] = true, true })
	eachWord(voidRemarks, func(_, word string) { w.beside[word] = true })
	eachWord(voidFillers, func(_, word string) { w.fillers[word] = true })
	return w
}()

// voidPhrase finds what says in a title or a name that the rows do not hold; empty: nothing.
func voidPhrase(title string) string {
	said := fold(title)
	for from, to := range wordRuns(said) {
		if voids.everywhere[said[from:to]] {
			return said[from:to]
		}
	}
	return ""
}

// voidsValue: a remark says that the value beside it does not hold: by several words anywhere, or by one that stands alone or
// with fillers between marks. "Cleaned the floor void" is of a place.
func voidsValue(remark string) bool {
	said := fold(remark)
	for from, to := range wordRuns(said) {
		if phrase := said[from:to]; strings.Contains(phrase, " ") && voids.beside[phrase] {
			return true
		}
	}
	for part := range strings.FieldsFuncSeq(remark, func(r rune) bool { return strings.ContainsRune(",;.:()-–—/!", r) }) {
		words := slices.DeleteFunc(strings.Fields(fold(part)), func(word string) bool { return voids.fillers[word] })
		if len(words) == 1 && voids.beside[words[0]] {
			return true
		}
	}
	return false
}
