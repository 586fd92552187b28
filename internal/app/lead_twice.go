package app

import (
	"context"
	"time"

	"sootline"
)

// notNoted refuses a defect that is written down already, and still open.
func (a *App) notNoted(ctx context.Context, site sootline.ID, point string, d *sootline.Defect) error {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return err
	}
	for _, open := range r.OpenDefects() {
		at := ""
		if p := open.Point; p != nil {
			at = p.Ref().String()
		}
		if open.Text == d.Text && open.Place == d.Place && at == point {
			return sootline.Errorf(sootline.Conflict, "mend it, or withdraw it", "this fault is written down already, on %s", open.Since.Format(time.DateOnly))
		}
	}
	return nil
}
