package app

import (
	"context"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/store"
)

// Whether a site is there for whoever acts is asked here alone, where sites are
// listed, opened and written to: every face comes through these.

// Scope is to which sites somebody is bound. The zero value is bound to none: all.
type Scope struct {
	Bound     bool
	Sites     []sootline.ID
	Customers []string // all sites of these customers, now and later
}

func scopeOf(s store.Scope) Scope { return Scope{s.Bound, s.Sites, s.Customers} }

// Sites lists the sites of the book that whoever acts has to do with, with how many
// entries each log holds: a log only grows, so that a survey is as good as new while
// that number stands.
func (a *App) Sites(ctx context.Context) ([]store.SiteLine, error) {
	lines, err := a.Book.Sites(ctx)
	return a.seen(lines), err
}

func (a *App) seen(lines []store.SiteLine) []store.SiteLine {
	return slices.DeleteFunc(lines, func(line store.SiteLine) bool { return a.Who.MaySee(line.ID) != nil })
}

// SiteOf finds a site by its id; nil when there is none for whoever acts.
func (a *App) SiteOf(ctx context.Context, id sootline.ID) (*store.SiteLine, error) {
	if a.Who.MaySee(id) != nil {
		return nil, nil
	}
	line, err := a.Book.Site(ctx, id)
	if line != nil && err != nil {
		err = inSite(ctx, *line, err)
	}
	return line, err
}

// LogOf gives the log of a site.
func (a *App) LogOf(ctx context.Context, site sootline.ID) (*sootline.Log, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	return a.Logs.of(ctx, a.Book, site)
}

// writeTo runs what writes to a site's log, in one transaction.
func (a *App) writeTo(ctx context.Context, site sootline.ID, do func(*store.Tx) error) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	return a.Book.WriteTo(ctx, site, do)
}

// ScopeOf gives the sites that a scope holds now. A name of a customer holds those
// whose log says so; one whose log cannot tell is not among them, and hides no other.
func (a *App) ScopeOf(ctx context.Context, s Scope) (sootline.Scope, error) {
	if !s.Bound {
		return sootline.Scope{}, nil
	}
	sites, err := a.sitesOf(ctx, s.Customers)
	if err != nil {
		return sootline.OnlySites(), err
	}
	return sootline.OnlySites(append(slices.Clip(s.Sites), sites...)...), nil
}

// sitesOf gives the sites whose logs name one of the customers: by their heads, and where
// a head is behind, by the log itself.
func (a *App) sitesOf(ctx context.Context, customers []string) (sites []sootline.ID, err error) {
	if len(customers) == 0 {
		return nil, nil
	}
	sites, unsure, err := a.Book.CustomerSites(ctx, customers, a.Now())
	if err != nil {
		return nil, err
	}
	for _, line := range unsure {
		customer, err := a.customerOf(ctx, line)
		if err != nil && !ofOneSite(err) {
			return nil, err
		}
		if customer != "" && slices.ContainsFunc(customers, func(name string) bool { return store.SameName(name, customer) }) {
			sites = append(sites, line.ID)
		}
	}
	return sites, nil
}

// customerOf gives the customer that a site's log names; none with an error.
func (a *App) customerOf(ctx context.Context, line store.SiteLine) (customer string, err error) {
	if customer, known := a.Logs.customer(line); known {
		return customer, nil
	}
	err = ForSite(ctx, line, func() error {
		facts, err := someOf(a.Book.LinesOfKinds(ctx, line.ID, factKinds()...))
		if err != nil {
			return err
		}
		customer = sootline.Fold(facts, a.Now()).Site.Customer
		a.Logs.keepCustomer(line, customer)
		return nil
	})
	return customer, err
}

// checkScope refuses a scope that a role cannot have, and one of sites that there are
// not.
func (a *App) checkScope(tx *store.Tx, role sootline.Role, s Scope) (store.Scope, error) {
	if !s.Bound && role == sootline.Customer {
		return store.Scope{Bound: true}, nil // least by default
	}
	if !s.Bound && len(s.Sites)+len(s.Customers) > 0 {
		return store.Scope{}, sootline.Errorf(sootline.Invalid, "choose one of the two", "all sites, and some of them, go not together")
	}
	kept := store.Scope{Bound: s.Bound, Sites: s.Sites}
	for _, site := range s.Sites {
		line, err := tx.Site(site)
		if err == nil && line == nil {
			err = sootline.NoSite()
		}
		if err != nil {
			return kept, err
		}
	}
	for _, customer := range s.Customers {
		name, err := sootline.ProperName("customer", customer, sootline.MostSiteName)
		if err != nil {
			return kept, err
		}
		kept.Customers = append(kept.Customers, name)
	}
	return kept, nil
}

// ScopeNamed reads a scope: the names or ids of sites, and the names of customers. None
// of either: bound to no site.
func (a *App) ScopeNamed(ctx context.Context, sites, customers []string) (Scope, error) {
	s := Scope{Bound: true, Customers: customers}
	for _, name := range sites {
		if id, err := sootline.ParseID(name); err == nil {
			s.Sites = append(s.Sites, id)
			continue
		}
		line, err := a.Site(ctx, name)
		if err != nil {
			return s, err
		}
		s.Sites = append(s.Sites, line.ID)
	}
	return s, nil
}

// SiteNames gives the names of a scope's sites, in its order.
func (a *App) SiteNames(ctx context.Context, s Scope) ([]string, error) {
	var names []string
	for _, id := range s.Sites {
		line, err := a.Book.Site(ctx, id)
		switch {
		case line != nil: // its row may be damaged: that hides nobody who is bound to it
			names = append(names, line.Name)
		case err != nil:
			return nil, err
		}
	}
	return names, nil
}

// SayScope tells a scope in words, and of which customer no site is known now: the name
// may be misspelled.
func (a *App) SayScope(ctx context.Context, s Scope) string {
	told := s
	told.Customers = slices.Clone(s.Customers)
	for i, customer := range told.Customers {
		if now, err := a.sitesOf(ctx, []string{customer}); err == nil && len(now) == 0 {
			told.Customers[i] += " (none is known now)"
		}
	}
	return told.say(func(id sootline.ID) (*store.SiteLine, error) { return a.Book.Site(ctx, id) })
}

// sayScope tells a scope as a transaction sees it.
func sayScope(tx *store.Tx, s store.Scope) string { return scopeOf(s).say(tx.Site) }

func (s Scope) say(site func(sootline.ID) (*store.SiteLine, error)) string {
	if !s.Bound {
		return "all sites"
	}
	var parts []string
	for _, id := range s.Sites {
		name := id.String()
		if line, err := site(id); err == nil && line != nil {
			name = line.Name
		}
		parts = append(parts, name)
	}
	for _, customer := range s.Customers {
		parts = append(parts, "all sites of "+customer)
	}
	if len(parts) == 0 {
		return "no site"
	}
	return strings.Join(parts, ", ")
}
