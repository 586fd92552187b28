package app

import (
	"context"

	"sootline"
	"sootline/internal/store"
)

// PlaceChange is what is said anew of the place of points; nil stays as it is.
type PlaceChange struct {
	Location, Area, Zone, Floor *string
}

// DescribePoints says anew where points are, keeping what is not said anew: an entry for
// each that becomes another, in one transaction.
func (a *App) DescribePoints(ctx context.Context, site sootline.ID, points []sootline.ID, change PlaceChange) ([]sootline.Entry, error) {
	return a.alike(ctx, site, points, func(p *sootline.Point) sootline.Body {
		if place := change.of(p.Place); place != p.Place {
			return sootline.Moved{Place: place}
		}
		return nil
	})
}

// of gives the place as it is with the change.
func (c *PlaceChange) of(p sootline.Place) sootline.Place {
	for _, one := range []struct{ into, text *string }{{&p.Location, c.Location}, {&p.Area, c.Area}, {&p.Zone, c.Zone}, {&p.Floor, c.Floor}} {
		if one.text != nil {
			*one.into = *one.text
		}
	}
	return p
}

// RemovePoints says that points are no more: an entry for each, in one transaction.
// Their history stays.
func (a *App) RemovePoints(ctx context.Context, site sootline.ID, points []sootline.ID, why string) ([]sootline.Entry, error) {
	return a.alike(ctx, site, points, func(p *sootline.Point) sootline.Body {
		if p.Removed != nil {
			return nil
		}
		return sootline.Removed{Text: why}
	})
}

// alike writes an entry about each of several points, all or none; says gives none where
// there is nothing to write.
func (a *App) alike(ctx context.Context, site sootline.ID, points []sootline.ID, says func(*sootline.Point) sootline.Body) ([]sootline.Entry, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	if len(points) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "choose points first", "no point was chosen").Do(sootline.ListPoints)
	}
	if len(points) > mostDeed {
		return nil, sootline.Errorf(sootline.Invalid, "choose fewer, and go on with the others after", "%d points at once are more than %d", len(points), mostDeed)
	}
	var entries []sootline.Entry
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		if there, err := isNoted(tx, site, a.Form); err != nil || there {
			return err // this form was handed in before
		}
		places, err := a.placesIn(tx, site)
		if err != nil {
			return err
		}
		r := places.FoldPlaces(Always)
		entries = nil
		for _, id := range points {
			p := r.Point(id)
			if p == nil || !p.Placed {
				return sootline.Errorf(sootline.NotFound, "look for it in the table of points", "there is no point of the id %s", id).Do(sootline.ListPoints)
			}
			if body := says(p); body != nil {
				entries = append(entries, a.entry(site, a.Now(), id, body))
			}
		}
		if len(entries) == 0 {
			return sootline.Errorf(sootline.Invalid, "say what is to be otherwise", "nothing is changed by it")
		}
		return a.appendAll(tx, site, a.named(entries))
	})
	return entries, err
}
