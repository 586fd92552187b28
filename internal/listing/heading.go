package listing

import (
	"cmp"
	"fmt"
	"strings"
)

// match is what a heading says, and how surely.
type match struct {
	field    Field
	strength int
	word     string // the known word in it
	unit     string
	base     string // heading without a running number, "value" of "Value 2"
	apart    Apart  // which of two values of one visit
	quantity string // that the heading names beside its unit
}

// Strengths of a match; a stronger one gets the field.
const (
	strengthNumber    = 1 // "No." may be a running number
	strengthContained = 2 // a known word among others
	strengthNear      = 3 // a slip away from a known word
	strengthExact     = 4
	strengthProfile   = 5
)

// heading reads one heading.
func (lx *lexicon) heading(h string) match {
	rest, unit := splitUnit(h)
	s := fold(rest)
	if m := lx.exactHeading(fold(h), ""); m.field == Low || m.field == High { // "normal range (low)"
		return m
	}
	if apart := lx.pairOf(s); apart != "" {
		return match{strength: strengthExact, word: s, unit: unit, apart: apart}
	}
	if m := lx.exactHeading(s, unit); m.field != "" {
		return m
	}
	words := strings.Fields(s)
	if n := len(words); n > 1 && unit == "" && isUnit(words[n-1]) {
		if m := lx.exactHeading(strings.Join(words[:n-1], " "), words[n-1]); m.field != "" {
			return m
		}
	}
	if base := strings.TrimRight(s, " 0123456789"); base != s && (lx.headings[base] == Value || lx.headings[base] == Result) {
		return match{field: lx.headings[base], strength: strengthExact, word: base, unit: unit, base: base}
	}
	if word := lx.nearWord(s, unit); word != "" {
		return match{field: lx.headings[word], strength: strengthNear, word: word, unit: unit, base: word}.withUnit()
	}
	if base := strings.TrimRight(s, " 0123456789"); base != s && lx.headings[lx.nearHeading(base, shortestSlip-1, nil)] == Value {
		return match{field: Value, strength: strengthNear, word: base, unit: unit, base: base}
	}
	best := match{unit: unit}
	for from, to := range wordRuns(s) {
		word := s[from:to]
		f, ok := lx.headings[word]
		if alone := (f == Wanted || f == standing) && !strings.Contains(word, " "); alone {
			continue // "old" or "planned" beside other words may be of anything
		}
		if ok && len(word) >= 3 && len(word) > len(best.word) && (f != Result || lx.results[word] == poleNone) {
			best.field, best.strength, best.word = f, strengthContained, word
		}
	}
	return best.withUnit()
}

// nearWord gives the heading that a text is a slip away from. Of one with a unit only what has numbers comes in question, and a
// shorter word will do.
func (lx *lexicon) nearWord(s, unit string) string {
	if unit != "" {
		numeric := func(f Field) bool { return f.isNumeric() }
		if word := lx.nearHeading(s, shortestSlip-1, numeric); word != "" {
			return word
		}
	}
	return cmp.Or(lx.nearHeading(s, shortestSlip, nil), lx.nearHeading(withoutNumberWord(s), shortestSlip, nil))
}

func (lx *lexicon) exactHeading(s, unit string) match {
	if name := lx.quantities[s]; name != "" && unit != "" {
		return match{field: Value, strength: strengthExact, word: s, unit: unit, base: s, quantity: name}
	}
	for _, form := range []string{s, withoutNumberWord(s), withoutChoice(s)} {
		if f, ok := lx.headings[form]; ok {
			m := match{field: f, strength: strengthExact, word: form, unit: unit, base: form}
			if f == number {
				m.strength = strengthNumber
			}
			return m.withUnit()
		}
	}
	return match{}
}

// withUnit: "alarm (mA)" is a current.
func (m match) withUnit() match {
	switch strings.ToLower(m.unit) {
	case "ma", "µa", "μa", "ua", "a":
		if m.field == Alarm {
			m.field = AlarmCurrent
		}
	}
	return m
}

// withoutNumberWord drops the "number" of "loop no." or "n° de boucle".
func withoutNumberWord(s string) string {
	isNumberWord := func(w string) bool {
		switch w {
		case "no", "nr", "num", "number", "numero", "nummer", "n", "id":
			return true
		}
		return false
	}
	words := strings.Fields(s)
	if n := len(words); n > 1 && isNumberWord(words[n-1]) {
		return strings.Join(words[:n-1], " ")
	}
	if len(words) > 1 && isNumberWord(words[0]) {
		words = words[1:]
		if len(words) > 1 && (words[0] == "de" || words[0] == "di" || words[0] == "of") {
			words = words[1:]
		}
	}
	return strings.Join(words, " ")
}

// withoutChoice drops the "yes/no" of "passed yes/no".
func withoutChoice(s string) string {
	for _, choice := range []string{" yes no", " y n", " ja nein", " j n", " oui non", " o n", " si no", " s n", " ja nee", " 1 0", " 0 1"} {
		if rest, ok := strings.CutSuffix(s, choice); ok {
			return rest
		}
	}
	return s
}

// polarity tells what a yes under this heading says.
func (lx *lexicon) polarity(heading string) polarity {
	rest, _ := splitUnit(heading)
	if pole, ok := lx.results[withoutChoice(fold(rest))]; ok {
		return pole
	}
	return poleNone
}

// splitUnit takes the unit in brackets off a heading.
func splitUnit(h string) (rest, unit string) {
	from := strings.IndexAny(h, "([")
	if from < 0 {
		return h, ""
	}
	to := strings.IndexAny(h[from:], ")]")
	if to < 0 {
		return h, ""
	}
	unit = strings.TrimSpace(h[from+1 : from+to])
	if !isUnit(unit) {
		return h[:from] + " " + h[from+to+1:], ""
	}
	return h[:from] + " " + h[from+to+1:], unit
}

// findHeader looks for the row of headings among the first rows: the one with the most known words, at
// least two, or one in a narrow table. It gives the row's place in the sample, -1 for none.
func (s *study) findHeader() (int, string) {
	const depth = 50
	if want := s.u.profile.HeaderLine; want != 0 {
		for i, r := range s.sample {
			if r.Line == want {
				return i, profileSays
			}
		}
		return -1, profileSays
	}
	// A row of days gives way to known headings below it: those are headings in two rows.
	best, bestKnown, wide := -1, 0, false
	for i, r := range s.sample[:min(depth, len(s.sample))] {
		known := s.knownHeadings(r)
		switch visits := s.visitHeadings(i); {
		case visits > bestKnown:
			best, bestKnown, wide = i, visits, true
		case known > bestKnown, wide && known >= 2:
			best, bestKnown, wide = i, known, false
		}
	}
	if best >= 0 && s.u.left {
		return 0, "the first row of a left file"
	}
	if wide {
		return best, fmt.Sprintf("%d of its %d cells are days, with the values of a visit below each", bestKnown, filledCells(s.sample[best].Cells))
	}
	if best >= 0 && (bestKnown >= 2 || filledCells(s.sample[best].Cells) <= 2) {
		return best, fmt.Sprintf("%d of its %d cells are known headings", bestKnown, filledCells(s.sample[best].Cells))
	}
	if at := s.unknownHeads(); at >= 0 {
		s.strangers = true
		return at, "its cells are words, and most cells below them have figures"
	}
	return -1, "no row holds two known headings"
}

// knownHeadings counts the headings of a row; a row that holds a date, a number or an event is data.
func (s *study) knownHeadings(r Row) int {
	exact, contained := 0, 0
	for i, c := range r.Cells {
		c = strings.TrimSpace(c)
		if c == "" {
			continue
		}
		if isDatum(c) || r.kind(i)&cellDate != 0 {
			return 0
		}
		m := s.u.lx.heading(c)
		_, named := s.u.profile.column(c, -1)
		switch {
		case named, m.strength == strengthExact, m.strength == strengthNumber:
			exact++
		case m.strength == strengthContained && len(strings.Fields(c)) <= 4 && !strings.ContainsAny(c, "0123456789"):
			contained++
		}
	}
	if exact == 0 {
		return 0
	}
	return exact + contained
}

// isDatum: a heading is no number, no date and no reference to a point.
func isDatum(cell string) bool {
	if _, ok := anyNumber(cell); ok {
		return true
	}
	if _, ok := splitDate(cell); ok {
		return true
	}
	ref, err := ParseRef(cell)
	return err == nil && ref.Loop != ""
}

func filledCells(cells []string) int {
	n := 0
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			n++
		}
	}
	return n
}
