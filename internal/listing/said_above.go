package listing

import "strings"

// saysWho reads a line above the headings that says who did what is listed: the word for that and a name in two cells, or
// parted by a colon.
func (lx *lexicon) saysWho(cells []string) (name string) {
	texts := nonEmpty(cells)
	if len(texts) == 1 {
		label, rest, found := strings.Cut(texts[0], ":")
		if !found {
			return ""
		}
		texts = []string{label, rest}
	}
	if len(texts) != 2 || lx.headings[fold(texts[0])] != By {
		return ""
	}
	name = strings.TrimSpace(texts[1])
	if name == "" || len(name) > 60 || !strings.ContainsFunc(name, isNameLetter) || lx.heading(name).strength >= strengthNear || isWholeDate(name) {
		return ""
	}
	return name
}

func isNameLetter(r rune) bool { return r >= 0x80 || isLetter(byte(r)) }
