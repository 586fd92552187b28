package store

import (
	"context"
	"errors"
	"fmt"

	"sootline"
)

// Find gives the entries of a site's log that have one of the ids: all copies,
// where several stations noted one. It opens only the pages that hold them.
func (s *Store) Find(ctx context.Context, site sootline.ID, ids ...sootline.ID) ([]sootline.Entry, error) {
	found, err := s.view(ctx).find(site, ids)
	return found, translate(s.path, "read", err)
}

// Find gives the entries of the ids, as the transaction sees them; see [Store.Find].
func (tx *Tx) Find(site sootline.ID, ids ...sootline.ID) ([]sootline.Entry, error) {
	return tx.view().find(site, ids)
}

// Has tells which of the ids a site's log holds, without opening a page.
func (s *Store) Has(ctx context.Context, site sootline.ID, ids ...sootline.ID) (map[sootline.ID]bool, error) {
	held, err := s.view(ctx).has(site, ids)
	return held, translate(s.path, "read", err)
}

// Has tells which of the ids a site's log holds, as the transaction sees it.
func (tx *Tx) Has(site sootline.ID, ids ...sootline.ID) (map[sootline.ID]bool, error) {
	return tx.view().has(site, ids)
}

// Heads gives the end of each station's chain in a site's log: as long as they
// stand, so does everything that follows from the log.
func (s *Store) Heads(ctx context.Context, site sootline.ID) (map[string]sootline.Chain, error) {
	heads, err := s.view(ctx).heads(site)
	return heads, translate(s.path, "read", err)
}

// Heads gives the end of each station's chain, as the transaction sees it.
func (tx *Tx) Heads(site sootline.ID) (map[string]sootline.Chain, error) {
	return tx.view().heads(site)
}

func (v view) has(site sootline.ID, ids []sootline.ID) (map[sootline.ID]bool, error) {
	held := map[sootline.ID]bool{}
	for _, id := range ids {
		spots, err := v.spotsOf(site.String(), id)
		if err != nil {
			return nil, err
		}
		if len(spots) > 0 {
			held[id] = true
		}
	}
	return held, nil
}

func (v view) heads(site sootline.ID) (map[string]sootline.Chain, error) {
	rows, err := v.q.QueryContext(v.ctx, `SELECT station, last, hash FROM station_log WHERE site = $1`, site.String())
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	heads := map[string]sootline.Chain{}
	for rows.Next() {
		var station, hash string
		var head sootline.Chain
		if err := rows.Scan(&station, &head.Seq, &hash); err != nil {
			return nil, indexDamaged(v.path, err)
		}
		if head.Hash, err = sootline.ParseHash(hash); err != nil {
			return nil, indexDamaged(v.path, err)
		}
		heads[station] = head
	}
	return heads, rows.Err()
}

func (v view) find(site sootline.ID, ids []sootline.ID) (found []sootline.Entry, err error) {
	stations := map[uint64][]string{}
	for _, id := range ids {
		spots, err := v.spotsOf(site.String(), id)
		if err != nil {
			return nil, err
		}
		if len(spots) > 0 && len(stations) == 0 {
			if stations, err = v.marks(site); err != nil {
				return nil, err
			}
		}
		before := len(found)
		for _, s := range spots {
			if found, err = v.entriesAt(found, site, s, stations[s.mark()]); err != nil {
				return nil, err
			}
		}
		if len(found)-before != len(spots) {
			return nil, indexDamaged(v.path, fmt.Errorf("entry %s is not where it says", id))
		}
	}
	return found, nil
}

// marks gives the stations of a site's log by their marks.
func (v view) marks(site sootline.ID) (map[uint64][]string, error) {
	heads, err := v.heads(site)
	stations := map[uint64][]string{}
	for station := range heads {
		mark := markOf(station)
		stations[mark] = append(stations[mark], station)
	}
	return stations, err
}

// entriesAt adds the entry of a spot to those that were found. Of stations that
// share its mark, one wrote it.
func (v view) entriesAt(found []sootline.Entry, site sootline.ID, s spot, stations []string) ([]sootline.Entry, error) {
	for _, station := range stations {
		e, err := v.entryAt(site, station, s.seq())
		if err != nil {
			return nil, err
		}
		if e != nil && e.ID == s.id() {
			found = append(found, *e)
		}
	}
	return found, nil
}

// entryAt reads the entry of a number of a station's chain; nil when there is
// none.
func (v view) entryAt(site sootline.ID, station string, seq int64) (*sootline.Entry, error) {
	const lastBefore = `WHERE site = $1 AND station = $2 AND first <= $3 ORDER BY first DESC LIMIT 1`
	for page, err := range v.pages(lastBefore, site.String(), station, seq) {
		if err != nil {
			return nil, err
		}
		texts := sootline.SplitLines(page.text)
		if seq > page.last {
			return nil, nil
		}
		if int64(len(texts)) != page.last-page.first+1 {
			return nil, damaged(v.path, errors.New("a page does not hold as many lines as the book says"))
		}
		line, err := v.parse(new(sootline.Parser), texts[seq-page.first])
		if err != nil {
			return nil, err
		}
		if e := line.Entry; e.Seq == seq && e.Station == station && e.Site == site {
			return &e, nil
		}
		return nil, damaged(v.path, fmt.Errorf("line %d of station %q is not where the book says", seq, station))
	}
	return nil, nil
}

// end gives the end of a station's chain, by its pages: what is written next must
// go on from there, and the index must know of it.
func (tx *Tx) end(site sootline.ID, station string) (sootline.Chain, error) {
	rows, err := tx.tx.QueryContext(tx.ctx, `
		SELECT page.last, page.hash, COALESCE(station_log.last, 0), COALESCE(station_log.hash, '')
		FROM page LEFT JOIN station_log ON station_log.site = page.site AND station_log.station = page.station
		WHERE page.site = $1 AND page.station = $2 ORDER BY page.first DESC LIMIT 1`, site.String(), station)
	if err != nil {
		return sootline.Chain{}, err
	}
	defer rows.Close()
	var chain sootline.Chain
	for rows.Next() {
		var hash, indexed string
		var last int64
		if err := rows.Scan(&chain.Seq, &hash, &last, &indexed); err != nil {
			return sootline.Chain{}, damaged(tx.path, err)
		}
		if chain.Hash, err = sootline.ParseHash(hash); err != nil {
			return sootline.Chain{}, damaged(tx.path, err)
		}
		if last != chain.Seq || indexed != hash {
			return sootline.Chain{}, indexDamaged(tx.path, fmt.Errorf("station %q has written line %d, and the index knows line %d", station, chain.Seq, last))
		}
	}
	return chain, rows.Err()
}
