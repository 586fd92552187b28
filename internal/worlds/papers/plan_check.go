package papers

import (
	"fmt"
	"maps"
	"slices"
)

// Rule is what a plan has to keep.
type Rule string

// The rules of a plan.
const (
	Known     Rule = "visit, technician and day are of the world"
	Planned   Rule = "every visit is planned"
	Once      Rule = "no visit is planned twice"
	FirstDay  Rule = "not before the first day by the rules of the site"
	LastDay   Rule = "not after the last day by the rules of the site"
	NotSoon   Rule = "not too soon after the visit before"
	NotLate   Rule = "not too late after the visit before"
	Skilled   Rule = "the technician has the skills"
	AtWork    Rule = "the technician works on that day"
	InHours   Rule = "from leaving home until home again within the hours"
	Reachable Rule = "the work before and the road leave the time"
	Kept      Rule = "what a customer agreed is kept"
)

// Broken is a rule that a plan breaks at a visit.
type Broken struct {
	Rule  Rule
	Visit int
	Says  string
}

// Check names every rule that a plan breaks. A visit that is planned twice counts at its first.
func Check(w *World, plan []Assignment) []Broken {
	c := &checking{w: w, of: map[int]Assignment{}}
	c.names(plan)
	for v := range w.Visits {
		a, ok := c.of[v]
		if !ok {
			c.broken(Planned, v, "it is not planned")
			continue
		}
		c.days(v, a)
		c.person(v, a)
	}
	c.roads(plan)
	return c.all
}

type checking struct {
	w   *World
	of  map[int]Assignment
	all []Broken
}

func (c *checking) broken(rule Rule, visit int, format string, args ...any) {
	c.all = append(c.all, Broken{rule, visit, fmt.Sprintf(format, args...)})
}

// names holds what a plan names against the world.
func (c *checking) names(plan []Assignment) {
	for _, a := range plan {
		_, twice := c.of[a.Visit]
		switch {
		case !c.w.there(a):
			c.broken(Known, a.Visit, "there is no such visit, technician or day: %+v", a)
		case twice:
			c.broken(Once, a.Visit, "planned again on day %d", a.Day)
		default:
			c.of[a.Visit] = a
		}
	}
}

// days holds the day of a visit against the rules of its site, as if the visit before were done when it is planned.
func (c *checking) days(v int, a Assignment) {
	visit := c.w.Visits[v]
	if a.Day < visit.First {
		c.broken(FirstDay, v, "on day %d, from %d", a.Day, visit.First)
	}
	if a.Day > visit.Last {
		c.broken(LastDay, v, "on day %d, until %d", a.Day, visit.Last)
	}
	if p := visit.Promised; p != nil && (a.Day != p.Day || a.Start != p.Start) {
		c.broken(Kept, v, "on day %d at %d, agreed is day %d at %d", a.Day, a.Start, p.Day, p.Start)
	}
	before, ok := c.of[visit.After-1]
	if visit.After == 0 || !ok {
		return
	}
	switch gap := a.Day - before.Day; {
	case gap < visit.Least:
		c.broken(NotSoon, v, "%d days after the visit before, at least %d", gap, visit.Least)
	case gap > visit.Most:
		c.broken(NotLate, v, "%d days after the visit before, at most %d", gap, visit.Most)
	}
}

// person holds a visit against who goes.
func (c *checking) person(v int, a Assignment) {
	t := &c.w.Technicians[a.Technician]
	for _, skill := range c.w.Visits[v].Needs {
		if !slices.Contains(t.Skills, skill) {
			c.broken(Skilled, v, "%s has not %q", t.Name, skill)
		}
	}
	if _, ok := c.w.hours(a.Technician, a.Day); !ok {
		c.broken(AtWork, v, "%s does not work on day %d", t.Name, a.Day)
	}
}

// roads holds each tour against the clock.
func (c *checking) roads(plan []Assignment) {
	tours := c.w.tours(plan)
	keys := slices.SortedFunc(maps.Keys(tours), func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	for _, key := range keys {
		tour := tours[key]
		leaves, back := c.w.span(tour)
		if h, ok := c.w.hours(key[0], key[1]); ok && (leaves < h.From || back > h.To) {
			c.broken(InHours, tour[len(tour)-1].Visit, "%s on day %d is away from %d to %d, the hours are %d to %d", c.w.Technicians[key[0]].Name, key[1], leaves, back, h.From, h.To)
		}
		for i := 1; i < len(tour); i++ {
			before := c.w.Visits[tour[i-1].Visit]
			there := tour[i-1].Start + before.Minutes + c.w.Travel(before.Site, c.w.Visits[tour[i].Visit].Site)
			if there > tour[i].Start {
				c.broken(Reachable, tour[i].Visit, "there at %d, planned at %d", there, tour[i].Start)
			}
		}
	}
}
