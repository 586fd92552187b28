package app

import (
	"context"
	"reflect"

	"sootline"
	"sootline/internal/address"
)

// checkSheet refuses a type sheet that is impossible, and one that says how its
// number is set in words that nobody can read.
func checkSheet(sheet *sootline.TypeSheet) error {
	if err := sheet.Check(); err != nil {
		return err
	}
	_, err := address.SetterOf(sheet)
	return err
}

// SetSheet states a type sheet: as known since always for a type that was not
// known, and from now on where it changes what was known. A sheet that says what
// the book says already adds nothing.
func (a *App) SetSheet(ctx context.Context, site sootline.ID, sheet sootline.TypeSheet) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	if err := checkSheet(&sheet); err != nil {
		return err
	}
	return a.settle(ctx, site, func() ([]sootline.Entry, error) {
		r, err := a.Register(ctx, site, a.Now())
		if err != nil {
			return nil, err
		}
		at := sootline.LongAgo
		if known := r.Sheet(sheet.Name); known != nil {
			if reflect.DeepEqual(*known, sheet) {
				return nil, nil
			}
			at = a.Now()
		}
		return []sootline.Entry{a.entry(site, at, sootline.ID{}, sootline.Sheet{TypeSheet: sheet})}, nil
	})
}
