package jobs

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"
)

// Thing is something on the screen that has a role and a name.
type Thing struct {
	id         cdp.BackendNodeID
	Role, Name string
	off        bool // shown as not to be used
}

// Roles of what a person presses, fills and reads, in the words of the browser's accessibility tree.
var (
	pressed = []string{"link", "button", "tab", "menuitem", "DisclosureTriangle", "radio", "checkbox", "switch", "option", "PopUpButton"}
	filled  = []string{"textbox", "searchbox", "combobox", "spinbutton", "Date", "DateTime", "InputTime"}
	chosen  = []string{"combobox", "PopUpButton", "listbox", "MenuListPopup"}
	ticked  = []string{"checkbox", "radio", "switch"}
	handed  = []string{"button"} // Chromium's role of a field for files; its name is that of its label
)

// Things lists what stands on the page with a role, in reading order.
func (t *Tab) Things() ([]Thing, error) {
	tree, err := chromedp.Call(t.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		return nil, err
	}
	byID := map[accessibility.NodeID]*accessibility.Node{}
	for _, node := range tree.Nodes {
		byID[node.NodeID] = node
	}
	var things []Thing
	var walk func(node *accessibility.Node, inList bool)
	walk = func(node *accessibility.Node, inList bool) {
		thing := thingOf(node)
		if thing.Role != "" && !inList { // what a closed list holds is not on the screen
			things = append(things, thing)
		}
		inList = inList || thing.Role == "MenuListPopup"
		for _, id := range node.ChildIDs {
			if child := byID[id]; child != nil {
				walk(child, inList)
			}
		}
	}
	if len(tree.Nodes) > 0 {
		walk(tree.Nodes[0], false)
	}
	return things, nil
}

// thingOf reads a node; one that is ignored has no role.
func thingOf(node *accessibility.Node) Thing {
	if node.Ignored || node.BackendDOMNodeID == 0 {
		return Thing{}
	}
	thing := Thing{id: node.BackendDOMNodeID, Role: textOf(node.Role), Name: strings.Join(strings.Fields(textOf(node.Name)), " ")}
	for _, p := range node.Properties {
		if p.Name == "disabled" && p.Value != nil && string(p.Value.Value) == "true" {
			thing.off = true
		}
	}
	return thing
}

func textOf(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	var s string
	if json.Unmarshal(v.Value, &s) != nil {
		return ""
	}
	return s
}

// among gives the first thing of these roles whose name matches the earliest of the words; within a word the closer
// match wins: the whole name, its beginning, words in it. A word after = is the whole name, one after ^ its beginning.
func among(things []Thing, roles []string, words ...string) (Thing, bool) {
	for _, word := range words {
		best, at := math.MaxInt, Thing{}
		for _, thing := range things {
			if !slices.Contains(roles, thing.Role) || thing.off {
				continue
			}
			if rank := closeness(thing.Name, word); rank < best {
				best, at = rank, thing
			}
		}
		if best < math.MaxInt {
			return at, true
		}
	}
	return Thing{}, false
}

// closeness ranks how a name holds a word: 0 is it, 1 begins with it, 2 holds it, and MaxInt not.
func closeness(name, word string) int {
	exact, isExact := strings.CutPrefix(plain(word), "=")
	exact, begins := strings.CutPrefix(exact, "^")
	name = plain(name)
	at := strings.Index(name, exact)
	switch {
	case name == exact:
		return 0
	case isExact || at < 0 || begins && at > 0 || !apart(name, at, at+len(exact)):
		return math.MaxInt
	case at == 0:
		return 1
	}
	return 2
}

// says tells whether a text holds a word as a whole.
func says(text, word string) bool {
	for from := 0; ; {
		at := strings.Index(text[from:], word)
		if at < 0 {
			return false
		}
		if at += from; apart(text, at, at+len(word)) {
			return true
		}
		from = at + len(word)
	}
}

// apart says whether no letter and no digit stands right before or behind a part of a name.
func apart(name string, from, to int) bool {
	inWord := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	before, _ := utf8.DecodeLastRuneInString(name[:from])
	behind, _ := utf8.DecodeRuneInString(name[to:])
	return !inWord(before) && !inWord(behind)
}

// shown lists what could be pressed or filled, shortly, for whoever mends.
func shown(things []Thing) string {
	var names []string
	for _, thing := range things {
		if thing.Name == "" || !(slices.Contains(pressed, thing.Role) || slices.Contains(filled, thing.Role)) {
			continue
		}
		name := cut(thing.Name, 40)
		if slices.Contains(filled, thing.Role) {
			name = "[" + name + "]"
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) > 40 {
		names = append(names[:40], "…")
	}
	return strings.Join(names, ", ")
}

// bare is a word without its mark of how it has to match.
func bare(word string) string { return strings.TrimLeft(word, "=^") }

// either lists words for a stumble.
func either(words []string) string {
	var all []string
	for _, word := range words {
		if word = bare(word); !slices.Contains(all, word) {
			all = append(all, word)
		}
	}
	return strings.Join(all, ", or ")
}

func cut(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

// middle gives the point of the screen at which a thing would be pressed, after scrolling to it.
func (t *Tab) middle(thing Thing) (x, y float64, ok bool) {
	if _, err := chromedp.Call(t.ctx, dom.ScrollIntoViewIfNeeded, dom.ScrollIntoViewIfNeededParams{BackendNodeID: thing.id}); err != nil {
		return 0, 0, false
	}
	for range 40 { // until the page has come to rest: it may glide
		wasX, wasY := x, y
		if x, y, ok = t.quad(thing); !ok || x == wasX && y == wasY {
			break
		}
		time.Sleep(25 * time.Millisecond)
	}
	return x, y, ok
}

// quad is the middle of the first part of a thing that has a width and a height.
func (t *Tab) quad(thing Thing) (x, y float64, ok bool) {
	found, err := chromedp.Call(t.ctx, dom.GetContentQuads, dom.GetContentQuadsParams{BackendNodeID: thing.id})
	if err != nil {
		return 0, 0, false
	}
	for _, q := range found.Quads {
		if len(q) == 8 && q[4]-q[0] >= 1 && q[5]-q[1] >= 1 {
			return (q[0] + q[4]) / 2, (q[1] + q[5]) / 2, true
		}
	}
	return 0, 0, false
}
