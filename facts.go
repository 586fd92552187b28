package sootline

import (
	"slices"
	"strings"
)

// Fact names something of which a site has one at a time, such as the number that a
// point should have: what a later entry says of it takes the place of what an earlier
// one said.
type Fact struct {
	Point ID     // of this point; zero: of the site
	What  string // in words
}

// FactSaid is a fact as an entry states it.
type FactSaid struct {
	Fact
	Body Body // says it, and nothing beside it
}

// factual is a body that states facts, which somebody decided or made so. What only tells
// of something that was seen or happened, such as a resting value, states none: of two of
// those the later one does not undo the other.
type factual interface {
	facts() []FactSaid // their Point is that of the entry
}

// FactsOf lists the facts that an entry states; none for most.
func FactsOf(e *Entry) []FactSaid {
	body, ok := e.Body.(factual)
	if !ok {
		return nil
	}
	said := body.facts()
	for i := range said {
		said[i].Point = e.Point
	}
	return said
}

// oneFact is the list of facts of a body that states one, whole.
func oneFact(what string, body Body) []FactSaid { return []FactSaid{{Fact{What: what}, body}} }

// settingsFacts lists a fact for each setting.
func settingsFacts(settings map[string]string, of string, body func(name, choice string) Body) []FactSaid {
	var all []FactSaid
	for name, choice := range settings {
		all = append(all, FactSaid{Fact{What: "the setting " + settingKey(name) + " wanted" + of}, body(name, choice)})
	}
	slices.SortFunc(all, func(a, b FactSaid) int { return strings.Compare(a.What, b.What) })
	return all
}

// Facts are the entries of a log that state facts, by fact.
type Facts struct {
	log *Log
	of  map[Fact][]*Entry // in order
}

// Facts gathers the entries that state facts as the log holds: those of entries that are
// about to be written, or all where none is named.
func (l *Log) Facts(written ...Entry) *Facts {
	f := &Facts{l, map[Fact][]*Entry{}}
	wanted, points := map[Fact]bool{}, map[ID]bool{}
	for i := range written {
		for _, said := range FactsOf(&written[i]) {
			wanted[said.Fact], points[said.Point] = true, true
		}
	}
	if len(written) > 0 && len(wanted) == 0 {
		return f
	}
	for _, e := range l.rare.list {
		if len(wanted) > 0 && !points[e.Point] {
			continue
		}
		for _, said := range FactsOf(e) {
			if len(wanted) == 0 || wanted[said.Fact] {
				f.of[said.Fact] = append(f.of[said.Fact], e)
			}
		}
	}
	return f
}

// See names in an entry that is about to be written what it replaces: of each fact that
// it states the entry that stands, of several the one that holds. From then on the
// entry stands.
func (f *Facts) See(e *Entry) {
	said := FactsOf(e)
	if len(said) == 0 {
		return
	}
	e.Replaces = []ID{}
	for _, s := range said {
		if standing := f.standing(s.Fact); len(standing) > 0 {
			e.replace(standing[len(standing)-1])
		}
	}
	written := *e
	for _, s := range said {
		f.of[s.Fact] = append(f.of[s.Fact], &written)
	}
}

// replace names an entry as replaced, once.
func (e *Entry) replace(other *Entry) {
	if other.ID != e.ID && !slices.Contains(e.Replaces, other.ID) {
		e.Replaces = append(e.Replaces, other.ID)
	}
}

// standing lists the entries that state a fact and that no other one of it was written
// in sight of, in order. One of an old program does not say what it replaced: it is taken to
// have seen all before it.
func (f *Facts) standing(fact Fact) []*Entry {
	all := f.of[fact]
	over := map[ID]bool{}
	for i, e := range all {
		if e.Replaces == nil {
			for _, before := range all[:i] {
				over[before.ID] = before.ID != e.ID
			}
		}
		f.cover(over, e, fact)
	}
	var standing []*Entry
	for _, e := range all {
		if twice := len(standing) > 0 && standing[len(standing)-1].ID == e.ID; !over[e.ID] && !twice { // several stations may have noted it
			standing = append(standing, e)
		}
	}
	return standing
}

// cover marks what an entry replaces, and through what was withdrawn since also what that had
// replaced.
func (f *Facts) cover(over map[ID]bool, e *Entry, fact Fact) {
	for _, id := range e.Replaces {
		if over[id] {
			continue
		}
		over[id] = true
		if gone := f.log.withdrawn(id); gone != nil {
			f.cover(over, gone, fact)
		}
	}
}

// withdrawn gives an entry that was taken back, as it was written; nil: it was not.
func (l *Log) withdrawn(id ID) *Entry {
	by := l.amended[id]
	if by == nil {
		return nil
	}
	if _, gone := by.Body.(Withdrawn); !gone {
		return nil
	}
	i := slices.IndexFunc(l.entries.list, func(e *Entry) bool { return e.ID == id })
	if i < 0 {
		return nil
	}
	return l.entries.list[i]
}
