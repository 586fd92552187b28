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
}

// AddSite adds a site to the book.
func (a *App) AddSite(ctx context.Context, in NewSite) (sootline.ID, error) {
	in.Name = strings.TrimSpace(in.Name)
	if in.Name == "" {
		return sootline.ID{}, sootline.Errorf(sootline.Invalid, "for example", "a site needs a name").Do(sootline.AddSite, "Works")
	}
	if _, err := Zone(in.Zone); err != nil {
		return sootline.ID{}, err
	}
	if there, err := a.isThere(ctx, in); err != nil || there {
		return in.ID, err
	}
	id := in.ID
	if id.Zero() {
		id = sootline.NewID(a.Now(), a.Random())
	}
	entries := []sootline.Entry{a.entry(id, sootline.LongAgo, sootline.ID{}, sootline.Opened{Name: in.Name, Zone: in.Zone})}
	for _, loop := range in.Loops {
		entries = append(entries, a.entry(id, sootline.LongAgo, sootline.ID{}, loop))
	}
	return id, a.Book.Write(ctx, func(tx *store.Tx) error {
		if err := tx.PutSite(id, in.Name); err != nil {
			return err
		}
		return a.append(tx, id, entries)
	})
}

// isThere reports whether the very site was added before; another one of its id
// or name is a conflict.
func (a *App) isThere(ctx context.Context, in NewSite) (bool, error) {
	same, err := a.Book.SitesNamed(ctx, in.Name)
	switch {
	case err != nil:
		return false, err
	case len(same) == 1 && same[0].ID == in.ID:
		return true, nil
	case len(same) > 0:
		return false, sootline.Errorf(sootline.Conflict, "choose another name", "there is a site named %q already", same[0].Name)
	}
	lines, err := a.Book.Sites(ctx)
	if slices.ContainsFunc(lines, func(line store.SiteLine) bool { return line.ID == in.ID }) {
		return false, sootline.Errorf(sootline.Conflict, "choose another id", "there is another site of this id")
	}
	return false, err
}

// SetLoop states the span and unset number of a loop, from now on or, for a
// loop not described before, since always.
func (a *App) SetLoop(ctx context.Context, site sootline.ID, loop sootline.LoopFacts) error {
	r, err := a.Register(ctx, site, a.Now())
	if err != nil {
		return err
	}
	at := a.Now()
	if !r.Described(sootline.LoopID{Panel: loop.Panel, Name: loop.Loop}) {
		at = sootline.LongAgo
	}
	return a.add(ctx, site, a.entry(site, at, sootline.ID{}, loop))
}

// SetFacts changes facts and rules of a site; what is zero stays as it is.
func (a *App) SetFacts(ctx context.Context, site sootline.ID, facts sootline.Opened) error {
	if _, err := Zone(facts.Zone); err != nil {
		return err
	}
	return a.Book.Write(ctx, func(tx *store.Tx) error {
		if facts.Name != "" {
			if err := tx.PutSite(site, facts.Name); err != nil {
				return err
			}
		}
		return a.append(tx, site, []sootline.Entry{a.entry(site, a.Now(), sootline.ID{}, facts)})
	})
}

// SetArea states the size and floor of an area, from now on or, for an area not
// described before, since always.
func (a *App) SetArea(ctx context.Context, site sootline.ID, area sootline.AreaFacts) error {
	r, err := a.Register(ctx, site, a.Now())
	if err != nil {
		return err
	}
	at := a.Now()
	if r.Area(area.Area) == nil {
		at = sootline.LongAgo
	}
	return a.add(ctx, site, a.entry(site, at, sootline.ID{}, area))
}
