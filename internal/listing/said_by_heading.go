package listing

import (
	"fmt"
	"slices"
	"strings"
)

// What happened may stand in no column, and yet a heading may tell of it: "Cleaned by", "New serial", "Last test". It is asked,
// with that as an answer.

// headedHappening is what a heading lets think that happened in each row.
type headedHappening struct {
	column int
	what   Happening
}

// findHeadedHappenings looks for such headings where no column says what happened, or holds values.
func (s *study) findHeadedHappenings() {
	if s.found(What, Result, Ticked, Category, Attended) || s.numericValue() || s.happenings() >= 0 {
		return
	}
	for i, c := range s.u.Columns {
		m := s.matches[i]
		switch what := s.u.lx.doneBy(c.Heading); {
		case m.strength == strengthProfile || s.content[i].filled == 0:
		case what != "" && !s.content[i].halfNumbers():
			s.matches[i] = match{field: By, strength: strengthExact, word: fold(c.Heading)}
			s.happened = headedHappening{i, what}
		case m.field == NewSerial && m.strength >= strengthNear:
			s.happened = headedHappening{i, Replaced}
		case s.barred[i] == "" && m.field == "" && s.isOfTests(c.Heading) && s.holdsLetters(i):
			s.matches[i] = match{field: Result, strength: strengthNear, word: fold(c.Heading)}
		}
	}
}

// doneBy reads a heading of who did a thing that is no test: "Cleaned by"; empty: it is none.
func (lx *lexicon) doneBy(heading string) Happening {
	words := strings.Fields(fold(heading))
	if len(words) < 2 || lx.headings[words[len(words)-1]] != By {
		return ""
	}
	if what := lx.events[strings.Join(words[:len(words)-1], " ")]; what == Cleaned {
		return what
	}
	return ""
}

// holdsLetters: the cells are a few short words again and again, such as P, F and N/A, whose meaning can be asked.
func (s *study) holdsLetters(i int) bool {
	const longest, different = 3, 5
	c := &s.content[i]
	if c.filled < 2 || len(c.distinct) > different || len(c.distinct) == c.filled {
		return false
	}
	for cell := range c.distinct {
		if len(cell) > longest || !isLetter(cell[0]) || strings.ContainsAny(cell, "0123456789") {
			return false
		}
	}
	return true
}

// askHeaded asks whether in all rows happened what a heading lets think.
func (s *study) askHeaded() bool {
	u, h := s.u, s.happened
	if u.Kind != KindEvents || h.what == "" || u.has(What, Result, Ticked, Category, Attended) || u.profile.Constants[What] != "" {
		return false
	}
	u.askOnce(AskWhat, fmt.Sprintf("No column says what happened, and column %q lets think that each of these points was %s. Was it, on the day of its row?", u.columnName(h.column), h.what),
		Choice{string(h.what), "yes, each was " + string(h.what)})
	return true
}

// lastWords stand before the word for a test over a column of its days. Common practice, no source.
var lastWords = []string{"last", "latest", "letzte", "letzter", "letztes", "derniere", "dernier", "ultima", "ultimo", "laatste"}

// isLastTest: a column has the days of the last tests, and beside a result they may be those of the rows.
func (s *study) isLastTest(i int) bool {
	c := &s.content[i]
	if !c.mostly(c.dates) {
		return false
	}
	words := strings.Fields(fold(s.u.Columns[i].Heading))
	last := slices.ContainsFunc(words, func(word string) bool { return slices.Contains(lastWords, word) })
	return last && slices.ContainsFunc(words, func(word string) bool { return s.u.lx.events[word] == Tested })
}

// testedLast: results stand beside the days of last tests, and no other days.
func (s *study) testedLast() bool {
	for i := range s.u.Columns {
		if s.isLastTest(i) {
			return s.result()
		}
	}
	return false
}
