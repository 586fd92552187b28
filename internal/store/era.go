package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"os"
	"strings"
	"time"

	"sootline"
)

// Era names the era that the book is in: empty from its making until a backup is
// put back. Phones learn by it that the book may lack what it had.
func (s *Store) Era() string { return s.era }

// Station gives the name under which a station writes in the book's era.
func (s *Store) Station(name string) string {
	if s.era == "" {
		return name
	}
	return name + sootline.EraMark + s.era
}

// StationAt gives the name under which a station writes in a site's log. Where
// another book, such as a second one on this machine, signs as the station there,
// two would give the same numbers to different lines: this book goes on under a
// name of its own.
func (tx *Tx) StationAt(site sootline.ID, station string) (string, error) {
	rows, err := readHeadRows(tx.ctx, tx.tx, tx.path, site)
	return stationAmong(rows, station), err
}

// stationAmong gives the name under which a station writes, among those that sign here.
func stationAmong(rows []headRow, station string) string {
	own, taken := "", false
	for i := range rows {
		switch head := &rows[i]; {
		case head.Station == station && head.secret == nil:
			taken = true
		case head.secret != nil && strings.HasPrefix(head.Station, station+sootline.EraMark):
			own = head.Station
		}
	}
	if !taken {
		return station
	}
	if own == "" {
		own = station + sootline.EraMark + chanceName()
	}
	return own
}

func chanceName() string { return strings.ToLower(rand.Text()[:8]) }

// beginEra begins a new era.
func (tx *Tx) beginEra(now time.Time) error {
	_, err := tx.changed("INSERT INTO era (began, name) VALUES ($1, $2)", now.UnixMilli(), chanceName())
	return err
}

func (s *Store) readEra(ctx context.Context) error {
	err := s.read.QueryRowContext(ctx, "SELECT name FROM era ORDER BY began DESC LIMIT 1").Scan(&s.era)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	return translate(s.path, "read", err)
}

// settled notes the file; its place is known by its name alone.
func (d *inFile) settled(context.Context) (err error) {
	if d.file, err = os.Stat(d.path); err != nil {
		return sootline.Errorf(sootline.Unavailable, "", "open book %s: %w", d.path, err)
	}
	return nil
}

// still reports whether the file that the book's name leads to is still the one
// that was opened. Where another took its place, whatever is written goes into a
// file that nobody will open again.
func (d *inFile) still() error {
	if d.file == nil { // it is being opened, and brought up to date
		return nil
	}
	now, err := os.Stat(d.path)
	if err == nil && os.SameFile(now, d.file) {
		return nil
	}
	return sootline.Errorf(sootline.Unavailable, "end this program and start it again", "book %s was moved or another was put in its place; nothing was written", d.path)
}
