package sootline

import (
	"cmp"
	"slices"
	"time"
)

// Apart is a fact that was changed in two places or more: each entry was written without
// any of the others in sight. The last one holds, and nobody decided so.
type Apart struct {
	Fact
	Says []ApartSaid // two or more, the one that holds last
}

// ApartSaid is one of the entries, and what it says of the fact.
type ApartSaid struct {
	Entry *Entry
	Body  Body
}

// Alike reports whether all of them say the same, so that nothing is to be decided.
func (a *Apart) Alike() bool {
	first := Say(a.Says[0].Body)
	return !slices.ContainsFunc(a.Says, func(s ApartSaid) bool { return Say(s.Body) != first })
}

// Apart lists the facts that were changed in two places, alike or not, until an entry that
// was written in sight of all replaces them.
func (l *Log) Apart() []Apart {
	f := l.Facts()
	var all []Apart
	for fact := range f.of {
		if standing := f.standing(fact); len(standing) > 1 {
			all = append(all, f.apart(fact, standing))
		}
	}
	slices.SortFunc(all, func(a, b Apart) int {
		return cmp.Or(Compare(a.Says[0].Entry, b.Says[0].Entry), cmp.Compare(a.What, b.What))
	})
	return all
}

func (f *Facts) apart(fact Fact, standing []*Entry) Apart {
	a := Apart{Fact: fact}
	for _, e := range standing {
		for _, said := range FactsOf(e) {
			if said.Fact == fact {
				a.Says = append(a.Says, ApartSaid{e, said.Body})
			}
		}
	}
	return a
}

// Settled makes of an entry that says one fact the one that settles it: it replaces all
// of them, and comes after each, whatever the clocks were that they were written by.
func (a *Apart) Settled(e Entry) Entry {
	e.Replaces, e.Point = []ID{}, a.Point
	for _, s := range a.Says {
		e.replace(s.Entry)
		if !e.At.After(s.Entry.At) {
			e.At = s.Entry.At.Add(time.Millisecond)
		}
	}
	return e
}

// Said gives what one of the entries says of the fact; nil: it is none of them.
func (a *Apart) Said(entry ID) Body {
	for _, s := range a.Says {
		if s.Entry.ID == entry {
			return s.Body
		}
	}
	return nil
}

// Apart lists the facts that were changed in two places; see [Log.Apart].
func (r *Register) Apart() []Apart {
	if r.log == nil {
		return nil
	}
	return r.log.Apart()
}
