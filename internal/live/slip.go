package live

import (
	"slices"
	"strings"
	"unicode"
)

// slip reports whether a word is one character off a word that is known, and holds what no known word does: noise did that, and
// nobody needs to explain it.
func (s *Style) slip(word string) bool {
	letters := map[rune]bool{}
	for w := range s.Words {
		for _, r := range w {
			letters[r] = true
		}
	}
	if !slices.ContainsFunc([]rune(word), func(r rune) bool { return !letters[r] }) {
		return false
	}
	for w := range s.Words {
		if oneOff([]rune(w), []rune(word)) {
			return true
		}
	}
	return false
}

// noisy reports whether a word holds a sign that is written in no word: neither a letter, a figure or a blank, nor one that words
// of the trade are written with, nor one of a known word. Seen once, it is noise.
func (s *Style) noisy(word string) bool {
	return strings.ContainsFunc(word, func(r rune) bool {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || isBlank(r) || strings.ContainsRune("-/.,&+'():", r) {
			return false
		}
		for w := range s.Words {
			if strings.ContainsRune(w, r) {
				return false
			}
		}
		return true
	})
}

// slipLeast is how many characters a word has of which one may be noise: shorter ones are too much alike. Chosen here, no source.
const slipLeast = 4

// oneOff reports whether a character of a word was put in the place of another, lost or added.
func oneOff(a, b []rune) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(a) < slipLeast || len(b)-len(a) > 1 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	return len(a) < len(b) && slices.Equal(a[i:], b[i+1:]) || len(a) == len(b) && i < len(a) && slices.Equal(a[i+1:], b[i+1:])
}
