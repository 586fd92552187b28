package app

import (
	"context"
	"maps"

	"sootline"
	"sootline/internal/store"
)

// decision gives the entries that follow from what the book says, or why none
// may be written. It only reads, and may be asked several times.
type decision func() ([]sootline.Entry, error)

// settle writes what was decided, as long as what it was decided by still stands:
// where a station has written to the site's log meanwhile, it is decided anew. So
// a rule holds inside the transaction that writes, and nobody else waits while
// it is looked at. After a few attempts others do wait.
func (a *App) settle(ctx context.Context, site sootline.ID, decide decision) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	const attempts = 3
	for range attempts {
		before, err := a.Book.Heads(ctx, site)
		if err != nil {
			return err
		}
		entries, err := decide()
		if err != nil {
			return err
		}
		if done, err := a.addUnlessMoved(ctx, site, before, entries); done || err != nil {
			return err
		}
	}
	return a.writeTo(ctx, site, func(tx *store.Tx) error {
		entries, err := decide() // nobody else writes until this is done
		if err != nil || len(entries) == 0 {
			return err
		}
		return a.writeOnce(tx, site, entries)
	})
}

// addUnlessMoved adds entries where every station's chain still ends as it did
// before.
func (a *App) addUnlessMoved(ctx context.Context, site sootline.ID, before map[string]sootline.Chain, entries []sootline.Entry) (done bool, err error) {
	if len(entries) == 0 {
		return true, nil
	}
	err = a.writeTo(ctx, site, func(tx *store.Tx) error {
		now, err := tx.Heads(site)
		done = err == nil && maps.Equal(before, now)
		if !done {
			return err
		}
		return a.writeOnce(tx, site, entries)
	})
	return done, err
}

// writeOnce adds entries, unless the first is there: then they were handed in
// before, and that one is given in its place.
func (a *App) writeOnce(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	if !a.Form.Zero() {
		entries[0].ID = a.Form
	}
	return a.appendOnce(tx, site, entries)
}
