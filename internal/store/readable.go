package store

import (
	"bytes"
	"context"
	"errors"

	"sootline"
)

// Readable gives those lines of a site's log that stand on pages which can be read
// whole, station by station, and names the stretches that cannot: what is on a page
// of which a part is lost is not known to be what was written. It reads each page by
// itself, so that one that cannot be read hides no other. A page's lines are given
// only when all of it is good.
func (s *Store) Readable(ctx context.Context, site sootline.ID, each func(Line) error) (lost []Stretch, err error) {
	v := s.view(ctx)
	stretches, err := v.stretches(site)
	if err != nil {
		return nil, translate(s.path, "read", err)
	}
	for _, at := range stretches {
		lines, err := v.page(site, at)
		switch {
		case err == nil:
		case sootline.ErrorCode(err) == sootline.Damaged:
			lost = append(lost, at)
			continue
		default:
			return lost, err
		}
		for i := range lines {
			if err := each(lines[i]); err != nil {
				return lost, err
			}
		}
	}
	return lost, nil
}

// stretches lists what the book says of the pages of a site, without opening any.
func (v view) stretches(site sootline.ID) (found []Stretch, err error) {
	rows, err := v.q.QueryContext(v.ctx, `SELECT station, first, last FROM page WHERE site = $1 ORDER BY station, first`, site.String())
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		var at Stretch
		if err := rows.Scan(&at.Station, &at.First, &at.Last); err != nil {
			return nil, damaged(v.path, err)
		}
		found = append(found, at)
	}
	return found, rows.Err()
}

// page gives the lines of one page, all of them or an error.
func (v view) page(site sootline.ID, at Stretch) (lines []Line, err error) {
	var parser sootline.Parser
	keep := func(line Line, fault error) bool {
		if err = fault; err != nil {
			return false
		}
		lines = append(lines, Line{bytes.Clone(line.Text), line.Entry})
		return true
	}
	v.wholePages(&parser, keep, onePage, site.String(), at.Station, at.First)
	return lines, err
}
