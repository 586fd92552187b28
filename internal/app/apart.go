package app

import (
	"context"
	"slices"

	"sootline"
	"sootline/internal/store"
)

// Settling lets something hold of a fact that was changed in two places.
type Settling struct {
	ID      sootline.ID   // of the act, and of its first entry; zero: a new one
	Entry   sootline.ID   // one of the entries that changed it: what it says holds
	Instead sootline.Body // what holds instead, of the same fact; nil: what Entry says
}

// Settle writes the entry that replaces all those by which a fact was changed in two
// places. Where an entry changed several facts so, it settles all of them in its favour.
func (a *App) Settle(ctx context.Context, site sootline.ID, s Settling) (written []sootline.Entry, err error) {
	return written, a.writeTo(ctx, site, func(tx *store.Tx) error {
		written = nil
		if done, err := a.settledBefore(tx, site, s, &written); err != nil || done {
			return err
		}
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		for _, apart := range log.Apart() {
			body := apart.Said(s.Entry)
			if body == nil || s.Instead != nil && !saysFact(s.Instead, apart.Fact) {
				continue
			}
			if s.Instead != nil {
				body = s.Instead
			}
			e := a.entry(site, a.Now(), apart.Point, body)
			if !s.ID.Zero() {
				e.ID = deedPart(s.ID, len(written))
			}
			written = append(written, apart.Settled(e))
		}
		if len(written) == 0 {
			return notApart(tx, site, s.Entry)
		}
		for i := range written {
			if err := a.mayAppend(tx, site, written, &written[i]); err != nil {
				return err
			}
		}
		if err := a.put(tx, site, written); err != nil {
			return err
		}
		return followName(tx, site, written)
	})
}

// settledBefore finds what was settled by this very act: a button pressed twice.
func (a *App) settledBefore(tx *store.Tx, site sootline.ID, s Settling, written *[]sootline.Entry) (bool, error) {
	if s.ID.Zero() {
		return false, nil
	}
	there, err := first(tx.Find(site, s.ID))
	if err != nil || there == nil {
		return false, err
	}
	if !slices.Contains(there.Replaces, s.Entry) {
		return false, sootline.Errorf(sootline.Conflict, "begin again with a fresh form", "this form was handed in before, and said something else")
	}
	*written = []sootline.Entry{*there}
	return true, nil
}

// saysFact reports whether a body states a fact.
func saysFact(body sootline.Body, fact sootline.Fact) bool {
	of := sootline.FactsOf(&sootline.Entry{Point: fact.Point, Body: body})
	return slices.ContainsFunc(of, func(said sootline.FactSaid) bool { return said.Fact == fact })
}

// notApart tells that an entry is none of those that changed a fact in two places.
func notApart(tx *store.Tx, site, entry sootline.ID) error {
	there, err := tx.Has(site, entry)
	if err != nil {
		return err
	}
	if !there[entry] {
		return noEntry(entry)
	}
	return sootline.Errorf(sootline.Conflict, "see what is to be settled", "entry %s and no other changed the same in two places, or that is settled", entry).Do(sootline.CheckSite)
}

// ApartLine is what a list shows of a fact that was changed in two places.
type ApartLine struct {
	What string
	Ref  string // of its point; empty: it is of the site, or of a point that is no more
	Says []ApartSays
}

// ApartSays is one of the entries: who said what of it.
type ApartSays struct {
	Entry *sootline.Entry
	Says  string
	Holds bool // as long as nobody settles it
}

// ApartOf lists the facts of a register that were changed in two places and not alike.
func ApartOf(r *sootline.Register) []ApartLine {
	var all []ApartLine
	for _, apart := range r.Apart() {
		if apart.Alike() {
			continue
		}
		line := ApartLine{What: apart.What}
		if p := r.Point(apart.Point); p != nil && p.Placed && p.Removed == nil {
			line.Ref = p.Ref().String()
		}
		for i, said := range apart.Says {
			line.Says = append(line.Says, ApartSays{said.Entry, sootline.Say(said.Body), i+1 == len(apart.Says)})
		}
		all = append(all, line)
	}
	return all
}
