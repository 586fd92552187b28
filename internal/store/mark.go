package store

import (
	"context"

	"sootline"
)

// Mark is what a book held at an instant: where every chain ended, and how much of
// what is only added there was. Whatever was acknowledged before is under it.
type Mark struct {
	Ends   []End `json:"ends"` // by site and station
	Photos int64 `json:"photos"`
	Events int64 `json:"events"` // lines of the journal of security events
}

// End is where a station's chain in a site's log ended.
type End struct {
	Site sootline.ID `json:"site"`
	sootline.Head
}

// Mark reads the mark of the book as it stands.
func (s *Store) Mark(ctx context.Context) (Mark, error) {
	mark, err := s.view(ctx).mark()
	return mark, translate(s.path, "read", err)
}

func (v view) mark() (mark Mark, err error) {
	err = v.q.QueryRowContext(v.ctx, "SELECT (SELECT COUNT(*) FROM photo), (SELECT COUNT(*) FROM security_event)").Scan(&mark.Photos, &mark.Events)
	if err != nil {
		return mark, err
	}
	rows, err := v.q.QueryContext(v.ctx, "SELECT site, station, last, hash FROM station_log ORDER BY site, station")
	if err != nil {
		return mark, err
	}
	defer rows.Close()
	for rows.Next() {
		var end End
		var site, hash string
		if err := rows.Scan(&site, &end.Station, &end.Seq, &hash); err != nil {
			return mark, indexDamaged(v.path, err)
		}
		if end.Site, err = sootline.ParseID(site); err != nil {
			return mark, indexDamaged(v.path, err)
		}
		if end.Hash, err = sootline.ParseHash(hash); err != nil {
			return mark, indexDamaged(v.path, err)
		}
		mark.Ends = append(mark.Ends, end)
	}
	return mark, rows.Err()
}

// HashAt gives the hash of a line of a station's chain, by its number; false when
// the log does not hold it.
func (s *Store) HashAt(ctx context.Context, site sootline.ID, station string, seq int64) (sootline.Hash, bool, error) {
	e, err := s.view(ctx).entryAt(site, station, seq)
	if err != nil || e == nil {
		return sootline.Hash{}, false, translate(s.path, "read", err)
	}
	return e.Hash, true, nil
}
