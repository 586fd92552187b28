package app

import (
	"context"
	"time"

	"sootline"
	"sootline/internal/store"
)

// UndoReplacement takes back the last replacement that whoever asks wrote down at a point,
// with all that was written with it: the number, the settings, the value, and that the
// device is missing where it came from. It gives what was taken back.
func (a *App) UndoReplacement(ctx context.Context, site store.SiteLine, place string) (*sootline.Entry, error) {
	var undone *sootline.Entry
	err := a.settle(ctx, site.ID, func() ([]sootline.Entry, error) {
		r, err := a.Register(ctx, site.ID, time.Time{})
		if err != nil {
			return nil, err
		}
		p, err := PointNamed(r, place)
		if err != nil {
			return nil, err
		}
		log, err := a.LogOf(ctx, site.ID)
		if err != nil {
			return nil, err
		}
		if undone, err = lastReplacement(r, p, a.Who); err != nil {
			return nil, err
		}
		return a.takingBack(site.ID, log, append([]sootline.ID{undone.ID}, writtenWith(log, undone)...), takenBack), nil
	})
	return undone, err
}

// lastReplacement finds the replacement of a device that is there now; that of somebody
// else, and one that was written in a run, are not taken back here.
func lastReplacement(r *sootline.Register, p *sootline.Point, who sootline.Actor) (*sootline.Entry, error) {
	last := p.LastReset().Entry
	switch {
	case last == nil || last.Body.Kind() != sootline.ReplacedKind:
		return nil, sootline.Errorf(sootline.NotFound, "see what was written of the point", "no replacement was the last to be written down at %s", p.Ref()).Do(sootline.ListPoints)
	case r.InBench(last):
		return nil, sootline.Errorf(sootline.Conflict, "take it back there", "the device at %s was set in a run at the bench", p.Ref()).Do(sootline.UndoBench)
	case !store.SameName(last.By, who.Name):
		return nil, sootline.Errorf(sootline.Conflict, "have them take it back; or withdraw the entry", "%s wrote down the replacement at %s", last.By, p.Ref()).
			Do(sootline.WithdrawEntry, last.ID.String())
	}
	return last, nil
}

// writtenWith lists the entries of the act that a replacement begins: of the same hand and
// instant, one after another.
func writtenWith(log *sootline.Log, first *sootline.Entry) []sootline.ID {
	at := map[int64]*sootline.Entry{}
	for _, e := range log.Entries() {
		if e.Station == first.Station && e.At.Equal(first.At) && e.By == first.By && (e.Point == first.Point || e.Body.Kind() == sootline.DefectKind) {
			at[e.Seq] = e
		}
	}
	var ids []sootline.ID
	for seq := first.Seq + 1; at[seq] != nil; seq++ {
		ids = append(ids, at[seq].ID)
	}
	return ids
}
