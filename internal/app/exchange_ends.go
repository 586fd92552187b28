package app

import (
	"context"

	"sootline/internal/exchange"
)

// Lacks is how much is still to go between this book and another, as far as this one
// knows: the other's vectors are as old as its parcel.
type Lacks struct {
	Here, There int // sites of which lines or photos are lacking
}

// None reports whether both books hold the same.
func (l Lacks) None() bool { return l.Here+l.There == 0 }

// Lacks holds the vectors of another book against this one.
func (a *App) Lacks(ctx context.Context, theirs *exchange.Parcel) (l Lacks, err error) {
	for _, v := range theirs.Vectors {
		site, err := a.offered(ctx, v)
		if err != nil {
			return l, err
		}
		if site == nil {
			if len(v.Held) > 0 && a.Who.MayKeepBook() == nil {
				l.Here++
			}
			continue
		}
		mine, err := a.vector(ctx, *site)
		if err != nil {
			return l, err
		}
		there, err := exchange.Lacking(mine.Held, v.Held)
		if err != nil {
			return l, inSite(ctx, *site, err)
		}
		here, err := exchange.Lacking(v.Held, mine.Held)
		if err != nil {
			return l, inSite(ctx, *site, err)
		}
		if len(there)+len(v.Photos) > 0 {
			l.There++
		}
		if len(here)+len(mine.Photos) > 0 {
			l.Here++
		}
	}
	return l, nil
}
