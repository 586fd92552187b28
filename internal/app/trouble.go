package app

import (
	"context"
	"errors"
	"slices"

	"sootline"
	"sootline/internal/store"
)

// ForSite does work on one site beside others, and keeps to it what goes wrong there:
// a log that cannot be read, or work that panics, becomes an error that names the site,
// says why it cannot be shown, and what can still be done. Only where nobody waits any
// more is the error the context's own, and the work on the others ends too.
func ForSite(ctx context.Context, site store.SiteLine, work func() error) (err error) {
	defer func() {
		if gone := ctx.Err(); gone != nil {
			err = gone
		} else {
			err = cannotShow(site, err)
		}
	}()
	defer sootline.Caught(&err)
	if site.Trouble != nil {
		return site.Trouble
	}
	return work()
}

// cannotShow tells why a site cannot be shown. It is told once: work for a site may be
// part of other work for it.
func cannotShow(site store.SiteLine, err error) error {
	if err == nil {
		return nil
	}
	if _, told := errors.AsType[*siteTrouble](err); told {
		return err
	}
	told := sootline.Errorf(sootline.ErrorCode(err), "", "site %s cannot be shown: %w", site.Name, err)
	switch told.Code {
	case "":
		told = sootline.Errorf(sootline.Unforeseen, "its log is untouched: hand it to whoever looks after the program, with the server's log", "site %s cannot be shown: the program fails at what its log holds, which nobody foresaw", site.Name).Do(sootline.ExportLog)
		told.Err = err
	default:
		told.Ways = slices.Clone(sootline.ErrorWays(err))
	}
	if told.Code == sootline.Damaged && site.Trouble == nil {
		told.Ways = told.Ways.Or("what can be read of its log can be saved first, and imported after that").Do(sootline.ExportReadable)
	}
	told.Err = &siteTrouble{told.Err}
	return told
}

// siteTrouble marks trouble of which it was told whose it is.
type siteTrouble struct{ error }

func (t *siteTrouble) Unwrap() error { return t.error }

// Readable reads a site's log through, for a list that says of which it cannot be read.
func (a *App) Readable(ctx context.Context, site store.SiteLine) error {
	return ForSite(ctx, site, func() error {
		if err := a.Who.MaySee(site.ID); err != nil {
			return err
		}
		for _, err := range a.Book.Lines(ctx, site.ID) {
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// inSite names the site whose log cannot be read.
func inSite(ctx context.Context, site store.SiteLine, err error) error {
	if gone := ctx.Err(); gone != nil {
		return err
	}
	return cannotShow(site, err)
}

// ofOneSite reports whether trouble is a site's own: what its log holds, and not a
// machine that does not answer, or somebody who waits no more.
func ofOneSite(err error) bool {
	code := sootline.ErrorCode(err)
	return code == sootline.Damaged || code == sootline.Newer || code == sootline.Unforeseen
}
