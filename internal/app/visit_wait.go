package app

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"maps"
	"slices"
	"time"

	"sootline"
)

// MarkOf names how far a site's log has come: it is another one whenever something was added, by whichever process.
func (a *App) MarkOf(ctx context.Context, site sootline.ID) (string, error) {
	if err := a.Who.MaySee(site); err != nil {
		return "", err
	}
	heads, err := a.Book.Heads(ctx, site)
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	for _, station := range slices.Sorted(maps.Keys(heads)) {
		fmt.Fprintf(sum, "%s %d\n", station, heads[station].Seq)
	}
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil)[:12]), nil
}

// lookOften is how often a log is looked at for whoever waits for what is new in it.
const lookOften = 250 * time.Millisecond

// WaitFor waits until a site's log has come further than a mark, or for so long.
func (a *App) WaitFor(ctx context.Context, site sootline.ID, mark string, atMost time.Duration) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, atMost)
	defer cancel()
	tick := time.NewTicker(lookOften)
	defer tick.Stop()
	for {
		now, err := a.MarkOf(ctx, site)
		switch {
		case ctx.Err() != nil:
			return nil
		case err != nil || now != mark:
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}
