package listing

import (
	"slices"
	"strings"
)

// turningWords stand beside a word for what happened and make another thing of it: it is yet to be done, it was only
// advised, it is of a part of the device, or it was not in earnest. Many are harmless beside a test, and are not here.
// Common practice, no source.
const turningWords = `
yet: next, due, be, should, shall, must, required, recommended, advised, ordered, planned, later, soon, nachste, nachster, nachstes, nachsten, fallig, erforderlich, notig, empfohlen, bestellt, prochain, prochaine, necessaire, conseille, prevu, prevue, commande, proximo, proxima, pendiente, necesario, necesaria, recomendado, previsto, pedido, prossimo, prossima, necessario, necessaria, consigliato, prevista, ordinato, volgend, volgende, nodig, aanbevolen, besteld
part: base, bases, lamp, led, bell, sounder, sounders, buzzer, label, battery, batteries, key, sockel, lampe, schild, batterie, beschriftung, socle, voyant, etiquette, pile, zocalo, etiqueta, pila, bateria, zoccolo, etichetta, batteria, voet, sokkel, lampje, etiket, batterij
sham: pre, simulated, simulation, drill, only, simuliert, nur, simule, seulement, simulado, solo, simulato, soltanto, gesimuleerd, alleen
`

// turningStarts are harmless in a sentence, and turn the word behind them round at the beginning of a cell: "de-isolated".
var turningStarts = []string{"de", "un", "non", "dis", "pre", "a", "te"}

// beyondEvent gives the words of a cell that stand beside what happened and may make another thing of it; a cell is
// understood whole, or not at all.
func (lx *lexicon) beyondEvent(cell string, what Happening) (others []string) {
	said := fold(cell)
	if lx.events[said] != "" {
		return nil
	}
	words := strings.Fields(said)
	for i := 0; i < len(words); {
		class, n := lx.phrase(words[i:])
		event, m := lx.eventPhrase(words[i:])
		switch {
		case event != "" && (m >= n || class == sayFiller):
			n = m
		case i == 0 && len(words) > 1 && slices.Contains(turningStarts, words[i]), slices.ContainsFunc(words[i:i+n], lx.isTurning):
			others = append(others, strings.Join(words[i:i+n], " "))
		case class == "" && (isPlain(words[i]) || isRoom(words[i]) && !lx.hidesFailure(words[i])):
		case !class.leaves(what):
			others = append(others, strings.Join(words[i:i+n], " "))
		}
		i += n
	}
	for word := range strings.FieldsSeq(cell) { // "exchanged with 1.007" is of two points
		if ref, err := ParseRef(word); err == nil && ref.Loop != "" {
			others = append(others, word)
		}
	}
	return others
}

// eventPhrase gives what the longest phrase says happened that the words begin with, and how many words it has.
func (lx *lexicon) eventPhrase(words []string) (Happening, int) {
	const longest = 4
	for n := min(longest, len(words)); n > 0; n-- {
		if w := lx.events[strings.Join(words[:n], " ")]; w != "" {
			return w, n
		}
	}
	return "", 0
}

// isTurning: one of turningWords.
func (lx *lexicon) isTurning(word string) bool { return lx.turning[word] }

// leaves reports whether words of a class leave a happening as it is: a device is replaced or disabled, or a fault is
// there, because it is broken.
func (c verdictClass) leaves(what Happening) bool {
	switch c {
	case sayFiller, sayPass, sayClear, sayTest:
		return true
	case sayBroken, sayFlaw, sayFail:
		return what == Replaced || what == Disabled || what == Faulty || what == Restored && c == sayFlaw
	}
	return false
}
