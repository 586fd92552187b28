package jobs

import (
	"slices"
	"strings"
	"time"
)

// Read stumbles unless the page says one of these; it waits a little, as what a press brings may follow it.
func (p *Person) Read(what string, words ...string) {
	if p.Fell() {
		return
	}
	for range 60 {
		if p.Reads(words...) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	p.stumble("read "+what, "nothing said "+either(words))
}

// Titled stumbles unless the title of the page holds the word.
func (p *Person) Titled(what, word string) {
	if p.Fell() {
		return
	}
	things, _ := p.Tab.Things()
	if title := p.heading(things); !strings.Contains(plain(title), plain(word)) {
		p.stumble("read in the title "+what, "the title is "+title)
	}
}

// Gone stumbles when the page still says it.
func (p *Person) Gone(what, word string) {
	if !p.Fell() && p.Reads(word) {
		p.stumble("no longer read "+what, "it still says "+word)
	}
}

// Holds stumbles unless a field of that name holds the text, or the page says it.
func (p *Person) Holds(text string, words ...string) {
	if p.Fell() || p.Reads(text) {
		return
	}
	thing, ok := p.find(filled, words...)
	if ok {
		held, _ := p.ask(thing.id, `function() { return this.value || "" }`)
		ok = strings.Contains(plain(held), plain(text))
	}
	if !ok {
		p.stumble("read "+bare(words[0]), "nothing said or held "+text)
	}
}

// Reads says whether the page says one of these.
func (p *Person) Reads(words ...string) bool {
	text := plain(p.Tab.Body())
	return slices.ContainsFunc(words, func(word string) bool { return says(text, plain(word)) })
}
