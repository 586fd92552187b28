package listing

import (
	"slices"
	"strings"
)

// verdictClass is what a phrase of verdict_words.go says.
type verdictClass string

const (
	sayPass    verdictClass = "pass"
	sayFail    verdictClass = "fail"
	sayBroken  verdictClass = "broken"
	sayFlaw    verdictClass = "flaw"
	sayClear   verdictClass = "clear"
	sayMissed  verdictClass = "missed"
	sayUntried verdictClass = "untried"
	sayDoubt   verdictClass = "doubt"
	sayNot     verdictClass = "not"
	sayWithout verdictClass = "without"
	sayFiller  verdictClass = "filler"
	sayTest    verdictClass = "test" // a word for a test, from eventWords
)

// gravity: where two languages have one word for different things, the earlier class counts, so that no
// word of failure is read as a pass.
var gravity = []verdictClass{
	sayFail, sayBroken, sayFlaw, sayMissed, sayUntried, sayDoubt, sayWithout, sayNot, sayClear, sayPass, sayTest, sayFiller,
}

// isFailure: the word says that something is wrong.
func (c verdictClass) isFailure() bool { return c == sayFail || c == sayBroken || c == sayFlaw }

// polarity is what a yes in a column says.
type polarity string

const (
	poleNone   polarity = "result" // a yes says nothing that is certain
	polePassed polarity = "passed"
	poleFailed polarity = "failed"
)

// shortestStem is the least letters of a word that is looked for inside others.
const shortestStem = 5

func (lx *lexicon) learnVerdicts() {
	lx.verdicts, lx.results, lx.stems = map[string]verdictClass{}, map[string]polarity{}, map[string]bool{}
	learn := func(class verdictClass, phrase string) {
		if old, ok := lx.verdicts[phrase]; ok && slices.Index(gravity, old) <= slices.Index(gravity, class) {
			return
		}
		lx.verdicts[phrase] = class
		lx.longest = max(lx.longest, 1+strings.Count(phrase, " "))
	}
	for _, table := range verdictTables {
		eachWord(table, func(class, phrase string) { learn(verdictClass(class), phrase) })
	}
	eachWord(eventWords, func(what, phrase string) {
		if Happening(what) == Tested && phrase != "test ok" {
			learn(sayTest, phrase)
		}
	})
	eachWord(verdictHeadings, func(pole, heading string) {
		lx.results[heading] = polarity(pole)
		if _, ok := lx.headings[heading]; !ok {
			lx.headings[heading] = Result
		}
	})
	for phrase, class := range lx.verdicts {
		if class.isFailure() && len(phrase) >= shortestStem && !strings.Contains(phrase, " ") {
			lx.stems[phrase] = true
		}
	}
}

// says is what a cell says of how a test went.
type says struct {
	pass, fail, broken, flaw, clear, missed, untried, test bool
	doubt                                                  bool // known words that do not go together, or that leave something open
	denied                                                 bool // a denial of nothing that is known
	unknown                                                bool // words that no table has
	empty                                                  bool
}

// good, bad: something of the kind is said.
func (s says) good() bool { return s.pass || s.clear }
func (s says) bad() bool  { return s.fail || s.broken || s.flaw }

// contrary: it speaks against a pass.
func (s says) contrary() bool { return s.bad() || s.missed || s.untried || s.doubt }

// anything: it has a word that bears on the outcome.
func (s says) anything() bool { return s.contrary() || s.good() || s.denied }

// verdict reads a cell. Denial is settled here and nowhere else: what is denied directly is turned round;
// what is denied in any other way is a doubt.
func (lx *lexicon) verdict(cell string) says {
	words := strings.Fields(fold(cell))
	s := says{empty: strings.TrimSpace(cell) == ""}
	s.unknown = len(words) == 0 && !s.empty
	denial, next := verdictClass(""), false // an open denial; it stands right before
	for i := 0; i < len(words); {
		class, n := lx.phrase(words[i:])
		switch {
		case class == "" && lx.hidesFailure(words[i]):
			s.doubt = true
		case class == "":
			s.unknown = true
		case isNumberSign(words[i:], n):
			class = sayFiller
		case class == sayNot || class == sayWithout:
			if denial != "" {
				s.doubt = true
			}
			denial, next = class, true
			i += n
			continue
		case class != sayFiller && denial != "":
			s.deny(denial, class, next)
			denial = ""
			i += n
			continue
		}
		s.add(class)
		next = false
		i += n
	}
	if denial != "" {
		s.denied = true
		s.doubt = s.doubt || s.anythingKnown()
	}
	if s.clear && s.unknown || s.good() && s.contrary() {
		s.doubt = true
	}
	return s
}

func (s says) anythingKnown() bool { return s.good() || s.bad() || s.test || s.missed || s.untried }

// deny turns a known word round.
func (s *says) deny(denial, class verdictClass, next bool) {
	switch {
	case !next:
		s.doubt = true
		if class.isFailure() {
			s.add(class)
		}
	case class == sayPass:
		s.fail = true
	case class == sayTest:
		s.untried = true
	case class == sayFlaw && denial == sayWithout:
		s.clear = true
	default:
		s.doubt = true
		if class.isFailure() {
			s.add(class)
		}
	}
}

func (s *says) add(class verdictClass) {
	switch class {
	case sayPass:
		s.pass = true
	case sayFail:
		s.fail = true
	case sayBroken:
		s.broken = true
	case sayFlaw:
		s.flaw = true
	case sayClear:
		s.clear = true
	case sayMissed:
		s.missed = true
	case sayUntried:
		s.untried = true
	case sayDoubt:
		s.doubt = true
	case sayTest:
		s.test = true
	}
}

// phrase gives the class of the longest phrase that the words begin with, and how many words it has.
func (lx *lexicon) phrase(words []string) (verdictClass, int) {
	for n := min(lx.longest, len(words)); n > 0; n-- {
		if class, ok := lx.verdicts[strings.Join(words[:n], " ")]; ok {
			return class, n
		}
	}
	return "", 1
}

// isNumberSign: "no. 12" is a number and denies nothing.
func isNumberSign(words []string, n int) bool {
	return n == 1 && words[0] == "no" && len(words) > 1 && isDigit(words[1][0])
}

// hidesFailure: a compound made with a word of failure ("Melderdefekt"), or the contrary of a word of success
// ("nonconforming"), is no word of the tables, and yet not nothing.
func (lx *lexicon) hidesFailure(word string) bool {
	for n := shortestStem; n < len(word); n++ {
		if lx.stems[word[:n]] || lx.stems[word[len(word)-n:]] {
			return true
		}
	}
	for _, prefix := range []string{"un", "non", "in", "dis", "im", "on", "niet", "nicht", "mis"} {
		if rest, ok := strings.CutPrefix(word, prefix); ok && lx.verdicts[rest] == sayPass {
			return true
		}
	}
	return false
}

// mark reads a cell that is nothing but a yes, a no, a tick or a cross, under a heading of that polarity.
func (lx *lexicon) mark(cell string, pole polarity) (says, bool) {
	word := fold(cell)
	yes, ok := lx.yes[word]
	if ok && (word == "x" || pole == poleNone && !isTick(word)) {
		return says{doubt: true}, true // an x is a tick to some and a cross to others
	}
	if !ok && !(isTick(word) || isCross(word)) {
		return says{}, false
	}
	yes = yes || isTick(word)
	switch {
	case isCross(word) && pole == poleFailed:
		return says{doubt: true}, true
	case yes == (pole != poleFailed):
		return says{pass: true}, true
	}
	return says{fail: true}, true
}

func isTick(word string) bool {
	return word == "✓" || word == "✔" || word == "☑" || word == "✅"
}

func isCross(word string) bool {
	return word == "✗" || word == "✘" || word == "❌" || word == "☒"
}
