package keep

import (
	"context"
	"time"

	"sootline"
)

// Choose gives the newest copy, or the newest not after an instant. The newest is
// refused where it is dated after now: a clock was wrong, and it may be older than others.
func Choose(ctx context.Context, place Place, until, now time.Time) (Copy, error) {
	all, err := List(ctx, place)
	if err != nil {
		return Copy{}, err
	}
	if until.IsZero() && len(all) > 0 && all[0].At.After(now) {
		return all[0], ahead(all, place, now)
	}
	for _, kept := range all {
		if until.IsZero() || !kept.At.After(until) {
			return kept, nil
		}
	}
	if len(all) > 0 {
		return Copy{}, sootline.Errorf(sootline.NotFound, "name a later time", "the earliest backup in %s is of %s", place, asAt(all[len(all)-1]))
	}
	return Copy{}, sootline.Errorf(sootline.NotFound, "keep one there first, or name another place", "there is no backup in %s", place)
}

// ahead says that the newest copy is dated after now, and how to name one.
func ahead(all []Copy, place Place, now time.Time) error {
	err := sootline.Errorf(sootline.Conflict, "", "backup %s in %s is dated after now, which is %s: a clock was wrong when it was made, or is wrong here",
		all[0].Name(), place, now.UTC().Format(time.RFC3339))
	if kept, ok := before(all, now.Add(time.Second)); ok {
		err.Ways = err.Ways.Or("take the newest that is not, "+kept.Name()).Do(sootline.Give, "at", asAt(kept))
	}
	err.Ways = err.Ways.Or("take that one, where its date is right or you know what it holds").Do(sootline.Give, "at", asAt(all[0]))
	return err
}

// asAt gives the time by which a copy is chosen.
func asAt(kept Copy) string { return kept.At.UTC().Format(time.RFC3339) }

// before gives the newest copy that began before an instant.
func before(all []Copy, at time.Time) (Copy, bool) {
	for _, kept := range all {
		if kept.At.Before(at) {
			return kept, true
		}
	}
	return Copy{}, false
}

// Instead gives the ways out of a copy that is bad: the one before it, by its time.
func Instead(ctx context.Context, place Place, bad Copy) sootline.Ways {
	all, err := List(ctx, place)
	kept, ok := before(all, bad.At)
	switch {
	case err != nil:
		return sootline.Out("take an earlier one, where the place holds one")
	case !ok:
		return sootline.Out("look for one in another place: none in this one is earlier")
	}
	return sootline.Out("take an earlier one, such as "+kept.Name()).Do(sootline.Give, "at", asAt(kept))
}
