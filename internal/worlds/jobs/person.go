package jobs

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Stumble is a step that found nothing on the screen to go on with.
type Stumble struct {
	Job, Way, Stage, Step string
	Instead               string // what was there
}

// Key is the stumble without what was there instead: it names it in a list of known ones.
func (s Stumble) Key() string { return fmt.Sprintf("%s | %s | %s | %s", s.Job, s.Way, s.Stage, s.Step) }

// Person is somebody at a tab. After a stumble nothing is done any more until Rise.
type Person struct {
	Tab  *Tab
	Way  Way
	Book Book

	Pictures string // the folder for pictures of what a person stumbled over; none where it is empty

	job, stage string
	fell       *Stumble
	last       cdp.BackendNodeID // the field that was filled last

	Presses, Keys, Pages int
	Shell                []string // words of a shell that were read, with the page's heading
	Wide                 []string // headings of pages that reach past the side of the screen
}

// Seconds is how long a practised person needs: the keystroke-level model of Card, Moran and Newell (1980), from
// memory: 0.28 s a key, 1.1 s to point, 1.35 s to think before each press; and 5 s to read a new page (assumed).
func (p *Person) Seconds() float64 {
	return 0.28*float64(p.Keys) + (1.1+1.35)*float64(p.Presses) + 5*float64(p.Pages)
}

// Fell says whether the person has stumbled.
func (p *Person) Fell() bool { return p.fell != nil }

// Rise gives the stumble, if there was one, and lets the person go on.
func (p *Person) Rise() *Stumble {
	s := p.fell
	p.fell = nil
	return s
}

func (p *Person) stumble(step, why string) {
	if p.fell != nil {
		return
	}
	things, _ := p.Tab.Things()
	text := strings.Fields(p.Tab.Main())
	if len(text) > 25 {
		text = text[:25]
	}
	instead := fmt.Sprintf("%s; on %q, which begins %q, there was: %s", why, p.heading(things), strings.Join(text, " "), shown(things))
	if said := p.Tab.Alert(); said != "" {
		instead = fmt.Sprintf("%s; it said %q", instead, said)
	}
	p.picture()
	p.fell = &Stumble{Job: p.job, Way: p.Way.Name, Stage: p.stage, Step: step, Instead: instead}
}

// picture keeps what the screen shows. A picture that fails says nothing of the page.
func (p *Person) picture() {
	if p.Pictures == "" {
		return
	}
	picture, err := chromedp.Run(p.Tab.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return
	}
	name := strings.ReplaceAll(strings.Join([]string{p.job, p.Way.Name, p.stage}, "_"), " ", "-") + ".png"
	_ = os.WriteFile(filepath.Join(p.Pictures, name), picture, 0o644)
}

func (p *Person) heading(things []Thing) string {
	for _, thing := range things {
		if thing.Role == "heading" && thing.Name != "" {
			return thing.Name
		}
	}
	return ""
}

// Press presses what has one of these names.
func (p *Person) Press(words ...string) { p.press(pressed, words...) }

// Send ends a form: it presses the first thing of such a name behind the field that was filled last, or anywhere
// where there is none behind it.
func (p *Person) Send(words ...string) {
	if p.Fell() {
		return
	}
	thing, ok := p.below([]string{"button"}, words...)
	if !ok {
		p.stumble("press "+bare(words[0]), "no button named "+either(words))
		return
	}
	before := p.Tab.Errors()
	p.activate(thing)
	if p.Tab.Errors() > before {
		p.stumble("send by "+thing.Name, "it was refused")
	}
}

// below looks behind the field that was filled last, as forms are filled downwards, and then everywhere.
func (p *Person) below(roles []string, words ...string) (Thing, bool) {
	things, err := p.Tab.Things()
	if err != nil {
		return Thing{}, false
	}
	at := slices.IndexFunc(things, func(thing Thing) bool { return thing.id == p.last })
	if thing, ok := among(things[at+1:], roles, words...); ok {
		return thing, true
	}
	return among(things, roles, words...)
}

// Tick ticks the box, or chooses the one of several, that has one of these names.
func (p *Person) Tick(words ...string) { p.press(ticked, words...) }

func (p *Person) press(roles []string, words ...string) {
	if p.Fell() {
		return
	}
	thing, ok := p.find(roles, words...)
	if !ok {
		p.stumble("press "+bare(words[0]), "nothing named "+either(words))
		return
	}
	p.activate(thing)
}

// find looks for it on the page as it stands.
func (p *Person) find(roles []string, words ...string) (Thing, bool) {
	things, err := p.Tab.Things()
	if err != nil {
		return Thing{}, false
	}
	return among(things, roles, words...)
}

// Is says whether something of that name can be pressed now.
func (p *Person) Is(words ...string) bool {
	_, ok := p.find(pressed, words...)
	return ok && !p.Fell()
}

// HasField says whether a field of that name can be filled now.
func (p *Person) HasField(words ...string) bool {
	_, ok := p.find(slices.Concat(filled, chosen), words...)
	return ok && !p.Fell()
}

// Toward presses, one after another, what leads on, until there is a thing of that name; it does not press that.
// It is how somebody looks for a thing: each of via is tried once, in order, where it stands on the screen.
func (p *Person) Toward(via []string, words ...string) {
	p.toward(slices.Concat(pressed, filled, chosen), "find ", via, words...)
}

func (p *Person) toward(roles []string, verb string, via []string, words ...string) {
	tried := map[string]bool{}
	for range len(via) + 1 {
		if p.Fell() {
			return
		}
		if _, ok := p.find(roles, words...); ok {
			return
		}
		next := ""
		for _, word := range via {
			if !tried[word] && p.Is(word) {
				next = word
				break
			}
		}
		if next == "" {
			break
		}
		tried[next] = true
		p.Press(next)
	}
	if _, ok := p.find(roles, words...); !ok {
		p.stumble(verb+bare(words[0]), fmt.Sprintf("nothing named %s, after looking under %s", either(words), strings.Join(via, ", ")))
	}
}

// TowardField is Toward for what is filled or chosen.
func (p *Person) TowardField(via []string, words ...string) {
	p.toward(slices.Concat(filled, chosen), "find the field ", via, words...)
}

// activate presses a thing by mouse or, in a way of keys alone, by walking to it with Tab.
func (p *Person) activate(thing Thing) {
	p.Presses++
	if p.Way.Keys {
		if p.walk(thing) {
			key := kb.Enter
			if slices.Contains(ticked, thing.Role) {
				key = " "
			}
			if thing.Role == "radio" {
				p.arrows(thing)
			}
			p.Type(key)
			p.after()
		}
		return
	}
	if p.click(thing) {
		p.after()
	}
}

// click presses the middle of a thing with the mouse, and stumbles where something else lies over it.
func (p *Person) click(thing Thing) bool {
	var x, y float64
	for try := 0; ; try++ {
		var ok bool
		if x, y, ok = p.Tab.middle(thing); !ok {
			p.stumble("press "+thing.Name, "it has a name but no place on the screen")
			return false
		}
		if !p.covered(thing, x, y) {
			break
		}
		if try == 20 {
			p.stumble("press "+thing.Name, "something else lies over it")
			return false
		}
		time.Sleep(50 * time.Millisecond) // the page may still glide
	}
	if err := chromedp.Do(p.Tab.ctx, chromedp.MouseClickXY(x, y)); err != nil {
		p.stumble("press "+thing.Name, err.Error())
		return false
	}
	return true
}

// covered asks the page what lies at a point, and whether that belongs to the thing or to its label.
func (p *Person) covered(thing Thing, x, y float64) bool {
	const belongs = `function(x, y) { const at = document.elementFromPoint(x, y);
		return !!at && (this === at || this.contains(at) || at.contains(this) || [...(this.labels || [])].some(l => l.contains(at))) }`
	answer, ok := p.ask(thing.id, belongs, x, y)
	return ok && answer == "false"
}

// ask calls a function of the page's with a thing as this, and gives the answer as JSON.
func (p *Person) ask(id cdp.BackendNodeID, function string, numbers ...float64) (string, bool) {
	node, err := chromedp.Call(p.Tab.ctx, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: id})
	if err != nil {
		return "", false
	}
	params := runtime.CallFunctionOnParams{FunctionDeclaration: function, ObjectID: node.Object.ObjectID, ReturnByValue: new(true)}
	for _, n := range numbers {
		params.Arguments = append(params.Arguments, &runtime.CallArgument{Value: fmt.Appendf(nil, "%g", n)})
	}
	answer, err := chromedp.Call(p.Tab.ctx, runtime.CallFunctionOn, params)
	if err != nil || answer.Result == nil {
		return "", false
	}
	return string(answer.Result.Value), true
}

// most is how often somebody presses Tab before giving up.
const most = 400

// walk presses Tab until the thing has the focus, from where the focus is. A group of choices is one stop.
func (p *Person) walk(thing Thing) bool {
	for range most {
		here, ok := p.ask(thing.id, `function() { const at = document.activeElement; return this === at || (this.type === "radio" && at && at.name === this.name && at.type === "radio") }`)
		if !ok {
			break
		}
		if here == "true" {
			return true
		}
		p.Type(kb.Tab)
	}
	p.stumble("reach "+thing.Name, fmt.Sprintf("%d times Tab did not lead to it", most))
	return false
}

// arrows goes down a group of choices until the focus is on this one.
func (p *Person) arrows(thing Thing) {
	for range 30 {
		if here, _ := p.ask(thing.id, `function() { return this === document.activeElement }`); here == "true" {
			return
		}
		p.Type(kb.ArrowDown)
	}
	p.stumble("reach "+thing.Name, "the arrows did not lead to it")
}

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

// Read stumbles unless the page says one of these; it waits a little, as what a press brings may follow it.
func (p *Person) Read(what string, words ...string) {
	if p.Fell() {
		return
	}
	for range 20 {
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
	return slices.ContainsFunc(words, func(word string) bool { return strings.Contains(text, plain(word)) })
}
