package store

import (
	"context"
	"iter"

	"sootline"
)

// Range is a run of lines of a station's chain that a book holds whole, and the hash of
// the last one.
type Range struct {
	Station     string
	First, Last int64
	Hash        sootline.Hash
}

// Ranges lists what a book holds of a site, by station and number. Of a station of which
// nothing is missing no page is looked at.
func (s *Store) Ranges(ctx context.Context, site sootline.ID) ([]Range, error) {
	ranges, err := s.view(ctx).ranges(site)
	return ranges, translate(s.path, "read", err)
}

// Ranges lists what the book holds of a site, as the transaction sees it; see [Store.Ranges].
func (tx *Tx) Ranges(site sootline.ID) ([]Range, error) { return tx.view().ranges(site) }

func (v view) ranges(site sootline.ID) (all []Range, err error) {
	type chain struct {
		Range
		entries int64
	}
	chains, err := gathered(v, func(scan func(...any) error) (c chain, err error) {
		var hash string
		if err := scan(&c.Station, &c.entries, &c.Last, &hash); err != nil {
			return c, err
		}
		c.First = 1
		c.Hash, err = sootline.ParseHash(hash)
		return c, err
	}, "SELECT station, entries, last, hash FROM station_log WHERE site = $1 ORDER BY station", site.String())
	if err != nil {
		return nil, err
	}
	for _, c := range chains {
		if c.entries == c.Last {
			all = append(all, c.Range)
			continue
		}
		runs, err := v.runs(site, c.Station)
		if err != nil {
			return nil, err
		}
		all = append(all, runs...)
	}
	return all, nil
}

// runs joins the pages of a station of which lines are missing.
func (v view) runs(site sootline.ID, station string) (runs []Range, err error) {
	pages, err := gathered(v, func(scan func(...any) error) (r Range, err error) {
		var hash string
		if err := scan(&r.First, &r.Last, &hash); err != nil {
			return r, err
		}
		r.Station = station
		r.Hash, err = sootline.ParseHash(hash)
		return r, err
	}, "SELECT first, last, hash FROM page WHERE site = $1 AND station = $2 ORDER BY first", site.String(), station)
	for _, page := range pages {
		if last := len(runs) - 1; last >= 0 && runs[last].Last+1 == page.First {
			runs[last].Last, runs[last].Hash = page.Last, page.Hash
			continue
		}
		runs = append(runs, page)
	}
	return runs, err
}

// LinesFrom gives the lines of a station from a number on, in their order.
func (s *Store) LinesFrom(ctx context.Context, site sootline.ID, station string, first int64) iter.Seq2[Line, error] {
	return s.view(ctx).linesFrom(site, station, first)
}

// LinesFrom gives the lines of a station as the transaction sees them; see [Store.LinesFrom].
func (tx *Tx) LinesFrom(site sootline.ID, station string, first int64) iter.Seq2[Line, error] {
	return tx.view().linesFrom(site, station, first)
}

func (v view) linesFrom(site sootline.ID, station string, first int64) iter.Seq2[Line, error] {
	return func(yield func(Line, error) bool) {
		var parser sootline.Parser
		fresh := func(line Line, err error) bool { return err == nil && line.Entry.Seq < first || yield(line, err) }
		v.wholePages(&parser, fresh, ofStation, site.String(), station, first)
	}
}

// HasPhoto reports whether the book holds a picture, without reading it.
func (s *Store) HasPhoto(ctx context.Context, hash string) (there bool, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM photo WHERE hash = $1)", hash).Scan(&there)
	return there, translate(s.path, "read", err)
}
