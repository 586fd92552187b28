package jobs

import (
	"regexp"
	"slices"
)

var numbered = regexp.MustCompile(`^\d+\.\d+`)

// tickAll ticks what the page asks to be confirmed: every box that is not ticked and is not that of a point.
func (p *Person) tickAll() {
	if p.Fell() {
		return
	}
	things, _ := p.Tab.Things()
	for _, thing := range things {
		if thing.off || !slices.Contains([]string{"checkbox", "switch"}, thing.Role) || numbered.MatchString(thing.Name) {
			continue
		}
		if ticked, ok := p.ask(thing.id, `function() { return !!this.checked }`); ok && ticked == "false" {
			p.activate(thing)
		}
	}
}
