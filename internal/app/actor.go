package app

import (
	"context"
	"iter"

	"sootline"
	"sootline/internal/store"
)

// Whether an entry may be written is asked here alone, where entries are
// appended: of what it says, and of what it amends. Faces may ask beforehand, to
// leave out a form that would be refused.

// deepest is how many amendments may stand upon one another. Nobody needs three;
// the bound keeps a made-up pile from costing more than it is worth.
const deepest = 16

// needs refuses a use case to who has not the role for it.
func (a *App) needs(role sootline.Role) error {
	return a.Who.MayDo(role)
}

// mayAppend refuses an entry that is impossible or empty, or that the actor may not write.
// An amendment may name an entry of the same batch.
func (a *App) mayAppend(tx *store.Tx, site sootline.ID, batch []sootline.Entry, e *sootline.Entry) error {
	if err := e.CheckNew(); err != nil {
		return err
	}
	target := sootline.Amends(e.Body)
	if target.Zero() {
		return a.Who.MayWrite(e.Body)
	}
	of, err := a.amended(tx.People, target, looks{
		entry: func(id sootline.ID) (*sootline.Entry, error) {
			for i := range batch {
				if batch[i].ID == id {
					return &batch[i], nil
				}
			}
			return first(tx.Find(site, id))
		},
		ofKind: func(kind sootline.Kind) iter.Seq2[store.Line, error] { return tx.LinesOfKinds(site, kind) },
	})
	if err != nil {
		return err
	}
	if !a.Who.Role.May(sootline.Manager) {
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		of.Standing = log.Amendment(target)
	}
	return a.Who.MayAmend(of, e.Body)
}

// MayAmend reports why the actor may not correct an entry without making something
// else of it, and why he may not withdraw it; nil where he may.
func (a *App) MayAmend(ctx context.Context, site, entry sootline.ID) (correct, withdraw error) {
	if err := a.Who.MaySee(site); err != nil {
		return err, err
	}
	of, err := a.amended(func() ([]store.Person, error) { return a.Book.People(ctx) }, entry, looks{
		entry:  func(id sootline.ID) (*sootline.Entry, error) { return first(a.Book.Find(ctx, site, id)) },
		ofKind: func(kind sootline.Kind) iter.Seq2[store.Line, error] { return a.Book.LinesOfKinds(ctx, site, kind) },
	})
	if err != nil {
		return err, err
	}
	if !a.Who.Role.May(sootline.Manager) {
		log, err := a.LogOf(ctx, site)
		if err != nil {
			return err, err
		}
		of.Standing = log.Amendment(entry)
	}
	return a.Who.MayAmend(of, sootline.Corrected{Entry: entry, Body: of.Chain[0].Body}), a.Who.MayAmend(of, sootline.Withdrawn{Entry: entry})
}

// looks is how a log is looked into: for an entry, nil when it has none of the id,
// and for all of a kind.
type looks struct {
	entry  func(sootline.ID) (*sootline.Entry, error)
	ofKind func(sootline.Kind) iter.Seq2[store.Line, error]
}

// founding reports whether an entry opened the site: no other that gives facts of
// it comes before.
func (l looks) founding(e *sootline.Entry) (bool, error) {
	if e.Body.Kind() != sootline.OpenedKind {
		return false, nil
	}
	for line, err := range l.ofKind(sootline.OpenedKind) {
		if err != nil || sootline.Compare(&line.Entry, e) < 0 && line.Entry.ID != e.ID {
			return false, err
		}
	}
	return true, nil
}

// amended gathers what an amendment is about.
func (a *App) amended(people func() ([]store.Person, error), target sootline.ID, log looks) (of sootline.Amended, err error) {
	known, err := people()
	if err != nil {
		return of, err
	}
	of.Author = authorIn(known)
	for range deepest {
		e, err := log.entry(target)
		if err != nil {
			return of, err
		}
		if e == nil {
			return of, noEntry(target)
		}
		of.Chain = append(of.Chain, *e)
		if target = sootline.Amends(e.Body); target.Zero() {
			of.Founds, err = log.founding(&of.Chain[0])
			return of, err
		}
	}
	return of, sootline.Errorf(sootline.Invalid, "correct the entry itself", "more than %d amendments stand upon one another", deepest)
}

func noEntry(id sootline.ID) error {
	return sootline.Errorf(sootline.NotFound, "the log shows the ids", "there is no entry %s in this site's log", id).Do(sootline.ReadLog)
}

func first(found []sootline.Entry, err error) (*sootline.Entry, error) {
	if err != nil || len(found) == 0 {
		return nil, err
	}
	return &found[0], nil
}

// authorIn gives the role of who wrote an entry: a stranger where it is no person of
// the book, such as who worked at the machine itself or in another book.
func authorIn(known []store.Person) func(name string) sootline.Role {
	return func(name string) sootline.Role {
		for _, p := range known {
			if store.SameName(p.Name, name) {
				return sootline.Role(p.Role)
			}
		}
		return sootline.Stranger
	}
}
