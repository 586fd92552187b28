package app

import (
	"context"

	"sootline"
	"sootline/internal/store"
)

// NoteIssued notes that a paper was issued. The same form is handed in once.
func (a *App) NoteIssued(ctx context.Context, site sootline.ID, issued sootline.Issued) (sootline.Entry, error) {
	e := a.entry(site, a.Now(), sootline.ID{}, issued)
	if !a.Form.Zero() {
		e.ID = a.Form
	}
	return e, a.writeTo(ctx, site, func(tx *store.Tx) error {
		there, err := tx.Find(site, e.ID)
		if err != nil {
			return err
		}
		if len(there) > 0 {
			return sootline.Errorf(sootline.Conflict, "the register of issued papers has it", "this form was handed in before")
		}
		return a.note(tx, site, e)
	})
}
