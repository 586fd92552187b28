package listing

import (
	"fmt"
	"slices"
	"strings"
)

// A heading is understood only whole: each of its words must be known to belong to the role that it gets. The word that
// is left over makes the column asked where its role is needed, and left out and said where it is not.

// doubt is a column whose heading has a role by one of its words, and another word that may make another thing of it.
type doubt struct {
	field Field
	why   string
}

// leftOver gives the first word of a heading that is not known to belong to the role that it gets; empty: none.
func (s *study) leftOver(heading string, m match) string {
	if m.strength == strengthProfile || roleFillers[m.field] == nil || s.u.lx.orderOfHeading(heading) != "" {
		return ""
	}
	rest, unit := splitUnit(heading)
	outside, inside := cutBrackets(heading)
	if unit != "" && fold(inside) == fold(unit) {
		outside, inside = rest, ""
	}
	words := append(s.besideWord(withoutChoice(fold(outside)), m), strings.Fields(fold(inside))...)
	for at, word := range words {
		switch {
		case (m.field == Value || m.field == Result) && s.isAnotherYear(word):
			return word
		case m.field == Value && isSampleNumber(words[at:]), s.belongs(word, m.field):
		case inside != "" && isUnit(word):
		default:
			return word
		}
	}
	return ""
}

// besideWord gives the words of a folded heading beside the known one, which may be misspelt.
func (s *study) besideWord(heading string, m match) []string {
	if m.strength != strengthNear {
		return strings.Fields(strings.Replace(" "+heading+" ", " "+m.word+" ", " ", 1))
	}
	if isSlip(heading, m.word) {
		return nil
	}
	known := strings.Fields(m.word)
	return slices.DeleteFunc(strings.Fields(heading), func(word string) bool {
		return slices.ContainsFunc(known, func(k string) bool { return k == word || isSlip(k, word) })
	})
}

// isAnotherYear: a year in a heading beside a column of days, which say the year themselves.
func (s *study) isAnotherYear(word string) bool {
	n, digits := wholeNumber(word)
	return digits && len(word) == 4 && isDay(n, 1, 1) && n >= 1900 && n < 2100 && slices.Contains(s.roles, Date)
}

// wholly gives what a heading means by that of its known words beside which no other is left over, where one field alone
// has such a word.
func (s *study) wholly(heading string, m match) match {
	if m.strength != strengthContained || s.leftOver(heading, m) == "" {
		return m
	}
	found := m
	outside, _ := cutBrackets(heading)
	said := fold(outside)
	for from, to := range wordRuns(said) {
		other := m
		other.word = said[from:to]
		other.field = s.u.lx.headings[other.word]
		if roleFillers[other.field] == nil || s.leftOver(heading, other) != "" || other.field == Result && s.u.lx.results[other.word] != poleNone {
			continue
		}
		if found.word != m.word && found.field != other.field {
			return m
		}
		found = other
	}
	return found
}

// cutBrackets takes apart what stands in the brackets of a heading and what does not.
func cutBrackets(heading string) (outside, inside string) {
	from := strings.IndexAny(heading, "([")
	if from < 0 {
		return heading, ""
	}
	before, rest := heading[:from], heading[from+1:]
	to := strings.IndexAny(rest, ")]")
	if to < 0 {
		return before, rest
	}
	return before + " " + rest[to+1:], rest[:to]
}

// belongs: the word may stand in a heading of the field.
func (s *study) belongs(word string, f Field) bool {
	lx := s.u.lx
	if _, digits := wholeNumber(word); digits || isBareUnit(word) || s.known.isName(word) || isSampleLetter(word) {
		return true
	}
	for _, list := range roleFillers[f] {
		if lx.fillers[list][word] {
			return true
		}
		if len(word) >= shortestSlip && isNearly(word, lx.fillers[list]) {
			return true
		}
	}
	stem := strings.TrimRight(word, "0123456789") // "v2" is a second one
	return lx.headings[word] == f || lx.headings[stem] == f && len(word)-len(stem) <= 2 || f == What && lx.events[word] == Tested
}

// isBareUnit: a unit that is no other word too, and may stand without brackets.
func isBareUnit(word string) bool {
	return isUnit(word) && !slices.Contains([]string{"count", "counts", "min", "digits", "bit"}, word)
}

// isSampleLetter: "Reading a", "Zone B": a letter tells columns or parts apart.
func isSampleLetter(word string) bool { return len(word) == 1 && isLetter(word[0]) }

// isSampleNumber: "no. 2" counts samples; "no." alone is a number of something.
func isSampleNumber(words []string) bool {
	if len(words) < 2 || !slices.Contains([]string{"no", "nr", "n", "number", "numero", "nummer"}, words[0]) {
		return false
	}
	_, digits := wholeNumber(words[1])
	return digits
}

// holdsWhole drops what a heading means by a word in it where another word is left over.
func (s *study) holdsWhole(i int, m match) match {
	if m.apart != "" || s.content[i].filled == 0 || m.strength == 0 {
		return m
	}
	heading := s.u.Columns[i].Heading
	word := s.leftOver(heading, m)
	if word == "" {
		return m
	}
	return s.putInDoubt(i, m, fmt.Sprintf("the heading %q has %q beside %q, which may make another thing of it", heading, word, m.word))
}

// putInDoubt takes the role from a column, and keeps it for a question where rows cannot do without it.
func (s *study) putInDoubt(i int, m match, why string) match {
	switch f := m.field; {
	case f == Value && s.content[i].halfNumbers():
		s.asked[i] = why
		return match{unit: m.unit}
	case f == Point || f == Address || f == standing || f == Wanted || f == setNumber:
		if c := &s.content[i]; c.half(c.refs + c.weak + c.numbers) {
			s.doubts[i] = doubt{Address, why}
			if c.refs+c.weak > 0 {
				s.doubts[i] = doubt{Point, why}
			}
		}
	case f == Result || f == What:
		s.doubts[i], s.roles[i] = doubt{f, why}, Unused
	}
	s.barred[i] = why
	return match{strength: strengthExact}
}

// inDoubt gives the columns that would have one of the fields but for a word of their headings.
func (s *study) inDoubt(fields ...Field) (at []int) {
	for i := range s.u.Columns {
		if d, ok := s.doubts[i]; ok && slices.Contains(fields, d.field) {
			at = append(at, i)
		}
	}
	return at
}

// doubtHeadedOutcomes: cells that look like outcomes are those of a test only under a heading that says so, or beside
// what happened.
func (s *study) doubtHeadedOutcomes() {
	for i, role := range s.roles {
		if m := s.matches[i]; m.strength == strengthNear && m.field == Result && s.isEventAlone(i) { // "Fault" is no slip of "faulty"
			s.matches[i] = match{}
		}
		m, heading := s.matches[i], s.u.Columns[i].Heading
		bare := m.field == "" && m.apart == "" && m.strength < strengthExact && s.barred[i] == ""
		if heading == "" || role != Result && role != What || !bare || s.u.lx.visitDate(heading) != "" || s.isOfTests(heading) || s.happensElsewhere(i) {
			continue
		}
		s.matches[i] = s.putInDoubt(i, match{field: role}, fmt.Sprintf("the heading %q does not say that it is %s", heading, role.text()))
	}
}

// isEventAlone: the heading is a word for what happened, and not for a test.
func (s *study) isEventAlone(i int) bool {
	event := s.u.lx.events[fold(s.u.Columns[i].Heading)]
	return event != "" && event != Tested
}

// happensElsewhere: another column says what happened.
func (s *study) happensElsewhere(i int) bool {
	for j, m := range s.matches {
		if j != i && (m.field == What && m.strength >= strengthNear || m.field == Ticked || m.field == "" && s.roles[j] == What && s.u.Columns[j].Heading == "") {
			return true
		}
	}
	return false
}

// isOfTests: every word of a heading is of a test.
func (s *study) isOfTests(heading string) bool {
	test := false
	for word := range strings.FieldsSeq(fold(heading)) {
		test = test || s.u.lx.events[word] == Tested || s.u.lx.results[word] != ""
		if !s.belongs(word, What) {
			return false
		}
	}
	return test
}

// doubtFormerNumbers puts numbers in doubt that are no longer or not yet those of the devices, where the table does not
// set the one against the other.
func (s *study) doubtFormerNumbers() {
	for i, m := range s.matches {
		heading := s.u.Columns[i].Heading
		former := m.field == standing && slices.ContainsFunc(strings.Fields(fold(heading)), func(word string) bool { return s.u.lx.formers[word] })
		wanted := m.field == Wanted && s.u.Kind != KindSchedule
		if !former && !wanted || m.strength == strengthProfile || s.u.Kind == KindNumbers || s.u.Kind == KindSchedule && s.found(Wanted) {
			continue
		}
		s.matches[i] = s.putInDoubt(i, m, fmt.Sprintf("the heading %q may be of a number that the device has no more, or not yet", heading))
	}
}

// askDoubted asks for what no row can do without, of the columns that their headings put in doubt.
func (s *study) askDoubted() bool {
	u := s.u
	if at := s.inDoubt(Point, Address); len(at) > 0 && !u.has(Point, Address, Wanted) && !u.has(Serial) && u.profile.Constants[Address] == "" {
		s.askWhether(AskPoint, at, "name the points", "Which column names the point?")
		return true
	}
	if at := s.inDoubt(Ticked); u.Kind == KindEvents && len(at) > 0 && !u.has(What, Result, Ticked, Category, Attended) && u.profile.Constants[What] == "" {
		s.askWhether(AskResult, at, "have a mark where that happened", "Which column has a mark where that happened?")
		return true
	}
	if at := s.inDoubt(Result, What); u.Kind == KindEvents && len(at) > 0 && !u.has(What, Result, Ticked, Category, Attended) && u.profile.Constants[What] == "" && u.profile.Constants[Result] == "" {
		s.askWhether(AskResult, at, "say how the tests went, or what happened", "Which column says how the tests went, or what happened?")
		return true
	}
	return false
}

// askWhether asks whether a column is what one of its words says, or which of several is.
func (s *study) askWhether(id string, at []int, does, which string) {
	var choices []Choice
	for _, i := range at {
		choices = append(choices, Choice{columnKey(i) + "=" + string(s.doubts[i].field), fmt.Sprintf("column %s: %s", s.u.columnName(i), s.doubts[i].field.text())})
	}
	if len(at) > 1 {
		s.u.askOnce(id, which+" Their headings have words that may make other things of them.", choices...)
		return
	}
	i := at[0]
	choices = append(choices, Choice{columnKey(i) + "=" + string(Unused), "no, it is another thing: leave it out"})
	s.u.askOnce(id, fmt.Sprintf("Does column %q %s? So far, %s.", s.u.columnName(i), does, s.doubts[i].why), choices...)
}
