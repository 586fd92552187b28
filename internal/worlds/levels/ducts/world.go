package ducts

import (
	"slices"
	"time"

	"sootline/internal/worlds/levels"
)

// World draws the sites of the package.
type World struct{}

// Name is "ducts".
func (World) Name() string { return "ducts" }

// Scenarios lists what sites can be made of.
func (World) Scenarios() []string {
	var names []string
	for _, p := range plans() {
		names = append(names, p.name)
	}
	return names
}

// Make draws a site. A scenario that the world does not have gives the zero site.
func (World) Make(seed uint64, scenario string) levels.Site {
	p := planOf(scenario)
	if p == nil {
		return levels.Site{}
	}
	s := newSite(seed, p)
	s.live()
	return s.told()
}

// planOf finds the plan of a scenario; nil where there is none.
func planOf(scenario string) *plan {
	all := plans()
	at := slices.IndexFunc(all, func(p plan) bool { return p.name == scenario })
	if at < 0 {
		return nil
	}
	return &all[at]
}

const week = 7 * 24 * time.Hour

// weekOf gives the first instant of a week, counted from the site's first.
func (s *site) weekOf(k int) time.Time { return s.start.Add(time.Duration(k) * week) }
