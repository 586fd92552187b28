package sootline

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// MostSiteName is the longest name of a site, in characters.
const MostSiteName = 200

// ProperName gives a name of a person, site, station or phone as it is kept: blanks
// folded into one. It refuses what would let one name pass for another, or do
// something on a screen: control characters, marks that nobody sees, and letters of
// several scripts, such as a Cyrillic А before Latin letters. What is the thing that
// is named, for the sentence; most is in characters.
func ProperName(what, text string, most int) (string, error) {
	if !utf8.ValidString(text) {
		return "", Errorf(Invalid, "type it anew", "the name of a %s is not text in UTF-8", what)
	}
	for _, c := range text {
		if unseen(c) {
			return "", Errorf(Invalid, "leave it out", "the name of a %s cannot hold %U, which is no letter, digit or mark that people see", what, c)
		}
	}
	name := strings.Join(strings.Fields(text), " ")
	if n := utf8.RuneCountInString(name); n == 0 || n > most {
		return "", Errorf(Invalid, "", "a %s has a name of 1 to %d characters", what, most)
	}
	for _, word := range strings.Fields(name) {
		if err := oneScript(what, word); err != nil {
			return "", err
		}
	}
	return name, nil
}

// PersonName is [ProperName] of a person. A place may be called Завод ABB; of who is at
// work, the words together are of one script.
func PersonName(text string) (string, error) {
	name, err := ProperName("person", text, 80)
	if err != nil {
		return "", err
	}
	return name, oneScript("person", name)
}

// oneScript refuses letters of several scripts that look alike.
func oneScript(what, text string) error {
	if mixed := mixedScripts(text); mixed != "" {
		return Errorf(Invalid, "use the letters of one script", "the name of a %s mixes letters of %s, some of which look alike", what, mixed)
	}
	return nil
}

// unseen reports control characters, line ends among them, and characters that
// only steer how others are drawn: directions, joiners, tags, and private ones.
func unseen(c rune) bool {
	return unicode.IsControl(c) || unicode.In(c, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp) || c == utf8.RuneError
}

// lookAlikes are the scripts whose letters pass for one another. What is written in
// several others, as Japanese is, is let be (Unicode Technical Standard 39, from
// memory, goes further).
var lookAlikes = []struct {
	name  string
	table *unicode.RangeTable
}{
	{"the Latin", unicode.Latin},
	{"the Cyrillic", unicode.Cyrillic},
	{"the Greek", unicode.Greek},
	{"the Armenian", unicode.Armenian},
	{"the Cherokee", unicode.Cherokee},
	{"the Coptic", unicode.Coptic},
	{"the Lisu", unicode.Lisu},
}

// mixedScripts names the scripts that a name mixes, or is empty.
func mixedScripts(name string) string {
	var found []string
	for _, script := range lookAlikes {
		if strings.IndexFunc(name, func(c rune) bool { return unicode.Is(script.table, c) }) >= 0 {
			found = append(found, script.name)
		}
	}
	if len(found) < 2 {
		return ""
	}
	return strings.Join(found, " and ") + " script"
}

// Shown gives text that somebody typed or a file brought as it is shown on a
// terminal: what would steer it, rather than be read, as its code. Ends of lines and
// tabs are as they are.
func Shown(text string) string {
	if strings.IndexFunc(text, Steers) < 0 && utf8.ValidString(text) {
		return text
	}
	var b strings.Builder
	for len(text) > 0 {
		c, size := utf8.DecodeRuneInString(text)
		switch {
		case c == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, text[0])
		case !Steers(c):
			b.WriteString(text[:size])
		case c < 0x100:
			fmt.Fprintf(&b, `\x%02x`, c)
		default:
			fmt.Fprintf(&b, `\u%04x`, c)
		}
		text = text[size:]
	}
	return b.String()
}

// Steers reports what a terminal obeys instead of showing it.
func Steers(c rune) bool {
	return unicode.IsControl(c) && c != '\n' && c != '\t' || unicode.In(c, unicode.Bidi_Control)
}
