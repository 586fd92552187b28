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
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
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
	if other := sharesNumber(before, p, ref); other != nil {
		return doubtful("number %s is that of another device, %s", ref, sootline.Joined(other.Location, other.Area, other.Type))
	}
	return nil
}
