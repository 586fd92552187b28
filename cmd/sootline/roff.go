package main

import (
	"fmt"
	"strings"
)

// roff is a manual page under way, in the language of troff's man macros.
type roff struct{ strings.Builder }

func (p *roff) head(name string) { fmt.Fprintf(p, ".SH %s\n", name) }

// line writes a line that is in that language already; one that begins as a request does is made none.
func (p *roff) line(text string) {
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = "\\&" + text
	}
	fmt.Fprintln(p, text)
}

// item writes a name with what it says.
func (p *roff) item(name, says string) {
	fmt.Fprintln(p, ".TP")
	p.line(name)
	p.line(plainRoff(says))
}

// paragraphs writes prose; lines that are set in stand as they are.
func (p *roff) paragraphs(text string) {
	for i, part := range strings.Split(text, "\n\n") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		if i > 0 {
			fmt.Fprintln(p, ".PP")
		}
		if strings.HasPrefix(part, "  ") {
			p.asItStands(part)
			continue
		}
		for line := range strings.Lines(part) {
			p.line(plainRoff(strings.TrimSpace(line)))
		}
	}
}

// asItStands writes lines of which nothing is moved.
func (p *roff) asItStands(text string) {
	fmt.Fprintln(p, ".nf")
	for line := range strings.Lines(text) {
		p.line(dashes(strings.TrimRight(line, "\n")))
	}
	fmt.Fprintln(p, ".fi")
}

// plainRoff writes words so that troff prints them as they are.
func plainRoff(text string) string { return strings.ReplaceAll(text, `\`, `\e`) }

// dashes writes what is typed: its dashes are those of the keyboard.
func dashes(text string) string { return strings.ReplaceAll(plainRoff(text), "-", `\-`) }
