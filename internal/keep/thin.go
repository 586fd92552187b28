package keep

import (
	"context"
	"errors"
	"time"
)

// How long all copies stay, and then one of each day.
const (
	AllFor   = 2 * 24 * time.Hour
	DailyFor = 60 * 24 * time.Hour
)

// TooMany gives the copies that thinning removes: of those older than two days
// all but the newest of each day, of those older than sixty days all but the
// newest of each month (UTC). The newest of all stays in any case. The copies
// are in order, the newest first, as [List] gives them.
func TooMany(all []Copy, now time.Time) (drop []Copy) {
	days, months := map[string]bool{}, map[string]bool{}
	for i, c := range all {
		day, month := c.At.UTC().Format(time.DateOnly), c.At.UTC().Format("2006-01")
		age := now.Sub(c.At)
		if i > 0 && (age > DailyFor && months[month] || age > AllFor && days[day]) {
			drop = append(drop, c)
		}
		days[day], months[month] = true, true
	}
	return drop
}

// Thin removes from a place what is too much, but nothing of a name that is to
// stay, and what was begun more than a day ago and never finished.
func Thin(ctx context.Context, place Place, now time.Time, stays func(name string) bool) error {
	all, err := List(ctx, place)
	if err != nil {
		return err
	}
	for _, c := range TooMany(all, now) {
		if !stays(c.Name()) {
			err = errors.Join(err, place.Remove(ctx, c.Name()))
		}
	}
	return errors.Join(err, place.Sweep(ctx, now.Add(-24*time.Hour)))
}
