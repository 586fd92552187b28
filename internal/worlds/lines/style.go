package lines

import (
	"slices"
	"strings"
	"time"

	"golang.org/x/text/encoding/charmap"
)

// Style is how an invented panel prints.
type Style struct {
	Name    string
	Tongue  string // of places and months: en, de, fr, es, it, nl
	Page    string // code page: utf-8, latin-1, 850, 437
	Width   int    // characters a line of the paper takes; 0: no bound
	Soft    bool   // lines are broken at blanks
	Newline string

	words   string // of the nine events, in the order of Events
	letters bool   // loops are called A, B, C
	subs    bool   // points have sub-addresses
	zoned   bool   // zones are printed
	layout  func(s *sheet)
	// head prints the head of a page: every so many events, and where byDay is set when a day begins.
	head  func(s *sheet, page int)
	every int
	byDay bool
	clock func(share float64) time.Duration // how far the panel's clock is ahead, by the share of the time that is over
}

// Styles names the twenty styles.
func Styles() []string {
	var names []string
	for _, s := range styles() {
		names = append(names, s.Name)
	}
	return names
}

func styles() []*Style {
	return slices.Concat(stylesOfColumns(), stylesOfPaper(), stylesOfWords())
}

func (s *Style) word(e Event) string {
	return strings.Split(s.words, "|")[slices.Index(Events(), e)]
}

// encode gives the bytes of a character on the wire.
func (s *Style) encode(r rune) []byte {
	if r == '\n' {
		return []byte(s.Newline)
	}
	page := map[string]*charmap.Charmap{"latin-1": charmap.ISO8859_1, "850": charmap.CodePage850, "437": charmap.CodePage437}[s.Page]
	if page == nil {
		return []byte(string(r))
	}
	b, ok := page.EncodeRune(r)
	if !ok {
		panic("code page " + s.Page + " has no " + string(r)) // a style that was written wrongly
	}
	return []byte{b}
}

// steady is a clock that is ahead by the same all the time.
func steady(ahead time.Duration) func(float64) time.Duration {
	return func(float64) time.Duration { return ahead }
}

// changed is a clock that somebody changed when a share of the time was over.
func changed(when float64, before, after time.Duration) func(float64) time.Duration {
	return func(share float64) time.Duration {
		if share < when {
			return before
		}
		return after
	}
}
