package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Person is somebody who may sign in.
type Person struct {
	Name     string
	Role     string
	Password string // as it is kept: a hash
	Added    time.Time
}

// PutPerson adds a person, or changes the role and password of one.
func (tx *Tx) PutPerson(p Person) error {
	_, err := tx.tx.ExecContext(tx.ctx, `
		INSERT INTO person (folded, name, role, password, added) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (folded) DO UPDATE SET name = excluded.name, role = excluded.role, password = excluded.password`,
		fold(p.Name), p.Name, p.Role, p.Password, p.Added.UnixMilli())
	return err
}

// Person finds a person by name, whatever the case of its letters; nil when
// there is none.
func (s *Store) Person(ctx context.Context, name string) (*Person, error) {
	var p Person
	var added int64
	err := s.read.QueryRowContext(ctx, "SELECT name, role, password, added FROM person WHERE folded = $1", fold(name)).
		Scan(&p.Name, &p.Role, &p.Password, &added)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(s.path, "read", err)
	}
	p.Added = time.UnixMilli(added).UTC()
	return &p, nil
}

// People lists those who may sign in, by name.
func (s *Store) People(ctx context.Context) ([]Person, error) { return s.view(ctx).people() }

// People lists those who may sign in as the transaction sees them.
func (tx *Tx) People() ([]Person, error) { return tx.view().people() }

func (v view) people() ([]Person, error) {
	rows, err := v.q.QueryContext(v.ctx, "SELECT name, role, password, added FROM person ORDER BY folded")
	if err != nil {
		return nil, translate(v.path, "read", err)
	}
	defer rows.Close()
	var people []Person
	for rows.Next() {
		var p Person
		var added int64
		if err := rows.Scan(&p.Name, &p.Role, &p.Password, &added); err != nil {
			return nil, damaged(v.path, err)
		}
		p.Added = time.UnixMilli(added).UTC()
		people = append(people, p)
	}
	return people, translate(v.path, "read", rows.Err())
}
