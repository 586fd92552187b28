package paper

import (
	"strings"
	"unicode/utf8"
)

// widthOf measures a text in the type in use, in millimetres.
func (p *press) widthOf(text string) float64 {
	key := "R"
	if p.bold {
		key = "B"
	}
	key += text
	w, known := p.widths[key]
	if !known {
		w = p.GetStringWidth(text) / p.sizePt
		if len(p.widths) < 1<<16 {
			p.widths[key] = w
		}
	}
	return w * p.sizePt
}

// wrap breaks a text into lines no wider than width. A word that is wider is
// broken within.
func (p *press) wrap(text string, width float64) []string {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	if !strings.Contains(text, "\n") && p.widthOf(text) <= width {
		return []string{text}
	}
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		lines = append(lines, p.fill(strings.Fields(paragraph), width)...)
	}
	return lines
}

func (p *press) fill(words []string, width float64) []string {
	space := p.widthOf(" ")
	var lines []string
	line, used := "", 0.0
	for _, word := range words {
		for p.widthOf(word) > width {
			if line != "" {
				lines, line, used = append(lines, line), "", 0
			}
			fits := p.fits(word, width)
			lines, word = append(lines, word[:fits]), word[fits:]
		}
		w := p.widthOf(word)
		if line != "" && used+space+w > width {
			lines, line, used = append(lines, line), "", 0
		}
		if line != "" {
			line, used = line+" ", used+space
		}
		line, used = line+word, used+w
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// fits is how many bytes of a word go into the width, one letter at least.
func (p *press) fits(word string, width float64) int {
	_, end := utf8.DecodeRuneInString(word)
	used := p.widthOf(word[:end])
	for end < len(word) {
		_, n := utf8.DecodeRuneInString(word[end:])
		used += p.widthOf(word[end : end+n])
		if used > width {
			break
		}
		end += n
	}
	return end
}

// clip shortens a text to the width; what is cut is shown by three dots.
func (p *press) clip(text string, width float64) string {
	if p.widthOf(text) <= width {
		return text
	}
	return strings.TrimRight(text[:p.fits(text, width-p.widthOf("..."))], " ") + "..."
}
