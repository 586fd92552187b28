package listing

import (
	"fmt"
	"slices"
	"strings"
)

// lengthWords may stand beside the word for a length of cable, which is that from the point before.
const lengthWords = `
length: distance, longueur, longitud, lunghezza, lengte, lange, kabellange, abstand, distancia, distanza, afstand, of, the, in, for, from, m, previous, preceding, cable, length, device, detector, point, unit, metres, meters, segment, section, loop cable, vom, von, zum, der, des, vorigen, vorherigen, melder, kabel, gerat, abschnitt, de, du, des, d, le, la, depuis, precedent, cable, detecteur, troncon, desde, del, el, anterior, cable, tramo, dal, del, dello, precedente, cavo, tratta, van, vanaf, vorige, kabel, melder, sectie
`

// holdsLength drops a length in a unit that is not known to be one.
func (s *study) holdsLength(i int, m match) match {
	if word := s.otherLength(i, m); word != "" {
		s.barred[i] = fmt.Sprintf("the heading %q has %q beside %q, which may make another length of it", s.u.Columns[i].Heading, word, m.word)
		return match{strength: strengthExact}
	}
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

// otherLength gives the first word of a heading of lengths that may make it another one than that from the point before.
func (s *study) otherLength(i int, m match) string {
	if m.field != Metres || m.strength == strengthProfile || s.content[i].filled == 0 {
		return ""
	}
	_, inside := cutBrackets(s.u.Columns[i].Heading)
	words := strings.Fields(fold(inside))
	if m.strength == strengthContained {
		rest, _ := splitUnit(s.u.Columns[i].Heading)
		words = strings.Fields(strings.Replace(" "+fold(rest)+" ", " "+m.word+" ", " ", 1))
	}
	for _, word := range words {
		if !s.u.lx.lengths[word] && !isUnit(word) {
			return word
		}
	}
	return ""
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
	lx.lengths, lx.positions = map[string]bool{}, map[string]bool{}
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
