package store

import (
	"context"
	"database/sql"
	"errors"
)

// Factor is the second factor of a person: codes by the time of day.
type Factor struct {
	Secret string // base32
	Used   int64  // the last half minute whose code was used
}

// PutFactor gives a person a second factor, or notes that a code of it was used.
func (tx *Tx) PutFactor(person string, f Factor) error {
	_, err := tx.changed(`
		INSERT INTO person_factor (folded, secret, used) VALUES ($1, $2, $3)
		ON CONFLICT (folded) DO UPDATE SET secret = excluded.secret, used = excluded.used`, fold(person), f.Secret, f.Used)
	return err
}

// DropFactor takes a person's second factor away, and tells whether there was one.
func (tx *Tx) DropFactor(person string) (bool, error) {
	return tx.changed("DELETE FROM person_factor WHERE folded = $1", fold(person))
}

// Factor gives a person's second factor; nil when there is none.
func (s *Store) Factor(ctx context.Context, person string) (*Factor, error) {
	return s.view(ctx).factor(person)
}

// Factor gives a person's second factor as the transaction sees it.
func (tx *Tx) Factor(person string) (*Factor, error) { return tx.view().factor(person) }

func (v view) factor(person string) (*Factor, error) {
	var f Factor
	err := v.q.QueryRowContext(v.ctx, "SELECT secret, used FROM person_factor WHERE folded = $1", fold(person)).Scan(&f.Secret, &f.Used)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(v.path, "read", err)
	}
	return &f, nil
}
