package store

import (
	"context"
	"fmt"

	"sootline"
)

// indexFile makes the tables of the index, dropping those that are there. From
// the version with it on, a book has an index.
const (
	indexFile    = "migrations/0004_index.sql"
	indexVersion = 4
)

// Working is told how far long work has come, in entries; it may be nil.
type Working func(done, total int)

// Reindex drops the index and rebuilds it from the pages: all of it, or the one
// that is there stays.
func (s *Store) Reindex(ctx context.Context, working Working) error {
	return s.Write(ctx, func(tx *Tx) error {
		if err := tx.apply(indexFile); err != nil {
			return err
		}
		return tx.fillIndex(working)
	})
}

// fillIndex fills an empty index from the pages.
func (tx *Tx) fillIndex(working Working) error {
	var total int
	if err := tx.tx.QueryRowContext(tx.ctx, `SELECT COALESCE(SUM(last - first + 1), 0) FROM page`).Scan(&total); err != nil {
		return damaged(tx.path, err)
	}
	sites, err := tx.view().paged()
	if err != nil {
		return err
	}
	if err := tx.countSites(); err != nil { // also of those of which there is no page
		return err
	}
	done := 0
	for _, site := range sites {
		index := tx.newIndexer(site)
		err := tx.view().index(index, site, func(entries int) {
			if done += entries; working != nil {
				working(done, total)
			}
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// paged lists the sites of which there are pages, or of which the index speaks.
func (v view) paged() (sites []sootline.ID, err error) {
	rows, err := v.q.QueryContext(v.ctx, `
		SELECT site FROM page UNION SELECT site FROM station_log UNION SELECT site FROM kind_page UNION SELECT site FROM entry_block ORDER BY site`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var text string
		if err := rows.Scan(&text); err != nil {
			return nil, damaged(v.path, err)
		}
		site, err := sootline.ParseID(text)
		if err != nil {
			return nil, damaged(v.path, err)
		}
		sites = append(sites, site)
	}
	return sites, rows.Err()
}

// index shows an indexer all pages of a site, one query each: what it saves goes
// through the same connection.
func (v view) index(x *indexer, site sootline.ID, read func(entries int)) error {
	places, err := v.allPages(site)
	if err != nil {
		return err
	}
	var parser sootline.Parser
	for _, at := range places {
		var held head
		var fault error
		take := func(line Line, err error) bool {
			if fault = err; err != nil {
				return false
			}
			held.cover(&line.Entry)
			x.note(&line.Entry)
			return true
		}
		if v.wholePages(&parser, take, onePage, site.String(), at.station, at.first); fault != nil {
			return fault
		}
		if err := x.close(&held); err != nil {
			return err
		}
		read(int(held.last - held.first + 1))
	}
	return x.flush()
}

// allPages lists the pages of a site, by station and number.
func (v view) allPages(site sootline.ID) ([]kindPage, error) {
	return v.places(`SELECT station, first FROM page WHERE site = $1 ORDER BY station, first`, site.String())
}

// Check asks the database whether its file is sound, looks whether its tables are
// as they were made, and compares the index with the pages. It does not look at
// what the logs say; following the chains does.
func (s *Store) Check(ctx context.Context) error {
	if err := s.check(ctx); err != nil {
		return err
	}
	return translate(s.path, "read", s.checkIndex(ctx))
}

// checkIndex compares the index with the pages, both as they stood at one instant.
func (s *Store) checkIndex(ctx context.Context) error {
	tx, err := s.read.BeginTx(ctx, s.snapshot())
	if err != nil {
		return err
	}
	defer rollback(tx) //nolint:errcheck // it has only read
	v := view{ctx, tx, s.path}
	sites, err := v.paged()
	if err != nil {
		return err
	}
	for _, site := range sites {
		want, got := newTally(), newTally()
		x := &indexer{site: site.String(), stations: map[string]stationLog{}, save: want.add}
		if err := v.index(x, site, func(int) {}); err != nil {
			return err
		}
		if err := v.tally(got, site.String()); err != nil {
			return err
		}
		if what := want.differs(got); what != "" {
			return indexDamaged(s.path, fmt.Errorf("%s of site %s", what, site))
		}
	}
	wrong, err := v.miscounted()
	if err == nil && wrong != "" {
		err = indexDamaged(s.path, fmt.Errorf("the row of site %s", wrong))
	}
	return err
}
