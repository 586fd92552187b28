package listing

import (
	"strings"
	"sync"
)

// common is the lexicon of words that stand in no table; it is only read.
var common = sync.OnceValue(newLexicon)

// AgainstPass reports whether words that stand with a passed test may speak against it, by the same tables that
// judge the rows of a listing: a word of failure, a misspelt one, a sign that something is not right, a denial of
// anything but a fault, a question, or that it was not tried or the device is out of use. Words that no table has
// do not count, nor do those that only leave something open ("again", "after"): beside a listing's pass they are
// asked about, but whoever wrote a text with a pass of their own knew what they meant.
func AgainstPass(text string) bool {
	lx := common()
	s := lx.verdict(text)
	return s.bad() || s.missed || s.untried || s.odd || s.denied && !isNothing(text) || strings.Contains(text, "?") ||
		lx.happenings(fold(text))[Disabled]
}
