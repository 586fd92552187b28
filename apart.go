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

// ApartWith gives the facts that an entry and others changed in two places.
func (l *Log) ApartWith(entry ID) []Apart {
	return slices.DeleteFunc(l.Apart(), func(a Apart) bool {
		return !slices.ContainsFunc(a.Says, func(s ApartSaid) bool { return s.Entry.ID == entry })
	})
}

// Settles makes the entry that lets one of the entries hold, and that replaces all of
// them. It is given when it is written, and comes after each of them, whatever the
// clocks were that they were written by.
func (a *Apart) Settles(holds ID, now time.Time) (e Entry) {
	e.At, e.Replaces, e.Point = now, []ID{}, a.Point
	for _, s := range a.Says {
		e.replace(s.Entry)
		if !e.At.After(s.Entry.At) {
			e.At = s.Entry.At.Add(time.Millisecond)
		}
		if s.Entry.ID == holds {
			e.Site, e.Body = s.Entry.Site, s.Body
		}
	}
	return e
}

// Apart lists the facts that were changed in two places; see [Log.Apart].
func (r *Register) Apart() []Apart {
	if r.log == nil {
		return nil
	}
	return r.log.Apart()
}
