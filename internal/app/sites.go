package app

import (
	"context"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/store"
)

// NewSite is what a site begins with.
type NewSite struct {
	ID    sootline.ID // zero: a new one; else handing it in twice adds it once
	Name  string
	Zone  string // IANA time zone; empty: UTC
	Loops []sootline.LoopFacts
	Rules string // the set of rules by which things fall due; empty: nobody chose
	Firm  string // that looks after it; empty: nobody said
}

// AddSite adds a site to the book.
func (a *App) AddSite(ctx context.Context, in NewSite) (sootline.ID, error) {
	if err := a.Who.MayKeepBook(); err != nil {
		return sootline.ID{}, err
	}
	if strings.TrimSpace(in.Name) == "" {
		return sootline.ID{}, sootline.Errorf(sootline.Invalid, "for example", "a site needs a name").Do(sootline.AddSite, "Works")
	}
	name, err := sootline.ProperName("site", in.Name, sootline.MostSiteName)
	if err != nil {
		return sootline.ID{}, err
	}
	in.Name = name
	id := in.ID
	if id.Zero() {
		id = sootline.NewID(a.Now(), a.Random())
	}
	entries := []sootline.Entry{a.entry(id, sootline.LongAgo, sootline.ID{}, sootline.Opened{Name: in.Name, Zone: in.Zone, SiteFacts: sootline.SiteFacts{Firm: in.Firm}})}
	for _, loop := range in.Loops {
		entries = append(entries, a.entry(id, sootline.LongAgo, sootline.ID{}, loop))
	}
	if in.Rules != "" {
		set, err := ruleSet(in.Rules)
		if err != nil {
			return sootline.ID{}, err
		}
		entries = append(entries, a.entry(id, sootline.LongAgo, sootline.ID{}, sootline.Service{Rules: set.Rules}))
	}
	return id, a.Book.Write(ctx, func(tx *store.Tx) error {
		if there, err := isThere(tx, id, in.Name); err != nil || there {
			return err
		}
		if err := tx.PutSite(id, in.Name); err != nil {
			return err
		}
		return a.append(tx, id, entries)
	})
}

// isThere reports whether the very site was added before; another one of its id
// or name is a conflict.
func isThere(tx *store.Tx, id sootline.ID, name string) (bool, error) {
	there, err := tx.Site(id)
	if err != nil {
		return false, err
	}
	if err := freeName(tx, id, name); err != nil {
		return false, err
	}
	if there != nil && !store.SameName(there.Name, name) {
		return false, sootline.Errorf(sootline.Conflict, "choose another id", "there is another site of this id")
	}
	return there != nil, nil
}

// freeName refuses a name that another site has.
func freeName(tx *store.Tx, id sootline.ID, name string) error {
	same, err := tx.SitesNamed(name)
	for _, line := range same {
		if line.ID != id {
			return sootline.Errorf(sootline.Conflict, "choose another name", "there is a site named %q already", line.Name)
		}
	}
	return err
}

// followName lets the table of sites follow the log, where entries that were just
// written may have given the site another name.
func followName(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	if names, err := mayName(tx, site, entries); err != nil || !names {
		return err
	}
	facts, err := siteFacts(tx, site, nil)
	if err != nil {
		return err
	}
	if facts.Name == "" {
		return sootline.Errorf(sootline.Conflict, "give it one", "a site needs a name")
	}
	if err := freeName(tx, site, facts.Name); err != nil {
		return err
	}
	return tx.PutSite(site, facts.Name)
}

// mayName reports whether any of the entries may change the name of the site: it
// gives facts of it, or amends what does.
func mayName(tx *store.Tx, site sootline.ID, entries []sootline.Entry) (bool, error) {
	for i := range entries {
		e := &entries[i]
		for range deepest {
			body := e.Body
			if c, ok := body.(sootline.Corrected); ok && c.Body.Kind() == sootline.OpenedKind || body.Kind() == sootline.OpenedKind {
				return true, nil
			}
			target := sootline.Amends(body)
			if target.Zero() {
				break
			}
			named, err := first(tx.Find(site, target))
			if err != nil || named == nil {
				return false, err
			}
			e = named
		}
	}
	return false, nil
}

// factKinds are the kinds that can say what a site is as a whole, or take it back.
func factKinds() []sootline.Kind {
	return []sootline.Kind{sootline.OpenedKind, sootline.CorrectedKind, sootline.WithdrawnKind}
}

// siteFacts gives what the log says of the site as a whole, with lines that are
// still to be written. It follows from the few entries that can say such a thing
// or take one back.
func siteFacts(tx *store.Tx, site sootline.ID, more []store.Line) (sootline.Site, error) {
	saying := factKinds()
	entries, err := someOf(tx.LinesOfKinds(site, saying...))
	if err != nil {
		return sootline.Site{}, err
	}
	for _, line := range more {
		if slices.Contains(saying, line.Entry.Body.Kind()) {
			entries = append(entries, line.Entry)
		}
	}
	return sootline.Fold(entries, Always).Site, nil
}

// SetLoop states the span and unset number of a loop, from now on or, for a
// loop not described before, since always.
func (a *App) SetLoop(ctx context.Context, site sootline.ID, loop sootline.LoopFacts) error {
	return a.state(ctx, site, loop, func(r *sootline.Register) bool {
		return r.Described(sootline.LoopID{Panel: loop.Panel, Name: loop.Loop})
	})
}

// state writes down a fact: from now on where something was known of the matter,
// else since always.
func (a *App) state(ctx context.Context, site sootline.ID, fact sootline.Body, known func(*sootline.Register) bool) error {
	return a.settle(ctx, site, func() ([]sootline.Entry, error) {
		r, err := a.Register(ctx, site, a.Now())
		if err != nil {
			return nil, err
		}
		if err := refuseCircuit(r, fact); err != nil {
			return nil, err
		}
		at := a.Now()
		if !known(r) {
			at = sootline.LongAgo
		}
		return []sootline.Entry{a.entry(site, at, sootline.ID{}, fact)}, nil
	})
}

// SetFacts changes facts and rules of a site; what is zero stays as it is.
func (a *App) SetFacts(ctx context.Context, site sootline.ID, facts sootline.Opened) error {
	if err := a.needs(sootline.Manager); err != nil {
		return err
	}
	if facts.Name != "" {
		name, err := sootline.ProperName("site", facts.Name, sootline.MostSiteName)
		if err != nil {
			return err
		}
		facts.Name = name
	}
	return a.writeTo(ctx, site, func(tx *store.Tx) error {
		return a.append(tx, site, []sootline.Entry{a.entry(site, a.Now(), sootline.ID{}, facts)})
	})
}

// SetArea states the size and floor of an area, from now on or, for an area not
// described before, since always.
func (a *App) SetArea(ctx context.Context, site sootline.ID, area sootline.AreaFacts) error {
	return a.state(ctx, site, area, func(r *sootline.Register) bool { return r.Area(area.Area) != nil })
}
