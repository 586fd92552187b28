package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Phone is a phone that is a station of its own, or a calendar program that
// may read due dates.
type Phone struct {
	Station string
	Name    string
	Person  string
	Purpose string // phone, or calendar
	Key     string // a hash of the key that the phone holds
	Added   time.Time
}

// PutPhone adds a phone.
func (tx *Tx) PutPhone(p Phone) error {
	_, err := tx.tx.ExecContext(tx.ctx, "INSERT INTO phone (station, name, person, purpose, key, added) VALUES ($1, $2, $3, $4, $5, $6)",
		p.Station, p.Name, p.Person, p.Purpose, p.Key, p.Added.UnixMilli())
	return err
}

// DropPhone takes a phone off, and tells whether there was one.
func (tx *Tx) DropPhone(station string) (bool, error) {
	done, err := tx.tx.ExecContext(tx.ctx, "DELETE FROM phone WHERE station = $1", station)
	if err != nil {
		return false, err
	}
	n, err := done.RowsAffected()
	return n > 0, err
}

// PhoneByKey finds the phone whose key has that hash; nil when there is none.
func (s *Store) PhoneByKey(ctx context.Context, key string) (*Phone, error) {
	p, err := scanPhone(s.read.QueryRowContext(ctx, "SELECT station, name, person, purpose, key, added FROM phone WHERE key = $1", key).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(s.path, "read", err)
	}
	return &p, nil
}

// Phones lists the phones, the latest first.
func (s *Store) Phones(ctx context.Context) ([]Phone, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT station, name, person, purpose, key, added FROM phone ORDER BY added DESC, station")
	if err != nil {
		return nil, translate(s.path, "read", err)
	}
	defer rows.Close()
	var phones []Phone
	for rows.Next() {
		p, err := scanPhone(rows.Scan)
		if err != nil {
			return nil, damaged(s.path, err)
		}
		phones = append(phones, p)
	}
	return phones, translate(s.path, "read", rows.Err())
}

func scanPhone(scan func(...any) error) (Phone, error) {
	var p Phone
	var added int64
	err := scan(&p.Station, &p.Name, &p.Person, &p.Purpose, &p.Key, &added)
	p.Added = time.UnixMilli(added).UTC()
	return p, err
}
