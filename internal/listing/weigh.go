package listing

import (
	"fmt"
	"strings"
)

// The weights, in points like logarithms of odds (base 2): 1 point for it doubles the odds, 1 against halves them.
// They are choices of ours, listed with their meaning in docs/methods/intake.md.
const (
	weightHeading  = 6 // a heading that is a known word, whole
	weightNear     = 4 // one a slip away from such a word
	weightPart     = 3 // a heading with a known word in it
	weightNumber   = 1 // "No.", which may be a running number
	weightRegister = 6 // all cells are of the register as the reading says; the same against it where none is
	weightLoops    = 3 // the same of loops alone
	weightFit      = 2 // all cells can be such a field
	weightUnfit    = 9 // none can
	weightShape    = 3 // as lists of this trade look: few loops and many numbers
	weightUsual    = 3 // as most lists have it

	// clearLead is by how much the foremost reading must lead: a sixteenth of the odds is left to the others.
	clearLead = 4
)

// weighed is one reading with its evidence.
type weighed[T comparable] struct {
	of     T
	points float64
	says   []string
}

func (w *weighed[T]) add(points float64, because string) {
	w.points += points
	w.says = append(w.says, because)
}

func (w *weighed[T]) because() string { return strings.Join(w.says, ", ") }

// foremost gives the two readings with the most points.
func foremost[T comparable](all []weighed[T]) (best, second weighed[T]) {
	for i, w := range all {
		switch {
		case i == 0 || w.points > best.points:
			best, second = w, best
		case second.says == nil || w.points > second.points:
			second = w
		}
	}
	return best, second
}

// weighColumns holds what each heading says against what the cells and the register say, and puts another
// reading in its place where that is clearly the better.
func (s *study) weighColumns() {
	for i := range s.matches {
		m := &s.matches[i]
		if m.strength == strengthProfile || s.content[i].filled == 0 || s.barred[i] != "" {
			continue
		}
		var all []weighed[Field]
		for _, f := range s.candidates(i) {
			all = append(all, s.weighField(i, f))
		}
		best, _ := foremost(all)
		var own weighed[Field]
		for _, w := range all {
			if w.of == m.field {
				own = w
			}
		}
		if best.of == m.field || best.points < clearLead || best.points-own.points < clearLead {
			continue
		}
		m.field, m.quantity = best.of, ""
		m.strength = max(m.strength, strengthContained)
		s.weighedAs[i] = best
	}
}

// candidates are the fields that a column could be, besides what its heading says.
func (s *study) candidates(i int) []Field {
	all := []Field{Type, Location, Serial}
	if s.content[i].categories > 0 {
		all = append(all, Category)
	}
	if f := s.matches[i].field; f != "" {
		all = append(all, f)
	}
	return append(all, s.alternatives(i)...)
}

// alternatives are what else a heading can mean, or the word that it is a slip away from.
func (s *study) alternatives(i int) []Field {
	if m := s.matches[i]; m.strength == strengthNear {
		return s.u.lx.alternatives[m.word]
	}
	return s.u.lx.alternatives[fold(s.u.Columns[i].Heading)]
}

// weighField gives the points of one field for a column.
func (s *study) weighField(i int, f Field) weighed[Field] {
	w, m, c := weighed[Field]{of: f}, s.matches[i], &s.content[i]
	if m.field == f {
		switch m.strength {
		case strengthExact:
			w.add(weightHeading, fmt.Sprintf("the heading %q means it", s.u.Columns[i].Heading))
		case strengthNear:
			w.add(weightNear, fmt.Sprintf("the heading %q is a slip away", s.u.Columns[i].Heading))
		case strengthContained:
			w.add(weightPart, fmt.Sprintf("the heading has %q", m.word))
		default:
			w.add(weightNumber, "the heading may mean it")
		}
	}
	for _, alternative := range s.alternatives(i) {
		if alternative == f && m.field != f {
			w.add(weightPart, fmt.Sprintf("the heading %q can mean it", s.u.Columns[i].Heading))
		}
	}
	s.weighCells(&w, c, f)
	return w
}

// weighCells adds what the cells say of a field.
func (s *study) weighCells(w *weighed[Field], c *content, f Field) {
	share := func(n int) float64 { return min(1, float64(n)/float64(c.filled)) }
	fit := func(n int, what string) {
		w.add(weightFit*share(n)-weightUnfit*max(0, 0.5-share(n))*2, fmt.Sprintf("%d of %d cells are %s", n, c.filled, what))
	}
	switch {
	case f == Point:
		fit(c.refs+c.weak+c.numbers-min(c.numbers, c.weak), "references or numbers")
	case f == Date || f == Fitted:
		fit(c.dates+c.serialDays, "days")
	case f == Device:
		fit(c.devices, "kinds of device")
	case f == Category:
		fit(c.categories, "words for why an alarm was given")
		if c.events < c.categories && len(c.keys) > 1 { // "test" and "fire" alone may be what happened
			w.add(weightShape*share(c.categories), "they are several")
		}
	case f == Value:
		fit(c.numbers+c.lists+c.vacant, "numbers")
	case f == Type && c.devices > 0 && c.types == 0:
		w.add(weightFit*share(c.devices), fmt.Sprintf("%d of %d cells are kinds of device", c.devices, c.filled))
	case f == Type && s.known != nil && len(s.known.types) > 0:
		w.add(weightRegister*share(c.types), fmt.Sprintf("%d of %d cells are types of the register", c.types, c.filled))
	case f == Type:
		fit(c.filled-min(c.filled, c.numbers+c.dates+c.refs+c.weak), "names")
	case f == Location && s.known.hasPoints():
		w.add(weightRegister*share(c.places), fmt.Sprintf("%d of %d cells are places of the register", c.places, c.filled))
	case f == Serial && s.known.hasPoints():
		w.add(weightRegister*share(c.serials), fmt.Sprintf("%d of %d cells are serial numbers of the register", c.serials, c.filled))
	}
	if (f == Type || f == Location) && c.mostly(c.numbers+c.dates+c.refs) {
		w.add(-weightUnfit, "its cells are numbers or days")
	}
}
