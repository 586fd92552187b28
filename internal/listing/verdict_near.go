package listing

import (
	"slices"
	"strings"
	"unicode"
)

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

// nearFailure: a word that is one slip of the keyboard away from a word of failure ("faild", "fialed") may be one.
// A word that a table has is not looked at.
func (lx *lexicon) nearFailure(word string) bool {
	if len(word) < shortestStem {
		return false
	}
	for n := len(word) - 1; n <= len(word)+1; n++ {
		for _, stem := range lx.near[n] {
			if isOneSlip(word, stem) {
				return true
			}
		}
	}
	return false
}

// isOneSlip: one letter left out, put in or put for another, or two beside each other exchanged; letters are
// bytes, since folded words of the tables have no others.
func isOneSlip(a, b string) bool {
	for a != "" && b != "" && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for a != "" && b != "" && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if len(a) == 2 && len(b) == 2 {
		return a[0] == b[1] && a[1] == b[0]
	}
	return len(a) <= 1 && len(b) <= 1
}

// isPlain: a number, a short code with a number ("12a", "rm4"), or a month says nothing of how a test went. What
// the tables have is not looked at.
func isPlain(word string) bool {
	bare := strings.TrimRight(word, "abcdefghijklmnopqrstuvwxyz")
	code := strings.TrimLeft(bare, "abcdefghijklmnopqrstuvwxyz")
	isNumber := code != "" && strings.Trim(code, "0123456789") == ""
	const mostLetters = 2
	return isNumber && len(word)-len(bare) <= mostLetters && len(bare)-len(code) <= mostLetters || monthNumber(word) > 0
}

// isRoom: a word that languages make of the name for a room. What hides a word of failure is not looked at.
func isRoom(word string) bool {
	return slices.ContainsFunc(placeEndings, func(ending string) bool { return strings.HasSuffix(word, ending) })
}

// strangeSigns gives the pictures in a cell that fold to nothing and may say anything.
func strangeSigns(cell string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.So, r) && r != '°' && !isMark(r) {
			return r
		}
		return -1
	}, cell)
}
