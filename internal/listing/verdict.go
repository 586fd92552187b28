package listing

import (
	"cmp"
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
	sayOdd     verdictClass = "odd"
	sayDoubt   verdictClass = "doubt"
	sayNot     verdictClass = "not"
	sayWithout verdictClass = "without"
	sayFiller  verdictClass = "filler"
	sayTest    verdictClass = "test" // a word for a test, from eventWords
)

// gravity: where two languages have one word for different things, the earlier class counts, so that no
// word of failure is read as a pass.
var gravity = []verdictClass{
	sayFail, sayBroken, sayFlaw, sayMissed, sayUntried, sayOdd, sayDoubt, sayWithout, sayNot, sayClear, sayPass, sayTest, sayFiller,
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
	lx.verdicts, lx.results = map[string]verdictClass{}, map[string]polarity{}
	lx.stems, lx.near = map[string]bool{}, map[int][]string{}
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
	for _, table := range harmlessTables {
		eachWord(table, func(about, phrase string) {
			if class := verdictClass(about); class == sayClear {
				learn(class, phrase)
				return
			}
			learn(sayFiller, phrase)
		})
	}
	for phrase := range lx.devices {
		learn(sayFiller, phrase)
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
		if class == sayFail && len(phrase) >= shortestSlip && lx.headings[phrase] == "" && lx.events[phrase] == "" {
			lx.results[phrase], lx.headings[phrase] = poleFailed, Result // a column so headed is marked where a test failed
		}
		if class.isFailure() && len(phrase) >= shortestStem && !strings.Contains(phrase, " ") {
			lx.stems[phrase] = true
			lx.near[len(phrase)] = append(lx.near[len(phrase)], phrase)
		}
	}
}

// says is what a cell says of how a test went.
type says struct {
	pass, fail, broken, flaw, clear, missed, untried, test bool
	odd                                                    bool // a sign that something may not be right, which is a doubt too
	doubt                                                  bool // known words that do not go together, or that leave something open
	denied                                                 bool // a denial of nothing that is known
	unknown                                                bool // words that no table has
	empty                                                  bool
	strays                                                 []string // those words, folded
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
	if signs := strangeSigns(cell); signs != "" || len(words) == 0 && !s.empty {
		s.stray(cmp.Or(signs, strings.Join(strings.Fields(cell), "")))
	}
	denial, next := verdictClass(""), false // an open denial; it stands right before
	for i := 0; i < len(words); {
		class, n := lx.phrase(words[i:])
		switch {
		case class == "" && isPlain(words[i]):
			class = sayFiller
		case class == "" && (lx.hidesFailure(words[i]) || lx.nearFailure(words[i])):
			class = sayOdd
		case class == "" && isRoom(words[i]):
			class = sayFiller
		case class == "":
			s.stray(words[i])
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
	s.conclude(denial)
	return s
}

// conclude weighs the words of a cell together, with the denial that is left over.
func (s *says) conclude(denial verdictClass) {
	if denial != "" {
		s.denied = true
		s.doubt = s.doubt || s.anythingKnown()
	}
	if s.clear && s.unknown || s.good() && s.contrary() {
		s.doubt = true
	}
}

// stray keeps a word that no table has.
func (s *says) stray(word string) {
	s.unknown = true
	s.strays = append(s.strays, word)
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
	case sayOdd:
		s.odd, s.doubt = true, true
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
