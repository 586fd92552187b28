package app

import (
	"context"
	"errors"
	"slices"
	"time"

	"sootline"
	"sootline/internal/keep"
)

// present looks whether what was kept in places is still there, notes where it is not,
// and gives those that a backup may go to. A place that was used and is not there any
// more is none: its disk may not be mounted, and what is made in its stead would lie on
// the disk of the book.
func (a *App) present(ctx context.Context, places []keep.Place, now time.Time) (there []keep.Place, err error) {
	state, err := keep.ReadState(BackupsFile(a.Book.Path()))
	if err != nil {
		return places, nil // whoever notes what comes of it tells why
	}
	for _, place := range places {
		p := state.Places[place.String()]
		if p.Last == nil {
			there = append(there, place)
			continue
		}
		all, failed := keep.List(ctx, place)
		absent := sootline.ErrorCode(failed) == sootline.NotFound
		if failed == nil || absent {
			err = errors.Join(err, a.changePlace(place, func(p *keep.PlaceState) { p.Miss(all, now) }))
		}
		if absent {
			err = errors.Join(err, a.noteFailed([]keep.Place{place}, now, absentNow(*p.Last, failed)))
			continue
		}
		there = append(there, place) // where it does not answer, writing to it tells why
	}
	return there, err
}

func absentNow(kept keep.Copy, err error) error {
	return sootline.Errorf(sootline.NotFound, "mount its disk; where it is gone for good, make it anew yourself, or name another place",
		"%w any more, where backup %s was kept", err, kept.Name())
}

func (a *App) changePlace(place keep.Place, change func(*keep.PlaceState)) error {
	return keep.Change(BackupsFile(a.Book.Path()), func(s *keep.State) {
		p := s.Places[place.String()]
		change(&p)
		s.Places[place.String()] = p
	})
}

// GoneFrom says what was kept in a place and is not there any more; nil: nothing is missed.
func (a *App) GoneFrom(place keep.Place) error {
	if a.Book == nil {
		return nil
	}
	state, err := keep.ReadState(BackupsFile(a.Book.Path()))
	if err != nil {
		return err
	}
	if gone := state.Places[place.String()].Gone; gone != nil {
		return sootline.Errorf(sootline.NotFound, "look whether its disk is mounted, and who took it away; a drill by hand that passes takes this notice away",
			"backup %s was kept in %s and is not there any more", gone.Copy.Name(), place)
	}
	return nil
}

// BackedUp gives when the newest backup began that is known of and that lies in its place
// now: what was acknowledged before is in it. The zero time: none is known to lie there.
// Places beside those of the schedule count where this machine can look into them.
func (a *App) BackedUp(keeping *Keeping) (newest time.Time, err error) {
	state, err := a.backupState()
	if err != nil {
		return newest, err
	}
	for text, p := range state.Places {
		all, err := a.liesIn(keeping, text)
		if err != nil {
			continue // it may hold all or nothing
		}
		if began := p.Newest(all, a.Now()); began.After(newest) {
			newest = began
		}
	}
	return newest, nil
}

// liesIn lists what lies in a place that is known by its name.
func (a *App) liesIn(keeping *Keeping, text string) ([]keep.Copy, error) {
	place, err := keeping.placeOf(text)
	if err != nil {
		return nil, err
	}
	if a.Kept == nil {
		return new(keep.Sight).List(place)
	}
	return a.Kept.Sight.List(place)
}

// placeOf gives a place of the schedule by its name, or a folder that is none of it.
func (k *Keeping) placeOf(text string) (keep.Place, error) {
	if k != nil {
		if n := slices.IndexFunc(k.Places, func(p keep.Place) bool { return p.String() == text }); n >= 0 {
			return k.Places[n], nil
		}
	}
	return keep.Open(text, keep.Storage{})
}
