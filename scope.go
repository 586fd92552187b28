package sootline

import (
	"maps"
	"slices"
)

// Scope is which sites of a book somebody has to do with. A site outside it is, for
// them, as if it did not exist. The zero value is bound to none: all sites.
type Scope struct {
	bound bool
	sites map[ID]bool
}

// OnlySites is the scope of whoever is bound to these sites; none: no site at all.
func OnlySites(sites ...ID) Scope {
	s := Scope{bound: true, sites: make(map[ID]bool, len(sites))}
	for _, site := range sites {
		s.sites[site] = true
	}
	return s
}

// Bound reports whether there may be sites outside the scope.
func (s Scope) Bound() bool { return s.bound }

// Holds reports whether a site is inside the scope.
func (s Scope) Holds(site ID) bool { return !s.bound || s.sites[site] }

// Sites gives the sites of a scope that is bound, in the order of their ids.
func (s Scope) Sites() []ID {
	return slices.SortedFunc(maps.Keys(s.sites), func(a, b ID) int { return slices.Compare(a[:], b[:]) })
}

// Only narrows the scope to one site, where it holds it; else to none.
func (s Scope) Only(site ID) Scope {
	if !s.Holds(site) {
		return OnlySites()
	}
	return OnlySites(site)
}

// NoSite is what is said of a site that there is not, and of one outside somebody's
// scope alike.
func NoSite() error {
	return Errorf(NotFound, "choose another", "there is no such site").Do(ListSites)
}

// MaySee refuses a site outside the actor's scope in the words of one that does not
// exist. Whoever has no role sees none.
func (a Actor) MaySee(site ID) error {
	if a.Role != Stranger && a.Scope.Holds(site) {
		return nil
	}
	return NoSite()
}

// MayKeepBook reports whether the actor may do what concerns the book as a whole:
// people and what is given out to them, the journal of security events, sites that
// are new. It is for a manager of all sites.
func (a Actor) MayKeepBook() error {
	if err := a.MayDo(Manager); err != nil {
		return err
	}
	if a.Scope.Bound() {
		return Errorf(Forbidden, "ask a manager of all sites", "this concerns the whole book, and you look after some of its sites")
	}
	return nil
}
