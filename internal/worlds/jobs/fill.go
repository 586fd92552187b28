package jobs

import (
	"fmt"
	"strings"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// Type presses keys, one for each letter.
func (p *Person) Type(keys string) {
	if p.Fell() {
		return
	}
	p.Keys += len([]rune(keys))
	if err := chromedp.Do(p.Tab.ctx, chromedp.KeyEvent(keys)); err != nil {
		p.stumble("type", err.Error())
	}
}

// Slash presses / and waits, as somebody who wants to look for something.
func (p *Person) Slash() {
	p.Type("/")
	p.after()
}

// Fill types a text into the field of that name, over what is there.
func (p *Person) Fill(text string, words ...string) {
	if p.Fell() {
		return
	}
	thing, ok := p.below(filled, words...)
	if !ok {
		p.stumble("fill in "+bare(words[0]), "no field named "+either(words))
		return
	}
	p.Presses++
	if p.Way.Keys && !p.walk(thing) || !p.Way.Keys && !p.click(thing) {
		return
	}
	p.last = thing.id
	p.ask(thing.id, `function() { if (this.select) this.select() }`)
	p.Keys++ // select what is there
	if thing.Role == "Date" || p.Way.Keys {
		p.Type(text)
		return
	}
	p.Keys += len([]rune(text))
	if _, err := chromedp.Call(p.Tab.ctx, input.InsertText, input.InsertTextParams{Text: text}); err != nil {
		p.stumble("fill in "+bare(words[0]), err.Error())
	}
}

// Choose chooses from a list by typing the beginning of what is wanted, as lists allow with the focus on them.
func (p *Person) Choose(option string, words ...string) {
	if p.Fell() {
		return
	}
	thing, ok := p.below(chosen, words...)
	if !ok {
		p.stumble("choose "+bare(words[0]), "no list named "+either(words))
		return
	}
	p.Presses++
	if p.Way.Keys && !p.walk(thing) {
		return
	}
	if _, err := chromedp.Call(p.Tab.ctx, dom.Focus, dom.FocusParams{BackendNodeID: thing.id}); err != nil {
		p.stumble("choose "+bare(words[0]), err.Error())
		return
	}
	p.last = thing.id
	p.Type(option)
	if err := p.Tab.Settle(); err != nil { // what is chosen may bring fields
		p.stumble("wait", err.Error())
	}
	picked, _ := p.ask(thing.id, `function() { return this.selectedOptions ? this.selectedOptions[0].textContent.trim() : this.value }`)
	if !strings.Contains(plain(picked), plain(option)) {
		p.stumble("choose "+bare(words[0]), fmt.Sprintf("the list has no %s; it stays at %s", option, picked))
	}
}

// Pick chooses from a list, or ticks it where the choices stand on the page.
func (p *Person) Pick(option string, words ...string) {
	if thing, ok := p.find(ticked, option); ok && !p.Fell() {
		p.activate(thing)
		return
	}
	p.Choose(option, words...)
}

// HandIn gives files to the field of that name.
func (p *Person) HandIn(files []string, words ...string) {
	if p.Fell() {
		return
	}
	thing, ok := p.find(handed, words...)
	if ok {
		kind, _ := p.ask(thing.id, `function() { return this.type || "" }`)
		ok = kind == `"file"`
	}
	if !ok {
		p.stumble("hand in at "+bare(words[0]), "no field for files named "+either(words))
		return
	}
	p.Presses += 1 + len(files)
	if _, err := chromedp.Call(p.Tab.ctx, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: files, BackendNodeID: thing.id}); err != nil {
		p.stumble("hand in at "+bare(words[0]), err.Error())
	}
	p.after()
}
