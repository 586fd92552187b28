package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"sootline"
)

// SiteLine is what a list of sites shows, without opening any log.
type SiteLine struct {
	ID       sootline.ID
	Name     string
	Entries  int
	Stations int
	Last     time.Time // when the latest of its entries happened; zero when it has none
}

// Sites lists the sites of the book.
func (s *Store) Sites(ctx context.Context) ([]SiteLine, error) {
	lines, err := s.sites(ctx, "")
	return lines, translate(s.path, "read", err)
}

// SitesNamed lists the sites of that name, whatever the case of its letters.
func (s *Store) SitesNamed(ctx context.Context, name string) ([]SiteLine, error) {
	lines, err := s.sites(ctx, "WHERE site.folded = $1", fold(name))
	return lines, translate(s.path, "read", err)
}

func (s *Store) sites(ctx context.Context, where string, args ...any) (lines []SiteLine, err error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT site.id, site.name, site.folded, COALESCE(SUM(page.last - page.first + 1), 0), COUNT(DISTINCT page.station), MAX(page.ended)
		FROM site LEFT JOIN page ON page.site = site.id `+where+`
		GROUP BY site.id, site.name, site.folded ORDER BY site.folded, site.id`, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var line SiteLine
		var id, folded string
		var last sql.NullInt64
		if err := rows.Scan(&id, &line.Name, &folded, &line.Entries, &line.Stations, &last); err != nil {
			return nil, damaged(s.path, err)
		}
		if line.ID, err = sootline.ParseID(id); err != nil {
			return nil, damaged(s.path, err)
		}
		if folded != fold(line.Name) {
			return nil, damaged(s.path, fmt.Errorf("site %q is kept under the name %q", line.Name, folded))
		}
		if last.Valid {
			line.Last = time.UnixMilli(last.Int64).UTC()
		}
		lines = append(lines, line)
	}
	return lines, rows.Err()
}

// PutSite writes down the name by which people ask for a site.
func (tx *Tx) PutSite(id sootline.ID, name string) error {
	_, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO site (id, name, folded) VALUES ($1, $2, $3)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, folded = excluded.folded`,
		id.String(), name, fold(name))
	return err
}
