package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"sootline"
)

// Phone is a phone that is a station of its own, or a calendar program that
// may read due dates.
type Phone struct {
	Station string
	Name    string
	Person  string
	Mark    string // the person's, when it was added
	Purpose string // phone, or calendar
	Key     string // a hash of the key that the phone holds
	Added   time.Time
	Site    sootline.ID // the one that a calendar address opens; zero: all
}

const selectPhone = `
	SELECT phone.station, name, person, COALESCE(mark, ''), purpose, key, added, COALESCE(site, '')
	FROM phone LEFT JOIN phone_mark ON phone_mark.station = phone.station LEFT JOIN phone_site ON phone_site.station = phone.station `

// PutPhone adds a phone.
func (tx *Tx) PutPhone(p Phone) error {
	if _, err := tx.changed("INSERT INTO phone_mark (station, mark) VALUES ($1, $2)", p.Station, p.Mark); err != nil {
		return err
	}
	if !p.Site.Zero() {
		if _, err := tx.changed("INSERT INTO phone_site (station, site) VALUES ($1, $2)", p.Station, p.Site.String()); err != nil {
			return err
		}
	}
	_, err := tx.changed("INSERT INTO phone (station, name, person, purpose, key, added) VALUES ($1, $2, $3, $4, $5, $6)",
		p.Station, p.Name, p.Person, p.Purpose, p.Key, p.Added.UnixMilli())
	return err
}

// DropPhone takes a phone off, and tells whether there was one.
func (tx *Tx) DropPhone(station string) (bool, error) {
	for _, query := range []string{"DELETE FROM phone_mark WHERE station = $1", "DELETE FROM phone_site WHERE station = $1"} {
		if _, err := tx.changed(query, station); err != nil {
			return false, err
		}
	}
	return tx.changed("DELETE FROM phone WHERE station = $1", station)
}

// PhoneByKey finds the phone whose key has that hash; nil when there is none.
func (s *Store) PhoneByKey(ctx context.Context, key string) (*Phone, error) {
	p, err := scanPhone(s.read.QueryRowContext(ctx, selectPhone+"WHERE key = $1", key).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(s.path, "read", err)
	}
	return &p, nil
}

// Phones lists the phones, the latest first.
func (s *Store) Phones(ctx context.Context) ([]Phone, error) { return s.view(ctx).phones() }

// Phones lists the phones as the transaction sees them.
func (tx *Tx) Phones() ([]Phone, error) { return tx.view().phones() }

func (v view) phones() ([]Phone, error) {
	return gathered(v, scanPhone, selectPhone+"ORDER BY added DESC, phone.station")
}

func scanPhone(scan func(...any) error) (Phone, error) {
	var p Phone
	var added int64
	var site string
	err := scan(&p.Station, &p.Name, &p.Person, &p.Mark, &p.Purpose, &p.Key, &added, &site)
	p.Added = time.UnixMilli(added).UTC()
	if err == nil && site != "" {
		p.Site, err = sootline.ParseID(site)
	}
	return p, err
}
