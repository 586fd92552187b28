package jobs

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/chromedp/chromedp"
)

// shell are the signs of a shell: the program's name as a command, options, a prompt, and the words for it.
var shell = regexp.MustCompile(`(?m)\bsootline [a-z]+\b|(?:^|\s)--[a-z][a-z0-9-]+|^\s*\$ |(?i:\bcommand[ -]line\b|\bcommands?\b|\bterminal\b|\bshell\b|\bCtrl-C\b)`)

// ShellWords gives the words of a shell in a text, each once.
func ShellWords(text string) []string {
	words := shell.FindAllString(text, -1)
	for i, word := range words {
		words[i] = strings.TrimSpace(word)
	}
	return once(words)
}

// wider tells by how many pixels a page is wider than the screen.
const wider = `Math.max(0, document.documentElement.scrollWidth - document.documentElement.clientWidth)`

// after is what a person notices once a press has had its effect.
func (p *Person) after() {
	if err := p.Tab.Settle(); err != nil {
		p.stumble("wait", err.Error())
		return
	}
	p.Pages++
	p.Notice()
}

// Notice reads the page: words of a shell, and whether it reaches past the side of the screen.
func (p *Person) Notice() {
	things, _ := p.Tab.Things()
	heading := p.heading(things)
	for _, word := range ShellWords(p.Tab.Text()) {
		note(&p.Shell, fmt.Sprintf("%q on %q", word, heading))
	}
	past, err := chromedp.Run(p.Tab.ctx, chromedp.Evaluate[int](wider))
	if err == nil && past > 1 {
		note(&p.Wide, fmt.Sprintf("%q", heading))
	}
}

func note(list *[]string, what string) {
	if !slices.Contains(*list, what) {
		*list = append(*list, what)
	}
}
