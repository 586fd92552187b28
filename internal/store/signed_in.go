package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// SignedIn is somebody who is signed in somewhere. The session of the browser
// holds its id and nothing else.
type SignedIn struct {
	ID     string
	Person string // as it is searched
	Mark   string // the person's, when it began
	Origin string // the network address
	Device string // what the browser says of itself
	Began  time.Time
	Seen   time.Time // about when it last asked for something
}

const signedInColumns = "id, person, mark, origin, device, began, seen"

// PutSignedIn notes that somebody signed in, and forgets those who have not been
// seen since an instant.
func (tx *Tx) PutSignedIn(in SignedIn, forget time.Time) error {
	if _, err := tx.changed("DELETE FROM signed_in WHERE seen < $1", forget.UnixMilli()); err != nil {
		return err
	}
	_, err := tx.changed("INSERT INTO signed_in ("+signedInColumns+") VALUES ($1, $2, $3, $4, $5, $6, $7)",
		in.ID, fold(in.Person), in.Mark, in.Origin, in.Device, in.Began.UnixMilli(), in.Seen.UnixMilli())
	return err
}

// SeeSignedIn notes that it asked for something.
func (tx *Tx) SeeSignedIn(id string, at time.Time) error {
	_, err := tx.changed("UPDATE signed_in SET seen = $1 WHERE id = $2", at.UnixMilli(), id)
	return err
}

// DropSignedIn ends one of a person's, and tells whether there was one.
func (tx *Tx) DropSignedIn(person, id string) (bool, error) {
	return tx.changed("DELETE FROM signed_in WHERE id = $1 AND person = $2", id, fold(person))
}

// DropAllSignedIn ends all of a person's.
func (tx *Tx) DropAllSignedIn(person string) error {
	_, err := tx.changed("DELETE FROM signed_in WHERE person = $1", fold(person))
	return err
}

// SignedInAs finds it by its id; nil when there is none.
func (s *Store) SignedInAs(ctx context.Context, id string) (*SignedIn, error) {
	in, err := scanSignedIn(s.read.QueryRowContext(ctx, "SELECT "+signedInColumns+" FROM signed_in WHERE id = $1", id).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(s.path, "read", err)
	}
	return &in, nil
}

// SignedIn lists where a person is signed in, the latest seen first.
func (s *Store) SignedIn(ctx context.Context, person string) ([]SignedIn, error) {
	return gathered(s.view(ctx), scanSignedIn, "SELECT "+signedInColumns+" FROM signed_in WHERE person = $1 ORDER BY seen DESC, id", fold(person))
}

func scanSignedIn(scan func(...any) error) (SignedIn, error) {
	var in SignedIn
	var began, seen int64
	err := scan(&in.ID, &in.Person, &in.Mark, &in.Origin, &in.Device, &began, &seen)
	in.Began, in.Seen = time.UnixMilli(began).UTC(), time.UnixMilli(seen).UTC()
	return in, err
}
