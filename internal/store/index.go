package store

import (
	"fmt"

	"sootline"
)

// The index says where an entry is, which pages hold a kind, and how far each
// station's chain has come. It follows from the pages, and is written in the
// transaction that writes them.

// mostSpots is how many spots are gathered before they are written: what is held
// in memory does not grow with an intake.
const mostSpots = 1 << 17

// stationLog is what the index says of one station in one site's log.
type stationLog struct {
	entries, last int64
	hash          string // closes the chain at the last entry
	ended         int64  // Unix milliseconds
}

// kindPage says that a page holds a kind.
type kindPage struct {
	kind    sootline.Kind
	station string
	first   int64
}

// indexer gathers what the index is to say of pages of one site.
type indexer struct {
	site     string
	save     func(*indexer) error // told when much is gathered, and at the end
	spots    []spot
	kinds    []kindPage
	stations map[string]stationLog
	within   []sootline.Kind // kinds of the page in hand
	marked   string          // the station of mark
	mark     uint64
}

// newIndexer makes an indexer that writes into the book.
func (tx *Tx) newIndexer(site sootline.ID) *indexer {
	return &indexer{site: site.String(), stations: map[string]stationLog{}, save: tx.saveIndex}
}

// note takes in an entry of the page in hand.
func (x *indexer) note(e *sootline.Entry) {
	if x.marked != e.Station || x.mark == 0 {
		x.marked, x.mark = e.Station, markOf(e.Station)
	}
	x.spots = append(x.spots, spotOf(e, x.mark))
	kind := e.Body.Kind()
	for _, k := range x.within {
		if k == kind {
			return
		}
	}
	x.within = append(x.within, kind)
}

// close says that the page in hand ends, and what it holds.
func (x *indexer) close(h *head) error {
	for _, kind := range x.within {
		x.kinds = append(x.kinds, kindPage{kind, h.station, h.first})
	}
	x.within = x.within[:0]
	s := x.stations[h.station]
	s.entries += h.last - h.first + 1
	if h.last > s.last {
		s.last, s.hash = h.last, h.hash.String()
	}
	s.ended = max(s.ended, h.ended)
	x.stations[h.station] = s
	if len(x.spots) < mostSpots {
		return nil
	}
	return x.flush()
}

// flush hands over what was gathered.
func (x *indexer) flush() error {
	err := x.save(x)
	x.spots, x.kinds = x.spots[:0], x.kinds[:0]
	clear(x.stations)
	return err
}

// saveIndex writes what was gathered into the book.
func (tx *Tx) saveIndex(x *indexer) error {
	for _, k := range x.kinds {
		if _, err := tx.tx.ExecContext(tx.ctx, `INSERT INTO kind_page (site, kind, station, first) VALUES ($1, $2, $3, $4)`,
			x.site, string(k.kind), k.station, k.first); err != nil {
			return err
		}
	}
	for station, s := range x.stations {
		if _, err := tx.tx.ExecContext(tx.ctx, `
			INSERT INTO station_log (site, station, entries, last, hash, ended) VALUES ($1, $2, $3, $4, $5, $6)
			ON CONFLICT (site, station) DO UPDATE SET
				entries = station_log.entries + excluded.entries,
				hash = CASE WHEN excluded.last > station_log.last THEN excluded.hash ELSE station_log.hash END,
				last = CASE WHEN excluded.last > station_log.last THEN excluded.last ELSE station_log.last END,
				ended = CASE WHEN excluded.ended > station_log.ended THEN excluded.ended ELSE station_log.ended END`,
			x.site, station, s.entries, s.last, s.hash, s.ended); err != nil {
			return err
		}
	}
	if err := tx.putSpots(x.site, x.spots); err != nil {
		return err
	}
	return tx.countSite(x.site)
}

// indexDamaged tells that the index and the pages do not say the same.
func indexDamaged(path string, err error) error {
	return &sootline.Error{
		Code: sootline.Damaged, Message: fmt.Sprintf("the index of book %s does not say what its log says: %s", path, clipped(err)),
		Ways: sootline.Out("rebuild it from the log").Do(sootline.RebuildIndex), Err: err,
	}
}
