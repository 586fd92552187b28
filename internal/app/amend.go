package app

import (
	"context"
	"iter"

	"sootline"
	"sootline/internal/store"
	"sootline/internal/visit"
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
		e.At, e.Day, e.Point, e.Body = c.At, c.Day, c.Point, c.Body
	}
	return e
}

// AsItHolds begins a correction that changes nothing yet.
func AsItHolds(holds sootline.Entry) sootline.Corrected {
	return sootline.Corrected{At: holds.At, Day: holds.Day, Point: holds.Point, Body: holds.Body}
}

// Withdraw takes an entry back.
func (a *App) Withdraw(ctx context.Context, site sootline.ID, m Amendment) (sootline.Entry, error) {
	return a.amend(ctx, site, m, func(tx *store.Tx, line LogLine) (sootline.Body, error) {
		withdrawn := sootline.Withdrawn{Entry: m.Entry, Why: m.Why}
		if there, err := isNoted(tx, site, m.ID); err != nil || there {
			return withdrawn, err
		}
		return withdrawn, line.stands()
	})
}

// Correct puts an entry right: change is given what holds of it and gives back
// what it should have said.
func (a *App) Correct(ctx context.Context, site sootline.ID, m Amendment, change func(holds sootline.Entry) (sootline.Corrected, error)) (sootline.Entry, error) {
	return a.amend(ctx, site, m, func(tx *store.Tx, line LogLine) (sootline.Body, error) {
		holds := line.Holds()
		if err := sootline.Correctable(holds.Body); err != nil {
			return nil, err
		}
		c, err := change(holds)
		if err != nil {
			return nil, err
		}
		c.Entry, c.Why = m.Entry, m.Why
		if !c.At.Equal(holds.At) {
			if err := a.happened(c.At); err != nil {
				return nil, err
			}
		}
		if m.Sure {
			c.Body = certain(c.Body)
		}
		if there, err := isNoted(tx, site, m.ID); err != nil || there { // handed in twice: it is what it was the first time
			return c, err
		}
		if err := changes(line, holds, c); err != nil {
			return c, err
		}
		if err := a.keepsVisits(tx, site, line, c); err != nil {
			return nil, err
		}
		holds.At, holds.Day, holds.Point, holds.Body = c.At, c.Day, c.Point, c.Body
		if err := a.refuseIn(tx, site, &holds); err != nil || m.Sure {
			return c, err
		}
		return c, a.doubtIn(tx, site, &holds)
	})
}

// keepsVisits refuses a correction after which two visits would last at once, or one
// would end that never began.
func (a *App) keepsVisits(tx *store.Tx, site sootline.ID, line LogLine, c sootline.Corrected) error {
	if c.Body.Kind() != sootline.VisitKind {
		return nil
	}
	if line.Holds().Body.Kind() != sootline.VisitKind {
		return byHand(c.Body)
	}
	places, err := a.placesIn(tx, site)
	if err != nil {
		return err
	}
	corrected := a.entry(site, a.Now(), sootline.ID{}, c)
	before, after := places.FoldPlaces(Always), places.With([]sootline.Entry{corrected}).FoldPlaces(Always)
	if visit.Untold(after) > visit.Untold(before) {
		return sootline.Errorf(sootline.Conflict, "correct the end of the visits first that stand in its way", "two visits would then last at once, or one would end that never began")
	}
	return nil
}

// amend adds the entry that amends another one, as the log stands when it is
// written. It looks at the few entries that it needs, not at the log.
func (a *App) amend(ctx context.Context, site sootline.ID, m Amendment, says func(*store.Tx, LogLine) (sootline.Body, error)) (sootline.Entry, error) {
	e := a.entry(site, a.Now(), sootline.ID{}, nil)
	if !m.ID.Zero() {
		e.ID = m.ID
	}
	entries := []sootline.Entry{e}
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		line, seen, err := a.lineIn(tx, site, m.Entry)
		if err != nil {
			return err
		}
		if err := m.overtaken(tx, site, line); err != nil {
			return err
		}
		body, err := says(tx, line)
		if err != nil {
			return err
		}
		entries[0].Body = sootline.InSightOf(body, seen)
		return a.appendOnce(tx, site, entries)
	})
	return entries[0], err
}

// lineIn finds an entry as a transaction sees it, with the amendment that holds for
// it, and those in sight of which it would be amended now.
func (a *App) lineIn(tx *store.Tx, site, id sootline.ID) (line LogLine, seen []sootline.ID, err error) {
	e, err := first(tx.Find(site, id))
	if err != nil {
		return line, nil, err
	}
	if e == nil {
		return line, nil, noEntry(id)
	}
	amendments, err := someOf(tx.LinesOfKinds(site, sootline.CorrectedKind, sootline.WithdrawnKind))
	if err != nil {
		return line, nil, err
	}
	return LogLine{Entry: *e, Amended: sootline.NewLog(amendments).Amendment(id)}, sootline.Unsurpassed(amendments, id), nil
}

// someOf gathers the entries of lines.
func someOf(lines iter.Seq2[store.Line, error]) (entries []sootline.Entry, err error) {
	for line, err := range lines {
		if err != nil {
			return nil, err
		}
		entries = append(entries, line.Entry)
	}
	return entries, nil
}

func isNoted(tx *store.Tx, site, id sootline.ID) (bool, error) {
	if id.Zero() {
		return false, nil
	}
	held, err := tx.Has(site, id)
	return held[id], err
}

// overtaken refuses an amendment of what holds no more.
func (m Amendment) overtaken(tx *store.Tx, site sootline.ID, line LogLine) error {
	if m.Seen == nil {
		return nil
	}
	holds := sootline.ID{}
	if line.Amended != nil {
		holds = line.Amended.ID
	}
	if there, err := isNoted(tx, site, m.ID); err != nil || there || holds == m.Seen.Amendment {
		return err
	}
	return sootline.Errorf(sootline.Conflict, "look at what holds now, and amend that", "somebody else amended this entry meanwhile")
}

// stands refuses to amend what was taken back.
func (l LogLine) stands() error {
	if l.Amended == nil {
		return nil
	}
	if _, gone := l.Amended.Body.(sootline.Withdrawn); !gone {
		return nil
	}
	return sootline.Errorf(sootline.Conflict, "withdraw the withdrawal first, where it is to hold again", "this entry was taken back").Do(sootline.WithdrawEntry, l.Amended.ID.String())
}

// changes refuses a correction that changes nothing, and one of what was taken back.
func changes(line LogLine, holds sootline.Entry, c sootline.Corrected) error {
	if err := line.stands(); err != nil {
		return err
	}
	said := holds
	said.At, said.Day, said.Point, said.Body = c.At, c.Day, c.Point, c.Body
	same, err := saysTheSame(holds, said)
	if err != nil {
		return err
	}
	if same && holds.At.Equal(c.At) && holds.Day == c.Day {
		return sootline.Errorf(sootline.Invalid, "say what it should have said", "nothing is changed")
	}
	return nil
}
