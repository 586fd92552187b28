package app

import (
	"context"

	"sootline"
	"sootline/internal/store"
)

// PointMove is where a point goes: to another loop, to another number that was set on its
// device, or both.
type PointMove struct {
	Point  sootline.ID
	Loop   sootline.LoopID
	Number int  // that was set on it; 0: it keeps the one it has
	Sure   bool // whoever writes is certain of what may be a slip
}

// MovePoint writes down that a point went to another loop, and which number was set on its
// device, in one transaction. What holds on the loop that it leaves alone, its turn and the
// cable before it, does not go with it. A number that another device has is asked about.
func (a *App) MovePoint(ctx context.Context, site sootline.ID, move PointMove) ([]sootline.Entry, error) {
	var entries []sootline.Entry
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		if there, err := isNoted(tx, site, a.Form); err != nil || there {
			return err // this form was handed in before
		}
		places, err := a.placesIn(tx, site)
		if err != nil {
			return err
		}
		p := places.FoldPlaces(Always).Point(move.Point)
		if p == nil || !p.Placed {
			return sootline.Errorf(sootline.NotFound, "look for it in the table of points", "there is no point of the id %s", move.Point).Do(sootline.ListPoints)
		}
		if entries = move.entries(a, site, p); len(entries) == 0 {
			return sootline.Errorf(sootline.Invalid, "choose another loop, or write another number", "nothing is changed by it")
		}
		if err := a.doubtMove(tx, site, places, move, entries); err != nil {
			return err
		}
		return a.appendAll(tx, site, a.named(entries))
	})
	return entries, err
}

func (m *PointMove) entries(a *App, site sootline.ID, p *sootline.Point) []sootline.Entry {
	var entries []sootline.Entry
	if place := p.Place; m.Loop != p.LoopID() {
		place.Panel, place.Loop = m.Loop.Panel, m.Loop.Name
		place.Order, place.Metres, place.Spur = 0, nil, 0
		entries = append(entries, a.entry(site, a.Now(), p.ID, sootline.Moved{Place: place}))
	}
	if m.Number != 0 && m.Number != p.Stands.Number {
		entries = append(entries, a.entry(site, a.Now(), p.ID, sootline.Addressed{Set: m.Number}))
	}
	return entries
}

// doubtMove refuses a number that cannot have been set, and asks about one that another
// device has on the loop to which the point goes.
func (a *App) doubtMove(tx *store.Tx, site sootline.ID, places *sootline.Log, move PointMove, entries []sootline.Entry) error {
	for i := range entries {
		if err := a.refuseIn(tx, site, &entries[i]); err != nil {
			return err
		}
	}
	if move.Sure {
		return nil
	}
	r := places.With(entries).FoldPlaces(Always)
	p := r.Point(move.Point)
	if other := sharesNumber(r, p, p.Ref()); other != nil {
		return doubtful("number %s is that of another device, %s", p.Ref(), sootline.Joined(other.Location, other.Area, other.Type))
	}
	if said, ok := entries[len(entries)-1].Body.(sootline.Addressed); ok {
		return doubtSaid(r, p, said)
	}
	return nil
}

// sharesNumber gives another point that goes by a reference; nil: none does.
func sharesNumber(r *sootline.Register, p *sootline.Point, ref sootline.Ref) *sootline.Point {
	for _, other := range r.Points() {
		if other.ID != p.ID && ref.Number != 0 && other.Ref() == ref {
			return other
		}
	}
	return nil
}
