package store

import (
	"crypto/sha256"
	"encoding/binary"
	"maps"

	"sootline"
)

// tally is what an index says of a site, so that two can be compared: the spots
// by their number and the sum of their hashes, which does not depend on their
// order and needs no memory.
type tally struct {
	spots    int
	sum      uint64
	kinds    map[kindPage]bool
	stations map[string]stationLog
}

func newTally() *tally {
	return &tally{kinds: map[kindPage]bool{}, stations: map[string]stationLog{}}
}

// add counts what an indexer gathered from pages.
func (t *tally) add(x *indexer) error {
	for _, s := range x.spots {
		t.spot(s)
	}
	for _, k := range x.kinds {
		t.kinds[k] = true
	}
	for station, s := range x.stations {
		all := t.stations[station]
		all.entries += s.entries
		if s.last > all.last {
			all.last, all.hash = s.last, s.hash
		}
		all.ended = max(all.ended, s.ended)
		t.stations[station] = all
	}
	return nil
}

func (t *tally) spot(s spot) {
	sum := sha256.Sum256(s.append(make([]byte, 0, spotSize)))
	t.spots++
	t.sum += binary.BigEndian.Uint64(sum[:])
}

// differs says in words in what two tallies differ, or nothing.
func (t *tally) differs(o *tally) string {
	switch {
	case t.spots != o.spots || t.sum != o.sum:
		return "the places of entries"
	case !maps.Equal(t.kinds, o.kinds):
		return "the kinds that pages hold"
	case !maps.Equal(t.stations, o.stations):
		return "what its stations wrote"
	}
	return ""
}

// tally counts what the index says of a site.
func (v view) tally(t *tally, site string) error {
	var last spot
	for b, err := range v.blocks(`SELECT first, spots FROM entry_block WHERE site = $1 ORDER BY first`, site) {
		if err != nil {
			return err
		}
		if compareSpots(last, b.spots[0]) >= 0 {
			return indexDamaged(v.path, errNoSpots)
		}
		for _, s := range b.spots {
			t.spot(s)
			last = s
		}
	}
	if err := v.tallyKinds(t, site); err != nil {
		return err
	}
	return v.tallyStations(t, site)
}

func (v view) tallyKinds(t *tally, site string) error {
	rows, err := v.q.QueryContext(v.ctx, `SELECT kind, station, first FROM kind_page WHERE site = $1`, site)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var k kindPage
		var kind string
		if err := rows.Scan(&kind, &k.station, &k.first); err != nil {
			return indexDamaged(v.path, err)
		}
		k.kind = sootline.Kind(kind)
		t.kinds[k] = true
	}
	return rows.Err()
}

func (v view) tallyStations(t *tally, site string) error {
	rows, err := v.q.QueryContext(v.ctx, `SELECT station, entries, last, hash, ended FROM station_log WHERE site = $1`, site)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var station string
		var s stationLog
		if err := rows.Scan(&station, &s.entries, &s.last, &s.hash, &s.ended); err != nil {
			return indexDamaged(v.path, err)
		}
		t.stations[station] = s
	}
	return rows.Err()
}
