package jobs

import (
	"fmt"
	"slices"
	"strings"

	"github.com/chromedp/chromedp/kb"
)

// Find looks for the point before the last of n by its serial, its place and its number, from several pages.
func Find(n int) Job {
	i := n - 2
	loop, number := i/perLoop+1, i%perLoop+1
	said := fmt.Sprintf("%d.%03d", loop, number)
	place := Place(loop, number)
	by := func(from func(*Person), text string) func(*Person) {
		return func(p *Person) {
			from(p)
			p.TowardField([]string{"Search", "Find", "Menu", "More"}, search...)
			p.Fill(text, search...)
			p.Type(kb.Enter)
			p.after()
			p.found(said, place)
		}
	}
	under := func(page string) func(*Person) {
		return func(p *Person) {
			p.toSite()
			p.Toward([]string{"More", "Menu"}, page)
			p.Press(page)
		}
	}
	// the digits without the letters before and the batch behind, as they are read on a ladder
	part := Serial(i)[2:8]
	return Job{Name: fmt.Sprintf("find among %d", n), Shell: true, Stages: []Stage{
		{Name: "by part of its serial, among the points", Play: by((*Person).toPoints, part)},
		{Name: "by words of its place, among the points", Play: by((*Person).toPoints, fmt.Sprintf("landing %d tower %d", number, loop))},
		{Name: "by its number, among the points", Play: by((*Person).toPoints, said)},
		{Name: "by part of its serial, from the first page", Play: by((*Person).begin, part)},
		{Name: "by words of its place, from the first page", Play: by((*Person).begin, fmt.Sprintf("landing %d tower %d", number, loop))},
		{Name: "by its number, from the first page", Play: by((*Person).begin, said)},
		{Name: "by its number, from the site", Play: by((*Person).toSite, said)},
		{Name: "by its number, from the papers", Play: by(under("Papers"), said)},
		{Name: "by its number, from the settings", Play: by(under("Settings"), said)},
		{Name: "by a stroke", Play: slash(part, said, place), Script: true},
	}}
}

// found opens what was found and looks that it is the point.
func (p *Person) found(said, place string) {
	p.Read("the point", place)
	things, _ := p.Tab.Things()
	if p.Fell() || strings.Contains(p.heading(things), said) {
		return // the search led to it at once
	}
	p.Press(said, "1."+said, place)
	p.Read("the place of the point on its page", place)
}

func slash(part, said, place string) func(*Person) {
	return func(p *Person) {
		p.toSite()
		p.Slash()
		if !p.inField() {
			p.stumble("press /", "no field took the focus")
			return
		}
		p.Type(part)
		p.Type(kb.Enter)
		p.after()
		p.found(said, place)
	}
}

// inField says whether what is typed would go into a field.
func (p *Person) inField() bool {
	things, _ := p.Tab.Things()
	for _, thing := range things {
		if !slices.Contains(filled, thing.Role) {
			continue
		}
		if here, _ := p.ask(thing.id, `function() { return this === document.activeElement }`); here == "true" {
			return true
		}
	}
	return false
}
