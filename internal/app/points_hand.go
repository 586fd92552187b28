package app

import (
	"context"
	"strings"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/store"
)

// NewPoint is a device that is added by hand, with the place where it is.
type NewPoint struct {
	sootline.Place
	Number int    // that it has; 0: nobody said
	Type   string // of the device
	Serial string
	At     time.Time // since when it is there; zero: now
	Day    bool      // only the day is known
	Sure   bool      // whoever writes is certain of what may be a slip
}

// AddPoint adds a device at a place of its own: an entry that it is fitted, and one of
// its number. What may be a slip is asked about before either is written; handed in
// twice, by the form of the [App], it adds one device.
func (a *App) AddPoint(ctx context.Context, site sootline.ID, in NewPoint) ([]sootline.Entry, error) {
	in.Type = strings.TrimSpace(in.Type)
	if in.Type == "" {
		return nil, sootline.Errorf(sootline.Invalid, "write the type as the schedule or the device has it", "a device needs its type")
	}
	if err := a.happened(in.At); err != nil {
		return nil, err
	}
	if a.Form.Zero() {
		form := *a
		form.Form = sootline.NewID(a.Now(), a.Random())
		a = &form
	}
	entries := a.named(in.entries(a, site, a.Form.Part(mostDeed)))
	return entries, a.writeTo(ctx, site, func(tx *store.Tx) error {
		there, err := isNoted(tx, site, a.Form)
		if err == nil && !there && !in.Sure {
			err = a.doubtPoint(tx, site, entries)
		}
		if err != nil || there {
			return err
		}
		for i := range entries {
			if err := entries[i].CheckNew(); err != nil {
				return err
			}
		}
		return a.appendAll(tx, site, entries)
	})
}

func (in *NewPoint) entries(a *App, site, point sootline.ID) []sootline.Entry {
	at := a.dated(in.At, in.Day)
	fitted := a.entry(site, at, point, sootline.Fitted{Place: in.Place, Type: in.Type, Unit: sootline.Unit{Serial: in.Serial}})
	fitted.Day = in.Day
	entries := []sootline.Entry{fitted}
	if in.Number != 0 {
		has := a.entry(site, at, point, sootline.Addressed{Listed: in.Number})
		has.Day = in.Day
		entries = append(entries, has)
	}
	return entries
}

// doubtPoint asks about a device that may be a slip: a type that nobody knows, a number
// that its loop does not allow or that another device has.
func (a *App) doubtPoint(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	places, err := a.placesIn(tx, site)
	if err != nil {
		return err
	}
	before := places.FoldPlaces(Always)
	fitted := entries[0].Body.(sootline.Fitted)
	if err := doubtType(before, fitted.Type); err != nil && len(before.Points()) > 0 {
		return err
	}
	if len(entries) == 1 {
		return nil
	}
	r := places.With(entries[:1]).FoldPlaces(Always)
	p, has := r.Point(entries[0].Point), entries[1].Body.(sootline.Addressed)
	if why := address.Doubt(r, p, has); why != "" {
		return doubtful("%s", why)
	}
	ref := p.Ref()
	ref.Number = has.Listed
	for _, other := range before.Points() {
		if other.Ref() == ref {
			return doubtful("number %s is that of another device, %s", ref, sootline.Joined(other.Location, other.Area, other.Type))
		}
	}
	return nil
}

// PlaceChange is what is said anew of the place of points; nil stays as it is.
type PlaceChange struct {
	Loop                        *sootline.LoopID
	Location, Area, Zone, Floor *string
}

// DescribePoints says anew where points are, keeping what is not said anew: an entry for
// each that becomes another, in one transaction. Sure: a number that is taken on the
// loop to which one goes is no slip.
func (a *App) DescribePoints(ctx context.Context, site sootline.ID, points []sootline.ID, change PlaceChange, sure bool) ([]sootline.Entry, error) {
	return a.alike(ctx, site, points, func(r *sootline.Register, p *sootline.Point) (sootline.Body, error) {
		place := change.of(p.Place)
		if place == p.Place {
			return nil, nil
		}
		if !sure && place.Panel+"."+place.Loop != p.LoopID().String() {
			if err := doubtLoop(r, p, place); err != nil {
				return nil, err
			}
		}
		return sootline.Moved{Place: place}, nil
	})
}

// of gives the place as it is with the change. What holds on one loop alone does not go
// to another one.
func (c *PlaceChange) of(p sootline.Place) sootline.Place {
	if c.Loop != nil && (c.Loop.Panel != p.Panel || c.Loop.Name != p.Loop) {
		p.Panel, p.Loop = c.Loop.Panel, c.Loop.Name
		p.Order, p.Metres, p.Spur = 0, nil, 0
	}
	for _, one := range []struct {
		into *string
		text *string
	}{{&p.Location, c.Location}, {&p.Area, c.Area}, {&p.Zone, c.Zone}, {&p.Floor, c.Floor}} {
		if one.text != nil {
			*one.into = *one.text
		}
	}
	return p
}

// doubtLoop asks about a point that goes to a loop where another has its number.
func doubtLoop(r *sootline.Register, p *sootline.Point, place sootline.Place) error {
	ref := p.Ref()
	ref.Panel, ref.Loop = place.Panel, place.Loop
	for _, other := range r.Points() {
		if other != p && ref.Number != 0 && other.Ref() == ref {
			return doubtful("number %s is that of another device, %s", ref, sootline.Joined(other.Location, other.Area, other.Type))
		}
	}
	return nil
}

// RemovePoints says that points are no more: an entry for each, in one transaction.
// Their history stays.
func (a *App) RemovePoints(ctx context.Context, site sootline.ID, points []sootline.ID, why string) ([]sootline.Entry, error) {
	return a.alike(ctx, site, points, func(_ *sootline.Register, p *sootline.Point) (sootline.Body, error) {
		if p.Removed != nil {
			return nil, nil
		}
		return sootline.Removed{Text: why}, nil
	})
}

// alike writes an entry about each of several points, all or none; says gives none where
// there is nothing to write.
func (a *App) alike(ctx context.Context, site sootline.ID, points []sootline.ID, says func(*sootline.Register, *sootline.Point) (sootline.Body, error)) ([]sootline.Entry, error) {
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
			body, err := says(r, p)
			if err != nil {
				return err
			}
			if body != nil {
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
