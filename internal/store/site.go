package store

import (
	"context"
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
	Trouble  error     // what the book says of it cannot be right; nil: nothing of that kind
}

// Sites lists the sites of the book.
func (s *Store) Sites(ctx context.Context) ([]SiteLine, error) {
	lines, err := s.view(ctx).sites(byName)
	return lines, translate(s.path, "read", err)
}

// SitesNamed lists the sites of that name, whatever the case of its letters.
func (s *Store) SitesNamed(ctx context.Context, name string) ([]SiteLine, error) {
	lines, err := s.view(ctx).sites("WHERE site.folded = $1"+byName, fold(name))
	return lines, translate(s.path, "read", err)
}

// SitesNamed lists the sites of that name, as the transaction sees them.
// Until it ends, nobody else gives a site a name.
func (tx *Tx) SitesNamed(name string) ([]SiteLine, error) {
	if err := tx.in.alone(tx, "names"); err != nil {
		return nil, err
	}
	return tx.view().sites("WHERE site.folded = $1"+byName, fold(name))
}

// Site finds a site by its id; nil when there is none.
func (s *Store) Site(ctx context.Context, id sootline.ID) (*SiteLine, error) {
	line, err := s.view(ctx).site(id)
	return line, translate(s.path, "read", err)
}

// Site finds a site by its id, as the transaction sees it; nil when there is none.
func (tx *Tx) Site(id sootline.ID) (*SiteLine, error) { return tx.view().site(id) }

func (v view) site(id sootline.ID) (*SiteLine, error) {
	lines, err := v.sites("WHERE site.id = $1", id.String())
	if err != nil || len(lines) == 0 {
		return nil, err
	}
	return &lines[0], lines[0].Trouble
}

// byName is how lists of sites end whose order is that of the names.
const byName = " ORDER BY site.folded, site.id"

// sites lists sites, by what stands after their tables: conditions, and an order.
func (v view) sites(where string, args ...any) (lines []SiteLine, err error) {
	rows, err := v.q.QueryContext(v.ctx, `
		SELECT site.id, site.name, site.folded, COALESCE(site_head.entries, 0), COALESCE(site_head.stations, 0), site_head.ended
		FROM site LEFT JOIN site_head ON site_head.site = site.id `+where, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		line, err := scanSite(rows.Scan)
		if err != nil { // of one site: it hides no other
			line.Trouble = damaged(v.path, err)
		}
		lines = append(lines, line)
	}
	return lines, rows.Err()
}

func scanSite(scan func(...any) error) (line SiteLine, err error) {
	var id, folded string
	var last any // of a damaged row it may be anything
	if err := scan(&id, &line.Name, &folded, &line.Entries, &line.Stations, &last); err != nil {
		return line, err
	}
	return line, line.read(id, folded, last)
}

// read takes in what is not kept as it is shown.
func (line *SiteLine) read(id, folded string, last any) (err error) {
	if line.ID, err = sootline.ParseID(id); err != nil {
		return err
	}
	if folded != fold(line.Name) {
		return fmt.Errorf("site %q is kept under the name %q", line.Name, folded)
	}
	switch last := last.(type) {
	case nil:
	case int64:
		line.Last = time.UnixMilli(last).UTC()
	default:
		return fmt.Errorf("site %q has its last entry at %q", line.Name, last)
	}
	return nil
}

// PutSite writes down the name by which people ask for a site.
func (tx *Tx) PutSite(id sootline.ID, name string) error {
	_, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO site (id, name, folded) VALUES ($1, $2, $3)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, folded = excluded.folded`,
		id.String(), name, fold(name))
	if err != nil {
		return err
	}
	_, err = tx.changed(`
		INSERT INTO site_head (site, folded) VALUES ($1, $2)
		ON CONFLICT (site) DO UPDATE SET folded = excluded.folded`, id.String(), fold(name))
	return err
}
