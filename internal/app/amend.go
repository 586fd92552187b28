package app

import (
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/store"
)

// Amendment is what is done to an entry that stays in the log.
type Amendment struct {
	ID    sootline.ID // of the entry that amends; zero: a new one; else handing it in twice adds it once
	Entry sootline.ID // the entry that is amended
	Why   string      // in words
	Seen  *Seen       // what whoever amends saw to hold; nil: they did not say
	Sure  bool        // whoever corrects is certain of what may be a slip
}

// Seen names the amendment that held when somebody looked; zero: none did.
type Seen struct{ Amendment sootline.ID }

// Holds gives the entry as it holds: with what its correction says.
func (l LogLine) Holds() sootline.Entry {
	e := l.Entry
	if l.Amended == nil {
		return e
	}
	if c, ok := l.Amended.Body.(sootline.Corrected); ok {
		e.At, e.Point, e.Body = c.At, c.Point, c.Body
	}
	return e
}

// AsItHolds begins a correction that changes nothing yet.
func AsItHolds(holds sootline.Entry) sootline.Corrected {
	return sootline.Corrected{At: holds.At, Point: holds.Point, Body: holds.Body}
}

// Withdraw takes an entry back.
func (a *App) Withdraw(ctx context.Context, site sootline.ID, m Amendment) (sootline.Entry, error) {
	return a.amend(ctx, site, m, func([]sootline.Entry, LogLine) (sootline.Body, error) {
		return sootline.Withdrawn{Entry: m.Entry, Why: m.Why}, nil
	})
}

// Correct puts an entry right: change is given what holds of it and gives back
// what it should have said.
func (a *App) Correct(ctx context.Context, site sootline.ID, m Amendment, change func(holds sootline.Entry) (sootline.Corrected, error)) (sootline.Entry, error) {
	return a.amend(ctx, site, m, func(log []sootline.Entry, line LogLine) (sootline.Body, error) {
		holds := line.Holds()
		c, err := change(holds)
		if err != nil {
			return nil, err
		}
		c.Entry, c.Why = m.Entry, m.Why
		if isThere(log, m.ID) { // handed in twice: it is what it was the first time
			return c, nil
		}
		if err := changes(line, holds, c); err != nil || m.Sure {
			return c, err
		}
		holds.At, holds.Point, holds.Body = c.At, c.Point, c.Body
		now, _, err := fold(log, always)
		if err != nil {
			return nil, err
		}
		return c, a.doubt(now, &holds, func(at time.Time) (*sootline.Register, error) {
			r, _, err := fold(log, at)
			return r, err
		})
	})
}

// amend adds the entry that amends another one, as the log stands when it is written.
func (a *App) amend(ctx context.Context, site sootline.ID, m Amendment, says func([]sootline.Entry, LogLine) (sootline.Body, error)) (sootline.Entry, error) {
	e := a.entry(site, a.Now(), sootline.ID{}, nil)
	if !m.ID.Zero() {
		e.ID = m.ID
	}
	entries := []sootline.Entry{e}
	err := a.Book.Write(ctx, func(tx *store.Tx) error {
		log, err := tx.Entries(site)
		if err != nil {
			return err
		}
		line, err := lineOf(log, m.Entry)
		if err != nil {
			return err
		}
		if err := m.overtaken(log, line); err != nil {
			return err
		}
		if entries[0].Body, err = says(log, line); err != nil {
			return err
		}
		if err := entries[0].CheckNew(); err != nil {
			return err
		}
		return a.appendOnce(tx, site, entries)
	})
	return entries[0], err
}

// lineOf finds an entry of a log, with the amendment that holds for it.
func lineOf(log []sootline.Entry, id sootline.ID) (LogLine, error) {
	for i := range log {
		if log[i].ID == id {
			return LogLine{Entry: log[i], Amended: sootline.Amendments(log)[id]}, nil
		}
	}
	return LogLine{}, sootline.Errorf(sootline.NotFound, "`sootline log` shows the ids", "there is no entry %s in this site's log", id)
}

func isThere(log []sootline.Entry, id sootline.ID) bool {
	return slices.ContainsFunc(log, func(e sootline.Entry) bool { return e.ID == id })
}

// overtaken refuses an amendment of what holds no more.
func (m Amendment) overtaken(log []sootline.Entry, line LogLine) error {
	if m.Seen == nil || isThere(log, m.ID) {
		return nil
	}
	holds := sootline.ID{}
	if line.Amended != nil {
		holds = line.Amended.ID
	}
	if holds == m.Seen.Amendment {
		return nil
	}
	return sootline.Errorf(sootline.Conflict, "look at what holds now, and amend that", "somebody else amended this entry meanwhile")
}

// changes refuses a correction that changes nothing, and one of what was taken back.
func changes(line LogLine, holds sootline.Entry, c sootline.Corrected) error {
	if line.Amended != nil {
		if _, gone := line.Amended.Body.(sootline.Withdrawn); gone {
			return sootline.Errorf(sootline.Conflict, "withdraw the withdrawal "+line.Amended.ID.String()+" first", "this entry was taken back")
		}
	}
	said := holds
	said.At, said.Point, said.Body = c.At, c.Point, c.Body
	same, err := saysTheSame(holds, said)
	if err != nil {
		return err
	}
	if same && holds.At.Equal(c.At) {
		return sootline.Errorf(sootline.Invalid, "say what it should have said", "nothing is changed")
	}
	return nil
}
