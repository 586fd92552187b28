package app

import (
	"context"

	"sootline"
	"sootline/internal/store"
)

// BenchUndo takes back what was last done in a run by whoever asks, or the record
// of that id, with all that was written with it. It gives what was taken back.
func (a *App) BenchUndo(ctx context.Context, site store.SiteLine, run string, record sootline.ID) (sootline.BenchRecord, error) {
	var undone sootline.BenchRecord
	err := a.benching(ctx, site, run, func(b *BenchRun) ([]sootline.Entry, error) {
		log, err := a.LogOf(ctx, site.ID)
		if err != nil {
			return nil, err
		}
		undone, err = b.undoable(record, a.Who)
		if err != nil {
			return nil, err
		}
		return a.takingBack(site.ID, log, undone), nil
	})
	return undone, err
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

// takingBack withdraws a record and what was written with it, where that still stands.
func (a *App) takingBack(site sootline.ID, log *sootline.Log, rec sootline.BenchRecord) []sootline.Entry {
	there := map[sootline.ID]bool{}
	for _, e := range log.Entries() {
		there[e.ID] = true
	}
	var entries []sootline.Entry
	for _, id := range append([]sootline.ID{rec.Entry.ID}, rec.With...) {
		standing := log.Amendment(id)
		if !there[id] || standing != nil && standing.Body.Kind() == sootline.WithdrawnKind {
			continue
		}
		withdrawn := sootline.Withdrawn{Entry: id, Why: "taken back at the bench"}
		if standing != nil {
			withdrawn.Seen = []sootline.ID{standing.ID}
		}
		entries = append(entries, a.entry(site, a.Now(), sootline.ID{}, withdrawn))
	}
	return entries
}
