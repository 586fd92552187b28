package app

import (
	"context"

	"sootline"
	"sootline/internal/store"
)

// mostDeed is how many entries one form writes at most.
const mostDeed = 1000

// Deed is what one form wrote, as it was confirmed: all of it is taken back at once.
type Deed struct {
	ID      sootline.ID // of the form, and of the first entry
	Lines   []LogLine   // what was written, in order
	Stands  int         // how many of these hold still
	Undoing bool        // it took another deed back
}

// Deed finds what a form wrote; nil: nothing.
func (s *Survey) Deed(form sootline.ID) *Deed {
	written := map[sootline.ID]*sootline.Entry{}
	for _, e := range s.log.Entries() {
		if [6]byte(e.ID[:6]) == [6]byte(form[:6]) { // the parts of a deed bear its instant
			written[e.ID] = e
		}
	}
	deed := &Deed{ID: form, Undoing: true}
	for n := range mostDeed {
		e := written[deedPart(form, n)]
		if e == nil {
			break
		}
		line := s.LogLine(e)
		if !line.withdrawn() {
			deed.Stands++
		}
		deed.Undoing = deed.Undoing && e.Body.Kind() == sootline.WithdrawnKind
		deed.Lines = append(deed.Lines, line)
	}
	if len(deed.Lines) == 0 {
		return nil
	}
	return deed
}

// deedPart gives the id of the nth entry of a form, from 0.
func deedPart(form sootline.ID, n int) sootline.ID {
	if n == 0 {
		return form
	}
	return form.Part(n)
}

// withdrawn reports whether an entry was taken back.
func (l LogLine) withdrawn() bool {
	return l.Amended != nil && l.Amended.Body.Kind() == sootline.WithdrawnKind
}

// named gives entries the ids of a form, so that it is found again whole.
func (a *App) named(entries []sootline.Entry) []sootline.Entry {
	for i := range entries {
		if !a.Form.Zero() {
			entries[i].ID = deedPart(a.Form, i)
		}
	}
	return entries
}

// UndoDeed takes back all that a form wrote and still holds, by an entry each, in one
// transaction. What took a deed back is itself a deed: undone, the first holds again.
func (a *App) UndoDeed(ctx context.Context, site, form sootline.ID) error {
	if err := a.needs(sootline.Technician); err != nil {
		return err
	}
	return a.writeTo(ctx, site, func(tx *store.Tx) error {
		if there, err := isNoted(tx, site, a.Form); err != nil || there {
			return err // this form was handed in before
		}
		entries, err := a.undoingDeed(tx, site, form)
		if err != nil {
			return err
		}
		return a.appendAll(tx, site, a.named(entries))
	})
}

// undoingDeed gives the withdrawals of what a form wrote, the last first.
func (a *App) undoingDeed(tx *store.Tx, site, form sootline.ID) ([]sootline.Entry, error) {
	var entries []sootline.Entry
	written := 0
	for n := range mostDeed {
		id := deedPart(form, n)
		if there, err := isNoted(tx, site, id); err != nil {
			return nil, err
		} else if !there {
			break
		}
		written++
		line, seen, err := a.lineIn(tx, site, id)
		if err != nil {
			return nil, err
		}
		if !line.withdrawn() {
			entries = append(entries, a.entry(site, a.Now(), sootline.ID{}, sootline.InSightOf(sootline.Withdrawn{Entry: id}, seen)))
		}
	}
	switch {
	case written == 0:
		return nil, noEntry(form)
	case len(entries) == 0:
		return nil, sootline.Errorf(sootline.Conflict, "the log tells by whom", "it was taken back before").Do(sootline.ReadLog)
	}
	return entries, nil
}
