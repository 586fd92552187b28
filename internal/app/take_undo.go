package app

import (
	"context"
	"strings"

	"sootline"
	"sootline/internal/store"
)

// UndoWish says which act is to be taken back.
type UndoWish struct {
	Act  string // by its name or its id
	Why  string // in words
	Sure bool   // although later entries rest on it
}

// Undone is what taking an act back did, or would do.
type Undone struct {
	Act     Act
	Entry   *sootline.Entry       // that tells of it; nil: nothing was written
	Took    map[sootline.Kind]int // entries taken back, by kind
	Gone    int                   // entries that were withdrawn before
	Shared  int                   // entries that another station noted too: they stay
	Resting []string              // what rests on the act, in words
}

// Total is how many entries are taken back.
func (u *Undone) Total() int {
	total := 0
	for _, n := range u.Took {
		total += n
	}
	return total
}

// LookAtUndo works out what taking an act back would do, and does nothing.
func (a *App) LookAtUndo(ctx context.Context, site sootline.ID, wish UndoWish) (*Undone, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	u, err := a.undoing(site, log, wish)
	if err != nil {
		return nil, err
	}
	return &u.Undone, nil
}

// UndoTake takes an act back whole: all that it wrote and still holds is withdrawn in
// one transaction, which is another act that can itself be taken back.
func (a *App) UndoTake(ctx context.Context, site sootline.ID, wish UndoWish) (*Undone, error) {
	if err := a.needs(sootline.Technician); err != nil {
		return nil, err
	}
	var u *undoing
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		if u, err = a.undoing(site, log, wish); err != nil {
			return err
		}
		if err := u.may(a, tx, log); err != nil {
			return err
		}
		if len(u.Resting) > 0 && !wish.Sure {
			return sootline.Errorf(sootline.Doubtful, "look at what rests on it, then say that it is so", "on take %s rest: %s", u.Act.Taken.Name, strings.Join(u.Resting, "; ")).Do(sootline.Give, "sure")
		}
		begun, err := a.beginAct(tx, site)
		if err != nil {
			return err
		}
		if err := a.write(tx, site, u.entries); err != nil {
			return err
		}
		said := sootline.Taken{Files: u.Act.Taken.Files, Added: map[sootline.Kind]int{sootline.WithdrawnKind: len(u.entries)}, Undoes: u.Act.Entry.ID, Why: wish.Why}
		u.Entry, err = a.endAct(tx, site, begun, log, said)
		return err
	})
	if err != nil {
		return nil, err
	}
	return &u.Undone, nil
}

// undoing is an act on its way to being taken back.
type undoing struct {
	Undone
	entries []sootline.Entry       // the withdrawals
	since   []*sootline.Entry      // amendments of these that hold
	kinds   map[sootline.Kind]bool // of these
	wrote   func(*sootline.Entry) bool
}

// undoing works out the withdrawals of an act, and what rests on it.
func (a *App) undoing(site sootline.ID, log *sootline.Log, wish UndoWish) (*undoing, error) {
	act, err := actNamed(log, wish.Act)
	if err != nil {
		return nil, err
	}
	if by := act.UndoneBy; by != nil {
		return nil, sootline.Errorf(sootline.Conflict, "take that back, where this is to hold again", "take %s was taken back already, by %s", act.Taken.Name, by.Taken.Name).Do(sootline.UndoTake, by.Entry.ID.String())
	}
	u := &undoing{
		Undone: Undone{Act: *act, Took: map[sootline.Kind]int{}}, kinds: map[sootline.Kind]bool{},
		wrote: func(e *sootline.Entry) bool { return act.Taken.Wrote(act.Entry, e) },
	}
	shared, amendments := map[sootline.ID]bool{}, map[sootline.ID][]sootline.Entry{}
	for _, e := range log.Entries() {
		if !u.wrote(e) {
			shared[e.ID] = true
		}
		if target := sootline.Amends(e.Body); !target.Zero() {
			amendments[target] = append(amendments[target], *e)
		}
	}
	for _, e := range log.Entries() {
		if u.wrote(e) {
			u.add(a, site, log, e, shared[e.ID], amendments[e.ID], wish.Why)
		}
	}
	if len(u.entries) == 0 {
		return nil, sootline.Errorf(sootline.Conflict, "", "nothing of take %s holds any more that it alone wrote", act.Taken.Name)
	}
	u.rest(log)
	return u, nil
}

// add withdraws an entry of the act, where it holds and no other station noted it too.
func (u *undoing) add(a *App, site sootline.ID, log *sootline.Log, e *sootline.Entry, shared bool, amendments []sootline.Entry, why string) {
	holds := log.Amendment(e.ID)
	switch {
	case shared:
		u.Shared++
		return
	case holds != nil && holds.Body.Kind() == sootline.WithdrawnKind:
		u.Gone++
		return
	case holds != nil:
		u.since = append(u.since, holds)
	}
	u.kinds[e.Body.Kind()] = true
	u.Took[e.Body.Kind()]++
	body := sootline.Withdrawn{Entry: e.ID, Why: why, Seen: sootline.Unsurpassed(amendments, e.ID)}
	u.entries = append(u.entries, a.entry(site, a.Now(), sootline.ID{}, body))
}

// may refuses to take an act back that is another's to take back.
func (u *undoing) may(a *App, tx *store.Tx, log *sootline.Log) error {
	known, err := tx.People()
	if err != nil {
		return err
	}
	of := sootline.ActAmended{Act: u.Act.Entry, Since: u.since, Author: authorIn(known)}
	for kind := range u.kinds {
		of.Kinds = append(of.Kinds, kind)
	}
	return a.Who.MayTakeBack(of)
}
