package app

import (
	"context"
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/store"
)

// takenBack is why what was written at the bench is withdrawn.
const takenBack = "taken back at the bench"

// BenchUndone is what was taken back.
type BenchUndone struct {
	sootline.BenchRecord
	Says string // which place, with which number, and what was done there
}

// BenchUndo takes back what was last done in a run by whoever asks, or the record
// of that id, with all that was written with it. It gives what was taken back. Where
// the last thing they did was to take something back, going on is asked about. In a
// run that has ended nothing is taken back: its place could not be set again.
func (a *App) BenchUndo(ctx context.Context, site store.SiteLine, run string, record sootline.ID, sure bool) (BenchUndone, error) {
	var undone BenchUndone
	err := a.benching(ctx, site, run, func(b *BenchRun) ([]sootline.Entry, error) {
		if b.Closed != nil {
			return nil, benchEnded(b)
		}
		log, err := a.LogOf(ctx, site.ID)
		if err != nil {
			return nil, err
		}
		rec, err := b.undoable(record, a.Who)
		if err != nil {
			return nil, err
		}
		undone = BenchUndone{rec, b.RecordWords(&rec)}
		if again := b.undoneAfter(log, rec.Entry, a.Who); again && record.Zero() && !sure {
			return nil, sootline.Errorf(sootline.Doubtful, "take that back too, or go on with the run", "you took something back already; what you did before it is %s", undone.Says).
				Do(sootline.Give, "sure")
		}
		return a.takingBack(site.ID, log, append([]sootline.ID{rec.Entry.ID}, rec.With...), takenBack), nil
	})
	return undone, err
}

// RecordWords says of a record which place and which number it is about, and what was
// done.
func (b *BenchRun) RecordWords(rec *sootline.BenchRecord) string {
	said := strings.TrimPrefix(sootline.Say(rec.Benched), "at the bench: ")
	place := b.Place(rec.Entry.Point)
	if place == nil {
		return said
	}
	name, where, number := place.Name(), place.Where(), ""
	if n := b.Carries(place, rec); rec.Outcome == sootline.BenchDone && n != 0 && n != place.Number {
		number = fmt.Sprintf("number %d", n)
	}
	if where == name {
		where = ""
	}
	return sootline.Joined(name, where, number, said)
}

// undoneAfter reports whether a person took something of the run back after an entry.
func (b *BenchRun) undoneAfter(log *sootline.Log, after *sootline.Entry, who sootline.Actor) bool {
	ofRun := map[sootline.ID]bool{}
	for _, e := range log.Entries() {
		if said, ok := e.Body.(sootline.Benched); ok && said.Run == b.ID {
			ofRun[e.ID] = true
		}
	}
	for _, e := range log.Entries() {
		said, ok := e.Body.(sootline.Withdrawn)
		if ok && said.Why == takenBack && ofRun[said.Entry] && store.SameName(e.By, who.Name) && !e.At.Before(after.At) && later(e, after) {
			return true
		}
	}
	return false
}

// undoable finds the record to take back: the one of that id, else the last of a
// person; on a phone, of those written on it, for it amends no others.
func (b *BenchRun) undoable(record sootline.ID, who sootline.Actor) (sootline.BenchRecord, error) {
	var last *sootline.BenchRecord
	for i := range b.Records {
		rec := &b.Records[i]
		own := store.SameName(rec.Entry.By, who.Name) && (!who.Phone || sootline.StationOf(rec.Entry.Station) == sootline.StationOf(who.Station))
		if rec.Entry.ID == record || record.Zero() && own && (last == nil || later(rec.Entry, last.Entry)) {
			last = rec
		}
	}
	if last != nil {
		return *last, nil
	}
	if !record.Zero() {
		return sootline.BenchRecord{}, sootline.Errorf(sootline.NotFound, "see how the run stands", "nothing of that id stands in this run").Do(sootline.ShowBench, b.ID.String())
	}
	return sootline.BenchRecord{}, sootline.Errorf(sootline.NotFound, "see how the run stands", "nothing of yours is there to take back").Do(sootline.ShowBench, b.ID.String())
}

// later reports whether an entry was written after another one, which comes before it
// in the log: of one instant, the station's own count tells.
func later(e, than *sootline.Entry) bool {
	return !e.At.Equal(than.At) || e.Station != than.Station || e.Seq > than.Seq
}

// ReopenBench lets a run that has ended go on: what says that it ended is taken back.
func (a *App) ReopenBench(ctx context.Context, site store.SiteLine, run string) (*BenchRun, error) {
	var id sootline.ID
	err := a.benching(ctx, site, run, func(b *BenchRun) ([]sootline.Entry, error) {
		if id = b.ID; b.Closed == nil {
			return nil, sootline.Errorf(sootline.Conflict, "go on with it", "%s is open", b.Title()).Do(sootline.ShowBench, b.ID.String())
		}
		log, err := a.LogOf(ctx, site.ID)
		if err != nil {
			return nil, err
		}
		var ends []sootline.ID // two people may have ended it
		for _, e := range log.Entries() {
			if said, ok := e.Body.(sootline.Bench); ok && said.State == sootline.BenchClosed && said.Run == b.ID {
				ends = append(ends, e.ID)
			}
		}
		return a.takingBack(site.ID, log, ends, "the run goes on"), nil
	})
	if err != nil {
		return nil, err
	}
	return a.Bench(ctx, site, id.String())
}

// takingBack withdraws entries, where they still stand.
func (a *App) takingBack(site sootline.ID, log *sootline.Log, ids []sootline.ID, why string) []sootline.Entry {
	there := map[sootline.ID]bool{}
	for _, e := range log.Entries() {
		there[e.ID] = true
	}
	var entries []sootline.Entry
	for _, id := range ids {
		standing := log.Amendment(id)
		if !there[id] || standing != nil && standing.Body.Kind() == sootline.WithdrawnKind {
			continue
		}
		withdrawn := sootline.Withdrawn{Entry: id, Why: why}
		if standing != nil {
			withdrawn.Seen = []sootline.ID{standing.ID}
		}
		entries = append(entries, a.entry(site, a.Now(), sootline.ID{}, withdrawn))
	}
	return entries
}
