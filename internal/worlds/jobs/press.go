package jobs

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

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
	before, leads := p.Tab.Asked(), thing.Role == "link" || thing.Role == "button"
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
			if leads {
				p.Tab.Begun(before)
			}
			p.after()
		}
		return
	}
	if p.click(thing) {
		if leads {
			p.Tab.Begun(before)
		}
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
