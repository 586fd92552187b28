package listing

import (
	"fmt"
	"slices"
	"strings"
)

// senseWords stand in headings of what is not, or not now, what the word beside them says: the value of another time,
// one that is wanted or bounds others, or a figure made of several. Common practice, no source.
const senseWords = `
sense: old, previous, prev, former, last, earlier, original, expected, target, desired, planned, next, new, future, due, assumed, estimated, ordered, default, nominal, limit, limits, threshold, setpoint, set point, drift, delta, change, difference, deviation, price, cost, simulated, printed, alarm, before, after, alt, alte, alter, altes, vorige, voriger, voriges, vorher, vorheriger, fruher, fruherer, ursprunglich, ursprunglicher, erwartet, erwarteter, geplant, geplanter, soll, nachster, nachste, neuer, neue, neues, grenze, abweichung, anderung, differenz, preis, simuliert, simulierter, bestellt, precedent, precedente, ancien, ancienne, anterieur, anterieure, attendu, attendue, prevu, prevue, cible, limite, prochain, prochaine, nouveau, nouvelle, ecart, prix, simule, simulee, commande, anterior, antiguo, antigua, esperado, esperada, previsto, prevista, objetivo, proximo, proxima, nuevo, nueva, desviacion, diferencia, precio, simulado, pedido, vecchio, vecchia, atteso, attesa, prossimo, prossima, nuovo, nuova, obiettivo, scarto, scostamento, prezzo, simulato, ordinato, oud, oude, vroegere, verwacht, verwachte, volgende, nieuwe, nieuw, doel, afwijking, verschil, prijs, besteld
`

// lengthWords may stand beside the word for a length of cable, which is that from the point before.
const lengthWords = `
length: distance, longueur, longitud, lunghezza, lengte, lange, kabellange, abstand, distancia, distanza, afstand, of, the, in, for, from, m, previous, preceding, cable, length, device, detector, point, unit, metres, meters, segment, section, loop cable, vom, von, zum, der, des, vorigen, vorherigen, melder, kabel, gerat, abschnitt, de, du, des, d, le, la, depuis, precedent, cable, detecteur, troncon, desde, del, el, anterior, cable, tramo, dal, del, dello, precedente, cavo, tratta, van, vanaf, vorige, kabel, melder, sectie
`

// sensedFields are those whose headings other words turn; days have words of their own.
var sensedFields = []Field{Value, Type, Location, Zone, Area, Floor, Serial, Metres}

// holdsSense drops what a heading means only by a word in it, where another word makes another thing of it.
func (s *study) holdsSense(i int, m match) match {
	if m.strength > strengthExact || !slices.Contains(sensedFields, m.field) || s.content[i].filled == 0 {
		return m
	}
	word := s.u.lx.otherSense(s.u.Columns[i].Heading, m)
	if word == "" {
		return m
	}
	why := fmt.Sprintf("the heading %q has %q beside %q, which may make another thing of it", s.u.Columns[i].Heading, word, m.word)
	if m.field == Value && s.content[i].halfNumbers() {
		s.asked[i] = why
		return match{unit: m.unit}
	}
	s.barred[i] = why
	return match{strength: strengthExact}
}

// otherSense gives the first word of a heading that may make another thing of the known one in it; empty: none.
func (lx *lexicon) otherSense(heading string, m match) string {
	if m.strength != strengthContained {
		return lx.senseInBrackets(heading)
	}
	rest, _ := splitUnit(heading)
	words := strings.Fields(strings.Replace(" "+fold(rest)+" ", " "+m.word+" ", " ", 1))
	for _, word := range words {
		if lx.senses[word] || m.field == Metres && !lx.lengths[word] || m.field == Value && !lx.isHarmless(word) {
			return word
		}
	}
	return ""
}

// senseInBrackets gives the first word in the brackets of a heading that makes another thing of what stands before.
func (lx *lexicon) senseInBrackets(heading string) string {
	_, inside, _ := strings.Cut(heading, "(")
	for word := range strings.FieldsSeq(fold(inside)) {
		if lx.senses[word] {
			return word
		}
	}
	return ""
}

// isHarmless: a word of a heading of values that leaves them values.
func (lx *lexicon) isHarmless(word string) bool {
	return lx.verdicts[word] == sayFiller || lx.headings[word] != "" || isPlain(word) || isUnit(word)
}

// holdsLength drops a length in a unit that is not known to be one.
func (s *study) holdsLength(i int, m match) match {
	open := strings.IndexAny(s.u.Columns[i].Heading, "([")
	if m.field != Metres || m.strength == strengthProfile || open < 0 {
		return m
	}
	unit := strings.TrimSpace(strings.Trim(s.u.Columns[i].Heading[open:], "()[]. "))
	if isLength(unit) || s.u.lx.lengths[fold(unit)] {
		return m
	}
	s.barred[i] = fmt.Sprintf("the heading %q has %q, and cable is kept in metres from the point before", s.u.Columns[i].Heading, unit)
	return match{strength: strengthExact}
}

// isLength: a unit that lengths of cable may stand in.
func isLength(unit string) bool {
	return slices.Contains([]string{"", "m", "mm", "metres", "meters", "metre", "meter", "mètres", "metros", "metri"}, strings.ToLower(unit))
}

// holdsPlace leaves out a place that is only a number, where the heading may mean the order along the loop.
func (s *study) holdsPlace(i int, m match) match {
	if m.field != Location || m.strength == strengthProfile || !s.u.lx.positions[m.word] || !s.content[i].mostly(s.content[i].numbers) {
		return m
	}
	s.barred[i] = fmt.Sprintf("the heading %q may mean the order along the loop, and its cells are numbers", s.u.Columns[i].Heading)
	return match{strength: strengthExact}
}

// positionWords mean a place, or the order of the devices.
const positionWords = `
position: position, posicion, posizione, positie, place, lugar, posto, plaats, platz, lage, emplacement
`

func (lx *lexicon) learnSenses() {
	lx.senses, lx.lengths, lx.positions = map[string]bool{}, map[string]bool{}, map[string]bool{}
	eachWord(senseWords, func(_, word string) { lx.senses[word] = true })
	eachWord(lengthWords, func(_, word string) { lx.lengths[word] = true })
	eachWord(positionWords, func(_, word string) { lx.positions[word] = true })
}

// maybeValues gives the columns of numbers of which the heading does not say that they are the value.
func (s *study) maybeValues() []int {
	return slices.DeleteFunc(s.bareNumbers(), func(i int) bool { return s.u.Columns[i].Heading == "" })
}

// askForValue asks whether a column under a heading that nobody knows is the value. Without any heading, what the
// cells look like may speak.
func (s *study) askForValue() {
	maybe := s.maybeValues()
	var choices []Choice
	for _, i := range maybe {
		choices = append(choices, Choice{columnKey(i), fmt.Sprintf("yes, column %s is the value", s.u.columnName(i))})
	}
	if len(maybe) == 1 {
		i := maybe[0]
		choices = append(choices, Choice{columnKey(i) + "=" + string(Unused), "no, it is another thing: leave it out"})
		s.u.ask(AskValue, fmt.Sprintf("Is column %q the value? Its heading does not say so.", s.u.Columns[i].Heading), choices...)
		return
	}
	s.u.ask(AskValue, "Which column is the value? No heading says so.", choices...)
}

// metres reads a length of cable; one in another unit is refused.
func (r *rowReader) metres(slot slot, cell string, kind cellKind) Figure {
	figure, unit := r.figure(slot, cell, kind)
	if figure.Known && !isLength(unit) {
		r.fail(slot.column, "metres of cable", quoteShort(cell), "write it in metres")
	}
	return figure
}
