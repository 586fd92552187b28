package app

import (
	"context"
	"fmt"
	"iter"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/exchange"
	"sootline/internal/store"
)

// Exchanged says what a parcel brought.
type Exchanged struct {
	Sites  []ExchangedSite
	Photos int
}

// ExchangedSite says what a parcel brought of a site.
type ExchangedSite struct {
	ID      sootline.ID
	Name    string
	New     bool // the book did not have it
	Added   int  // lines
	Changed int  // facts of it that were changed in two places and say different things, in all
}

// TakeParcel takes in the lines and photos of a parcel: of each site all of them or, where
// one of them is not what its station wrote or contradicts the book, none, with the reason.
// What is there already changes nothing. Whoever does not keep the book hands in what he
// wrote himself, and may write.
func (a *App) TakeParcel(ctx context.Context, p *exchange.Parcel) (out Exchanged, err error) {
	if err := a.needs(sootline.Technician); err != nil {
		return out, err
	}
	var order []sootline.ID
	runs := map[sootline.ID][]exchange.Run{}
	for _, run := range p.Runs {
		if runs[run.Site] == nil {
			order = append(order, run.Site)
		}
		runs[run.Site] = append(runs[run.Site], run)
	}
	for _, site := range order {
		taken, err := a.takeRuns(ctx, site, runs[site])
		if err != nil {
			return out, err
		}
		out.Sites = append(out.Sites, taken)
	}
	for i := range p.Photos {
		if err := a.takeExchangedPhoto(ctx, &p.Photos[i]); err != nil {
			return out, err
		}
	}
	out.Photos = len(p.Photos)
	return out, nil
}

// takeRuns takes the lines of one site in.
func (a *App) takeRuns(ctx context.Context, site sootline.ID, runs []exchange.Run) (out ExchangedSite, err error) {
	if err := a.Who.MaySee(site); err != nil {
		return out, err
	}
	line, err := a.Book.Site(ctx, site)
	if err != nil {
		return out, err
	}
	write := a.Book.Write // a new site stands in the list of all
	if line != nil {
		write = func(ctx context.Context, do func(*store.Tx) error) error { return a.Book.WriteTo(ctx, site, do) }
	} else if err := a.Who.MayKeepBook(); err != nil {
		return out, err
	}
	err = write(ctx, func(tx *store.Tx) error {
		out = ExchangedSite{ID: site, New: line == nil}
		return a.mergeRuns(tx, site, runs, &out)
	})
	if err != nil {
		return out, err
	}
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return out, err
	}
	for _, apart := range log.Apart() {
		if !apart.Alike() {
			out.Changed++
		}
	}
	return out, nil
}

// mergeRuns brings lines into the book. Unlike an import it opens no more of the log than
// what the lines touch.
func (a *App) mergeRuns(tx *store.Tx, site sootline.ID, runs []exchange.Run, out *ExchangedSite) error {
	kept, err := tx.Kept(site)
	if err != nil {
		return err
	}
	fresh, heads, err := openRuns(tx, site, runs)
	if err != nil {
		return err
	}
	if err := sameKeys(kept.Heads, heads); err != nil {
		return err
	}
	come, known := held{}, make([]sootline.ID, len(fresh))
	for i := range fresh {
		e := &fresh[i].Entry
		come[place{e.Station, e.Seq}], known[i] = e.Hash, e.ID
	}
	if err := come.keepTo(kept.Heads); err != nil {
		return err
	}
	if err := a.foreign(tx, ofThisEra(kept.Heads, a.Book.Era()), heads, fresh, false); err != nil {
		return err
	}
	there, err := tx.Has(site, known...)
	if err != nil {
		return err
	}
	if err := sameUnderID(tx, site, there, fresh); err != nil {
		return err
	}
	if err := amendsWritten(tx, site, fresh); err != nil {
		return err
	}
	if err := a.mayHandOn(tx, site, fresh); err != nil {
		return err
	}
	if out.Name, err = nameSite(tx, site, fresh); err != nil {
		return err
	}
	if err := importRuns(tx, fresh); err != nil {
		return err
	}
	if _, err := keepHeads(tx, site, kept.Heads, heads, fresh); err != nil {
		return err
	}
	if out.Added = len(fresh); out.Added == 0 {
		return nil
	}
	return a.journal(tx, LinesExchanged, out.Name, fmt.Sprintf("%d lines", out.Added))
}

// ofThisEra leaves out the stations that wrote in this book before it was put back from a
// backup: it lacks what they wrote since, and writes under other names.
func ofThisEra(kept []store.Signed, era string) []store.Signed {
	return slices.DeleteFunc(slices.Clone(kept), func(s store.Signed) bool {
		_, of, _ := strings.Cut(s.Station, sootline.EraMark)
		return s.Here && era != "" && of != era && !strings.HasPrefix(of, era+sootline.EraMark)
	})
}

// openRuns makes the lines again, checks them against what the book holds around them, and
// gives those that it lacks, by station and number.
func openRuns(tx *store.Tx, site sootline.ID, runs []exchange.Run) (fresh []store.Line, heads []sootline.SignedHead, err error) {
	ranges, err := tx.Ranges(site)
	if err != nil {
		return nil, nil, err
	}
	mine := byStation(ranges)
	for i := range runs {
		run := &runs[i]
		hashOf := func(seq int64) (*sootline.Hash, error) {
			if !exchange.Holds(mine[run.Station], seq) {
				return nil, nil
			}
			return hashAt(tx.LinesFrom(site, run.Station, seq), seq)
		}
		before, err := hashOf(run.First - 1)
		if err != nil {
			return nil, nil, err
		}
		lines, err := run.Open(before)
		if err != nil {
			return nil, nil, err
		}
		if err := joins(tx, site, run, lines, mine[run.Station], hashOf); err != nil {
			return nil, nil, err
		}
		for _, line := range lines {
			if !exchange.Holds(mine[run.Station], line.Entry.Seq) {
				fresh = append(fresh, store.Line{Text: line.Text, Entry: line.Entry})
			}
		}
		if run.Head != nil {
			heads = append(heads, *run.Head)
		}
		mine[run.Station] = append(mine[run.Station], exchange.Range{First: run.First, Last: run.Last(), Hash: run.Hash})
	}
	return sortedLines(fresh), heads, nil
}

// joins reports lines that are not those which the book holds, and a line of the book that
// does not follow what came before it now.
func joins(tx *store.Tx, site sootline.ID, run *exchange.Run, lines []exchange.Line, mine []exchange.Range, hashOf func(int64) (*sootline.Hash, error)) error {
	for _, r := range mine {
		seq := min(r.Last, run.Last())
		if seq < max(r.First, run.First) {
			continue
		}
		hash, err := hashOf(seq)
		if err != nil {
			return err
		}
		if hash != nil && *hash != lines[seq-run.First].Entry.Hash {
			return exchange.Contradicts(run.Station, seq)
		}
	}
	if !exchange.Holds(mine, run.Last()+1) || exchange.Holds(mine, run.Last()) {
		return nil
	}
	for next, err := range tx.LinesFrom(site, run.Station, run.Last()+1) {
		if err != nil {
			return err
		}
		chain := sootline.Chain{Seq: run.Last(), Hash: run.Hash}
		if chain.Follow(next.Text, &next.Entry) != nil {
			return exchange.Contradicts(run.Station, next.Entry.Seq)
		}
		break
	}
	return nil
}

// hashAt gives the hash of a line, which is the first of the lines given; nil: it is not there.
func hashAt(lines iter.Seq2[store.Line, error], seq int64) (*sootline.Hash, error) {
	for line, err := range lines {
		if err != nil || line.Entry.Seq != seq {
			return nil, err
		}
		return &line.Entry.Hash, nil
	}
	return nil, nil
}

// mayHandOn refuses lines that whoever acts may not hand in: what others wrote is handed
// in by who keeps the book.
func (a *App) mayHandOn(tx *store.Tx, site sootline.ID, fresh []store.Line) error {
	if a.Who.MayDo(sootline.Manager) == nil {
		return nil
	}
	batch := make([]sootline.Entry, len(fresh))
	for i := range fresh {
		batch[i] = fresh[i].Entry
	}
	for i := range batch {
		e := &batch[i]
		if !store.SameName(e.By, a.Who.Name) {
			return sootline.Errorf(sootline.Forbidden, "ask a manager to exchange", "line %d of station %s is by %s, and you hand in what you wrote yourself", e.Seq, e.Station, e.By)
		}
		kind, _ := sootline.KindNamed(e.Body.Kind())
		if kind.ByProgram {
			continue
		}
		if err := a.mayAppend(tx, site, batch, e); err != nil {
			return err
		}
	}
	return nil
}

// takeExchangedPhoto keeps a picture that came, where it is what its name says.
func (a *App) takeExchangedPhoto(ctx context.Context, p *exchange.Photo) error {
	if store.PhotoHash(p.Content) != p.Hash {
		return sootline.Errorf(sootline.Damaged, "exchange once more", "the photo %s is not what its name says", p.Hash)
	}
	_, err := a.KeepPhoto(ctx, sootline.ID{}, p.Content)
	return err
}
