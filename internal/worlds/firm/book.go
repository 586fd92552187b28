package firm

import (
	"context"
	"math/rand/v2"
	"slices"
	"time"

	"sootline"
	"sootline/internal/store"
)

// Firm is the book of a firm while it is written to.
type Firm struct {
	Book  *store.Store
	Sites []Plan
	Now   time.Time // eight in the evening in UTC, after all that happened that day
	rng   *rand.Rand
}

// atOnce is how many sites are written in one transaction.
const atOnce = 200

// Book draws so many sites from a seed and writes them into an open book, as of the
// evening of a day. The same seed and day give the same sites and entries.
func Book(ctx context.Context, book *store.Store, n int, seed uint64, day time.Time) (*Firm, error) {
	f := &Firm{Book: book, Now: evening(day), rng: rand.New(rand.NewPCG(seed, 0))}
	for i := range n {
		f.Sites = append(f.Sites, plan(i, seed))
	}
	for plans := range slices.Chunk(f.Sites, atOnce) {
		if err := f.write(ctx, plans); err != nil {
			return nil, err
		}
	}
	return f, nil
}

func evening(day time.Time) time.Time { return morning(day).Truncate(time.Hour).Add(10 * time.Hour) }

func (f *Firm) write(ctx context.Context, plans []Plan) error {
	return f.Book.Write(ctx, func(tx *store.Tx) error {
		for _, p := range plans {
			if err := tx.PutSite(p.ID, p.Name); err != nil {
				return err
			}
			if err := Append(tx, f.Book, p.ID, "office", p.History(f.Now)); err != nil {
				return err
			}
		}
		return nil
	})
}

// Append adds entries to a site's log as a station, in a transaction: what a writer
// that knows of no heads does.
func Append(tx *store.Tx, book *store.Store, site sootline.ID, station string, entries []sootline.Entry) error {
	name, err := tx.StationAt(site, book.Station(station))
	if err != nil {
		return err
	}
	return tx.Append(site, name, func(w *store.Writer) error {
		for _, e := range entries {
			e.Station = name
			if err := w.Add(e); err != nil {
				return err
			}
		}
		return nil
	})
}

// Grow draws what is written next to a site, after what its log holds now.
func (f *Firm) Grow(ctx context.Context, site sootline.ID) ([]sootline.Entry, error) {
	log, err := f.Book.Entries(ctx, site)
	if err != nil {
		return nil, err
	}
	for {
		if next := later(f.rng, site, log, f.Now); len(next) > 0 {
			return next, nil
		}
	}
}

// Any draws some sites, the large ones as likely as others.
func (f *Firm) Any(n int) []sootline.ID {
	var some []sootline.ID
	for range n {
		some = append(some, f.Sites[f.rng.IntN(len(f.Sites))].ID)
	}
	slices.SortFunc(some, func(a, b sootline.ID) int { return slices.Compare(a[:], b[:]) })
	return slices.Compact(some)
}
