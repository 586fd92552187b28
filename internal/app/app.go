// Package app holds what people do with a book: each use case is one
// transaction around the engines. It carries data between the rooms, which do
// not know each other, and is the only way in for the command line and the web.
package app

import (
	"context"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/keep"
	"sootline/internal/store"
)

// App is a book and who is at work in it.
type App struct {
	Book    *store.Store
	Who     sootline.Actor   // who acts, and through what
	Logs    *Logs            // the decoded logs, kept for all who look; nil: none are kept
	Photos  *PhotoQuota      // how many are kept in a day; nil: any number
	Now     func() time.Time // the clock
	Random  func() [10]byte  // for the ids of entries made by hand
	Working func(Progress)   // told of long work now and then; may be nil
	Kept    *keep.Watched    // what came of the book's backups, kept for all who look; nil: it is read each time
	Closed  func()           // told when a visit was closed; may be nil
	Heard   string           // the folder beside the book in which what is heard is kept; empty: nothing is
	Form    sootline.ID      // where not zero, the id of the first entry made by hand: a form handed in twice writes once
}

// Progress is how far long work has come.
type Progress struct {
	What        string
	Done, Total int
}

func (a *App) progress(what string, done, total int) {
	if a.Working != nil {
		a.Working(Progress{what, done, total})
	}
}

// Site finds the site of that name; an empty name means the book's only one.
func (a *App) Site(ctx context.Context, name string) (store.SiteLine, error) {
	lines, err := a.Book.Sites(ctx)
	if name != "" {
		lines, err = a.Book.SitesNamed(ctx, name)
	}
	lines = a.seen(lines)
	switch {
	case err != nil:
		return store.SiteLine{}, err
	case len(lines) == 1:
		return lines[0], lines[0].Trouble
	case name == "" && len(lines) == 0:
		return store.SiteLine{}, sootline.Errorf(sootline.NotFound, "add one", "the book has no site yet").Do(sootline.AddSite).Or("or see an invented one").Do(sootline.MakeDemo)
	case name == "":
		return store.SiteLine{}, sootline.Errorf(sootline.Invalid, "name one", "the book has %d sites", len(lines)).Do(sootline.Give, "site").Or("see which there are").Do(sootline.ListSites)
	case len(lines) == 0:
		return store.SiteLine{}, a.noSite(ctx, name)
	}
	return store.SiteLine{}, sootline.Errorf(sootline.Conflict, "rename one of them, by its id", "%d sites are named %q", len(lines), name).Do(sootline.RenameSite, lines[0].ID.String())
}

// noSite tells that no site has a name, and which are near it.
func (a *App) noSite(ctx context.Context, name string) error {
	lines, err := a.Book.Sites(ctx)
	if err != nil {
		return err
	}
	var known, byWord []string
	for _, line := range a.seen(lines) {
		known = append(known, line.Name)
		if len(Nearest(name, strings.Fields(line.Name))) > 0 { // people call a site by a part of its name
			byWord = append(byWord, line.Name)
		}
	}
	near := Nearest(name, known)
	if len(near) == 0 {
		near = byWord[:min(mostNear, len(byWord))]
	}
	no := sootline.Errorf(sootline.NotFound, "", "there is no site named %q", name)
	for _, near := range near {
		no.Ways = append(no.Ways, sootline.Way{Text: "did you mean " + near, Use: sootline.Give, With: []string{"site", near}})
	}
	return no.Or("see which there are").Do(sootline.ListSites)
}

// Always is an as-of date that leaves nothing out.
var Always = time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC)

// Register computes a site's register as of an instant; the zero time means
// everything the log holds.
func (a *App) Register(ctx context.Context, site sootline.ID, asOf time.Time) (*sootline.Register, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	r, _, err := fold(log, orAlways(asOf))
	if err == nil {
		err = ctx.Err()
	}
	return r, err
}

func orAlways(asOf time.Time) time.Time {
	if asOf.IsZero() {
		return Always
	}
	return asOf
}

// fold computes a register that gives its times in the zone of the site, so that
// days are those of the people there, and that zone.
func fold(log *sootline.Log, asOf time.Time) (*sootline.Register, *time.Location, error) {
	r := log.Fold(asOf)
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, nil, err
	}
	r.In(zone)
	return r, zone, nil
}

// Zone loads the time zone in which a site's people live; UTC when none is set.
func Zone(name string) (*time.Location, error) {
	return sootline.ZoneNamed(name)
}

// entry begins an entry made by hand, now.
func (a *App) entry(site sootline.ID, at time.Time, point sootline.ID, body sootline.Body) sootline.Entry {
	now := sootline.Instant(a.Now())
	return sootline.Entry{
		ID: sootline.NewID(now, a.Random()), Site: site, At: sootline.Instant(at), Noted: now,
		By: a.Who.Name, Station: a.station(), Point: point, Body: body,
	}
}

// add writes entries made by hand, all or none.
func (a *App) add(ctx context.Context, site sootline.ID, entries ...sootline.Entry) error {
	return a.writeTo(ctx, site, func(tx *store.Tx) error {
		return a.append(tx, site, entries)
	})
}

func (a *App) append(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	if !a.Form.Zero() && len(entries) > 0 {
		entries[0].ID = a.Form
		return a.appendOnce(tx, site, entries)
	}
	return a.appendAll(tx, site, entries)
}

func (a *App) appendAll(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	for i := range entries {
		if err := a.mayAppend(tx, site, entries, &entries[i]); err != nil {
			return err
		}
	}
	if err := a.write(tx, site, entries); err != nil {
		return err
	}
	return followName(tx, site, entries)
}

// note writes an entry of a kind that the program alone writes, when what it tells
// of is done.
func (a *App) note(tx *store.Tx, site sootline.ID, e sootline.Entry) error {
	if err := a.Who.MayNote(e.Body); err != nil {
		return err
	}
	if err := e.Check(); err != nil {
		return err
	}
	return a.write(tx, site, []sootline.Entry{e})
}

// station is the name under which the actor writes in this book.
func (a *App) station() string {
	if a.Book == nil {
		return a.Who.Station
	}
	return a.Book.Station(a.Who.Station)
}

// write writes entries that name what they replace, as the log stands now.
func (a *App) write(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	if err := a.nameReplaced(tx, site, entries); err != nil {
		return err
	}
	return a.put(tx, site, entries)
}

// nameReplaced puts into entries that state facts which entries they replace.
func (a *App) nameReplaced(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	if !slices.ContainsFunc(entries, func(e sootline.Entry) bool { return len(sootline.FactsOf(&e)) > 0 }) {
		return nil
	}
	log, err := a.Logs.in(tx, site)
	if err != nil {
		return err
	}
	facts := log.Facts(entries...)
	for i := range entries {
		facts.See(&entries[i])
	}
	return nil
}

// put writes entries as they are.
func (a *App) put(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	return tx.Append(site, a.station(), func(w *store.Writer) error {
		for _, e := range entries {
			if err := w.Add(e); err != nil {
				return err
			}
		}
		return nil
	})
}
