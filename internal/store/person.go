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
	Mark     string // what is given out under another one opens nothing
	Added    time.Time
	Scope    Scope
}

const selectPerson = "SELECT name, role, password, COALESCE(mark, ''), added FROM person LEFT JOIN person_mark ON person_mark.folded = person.folded "

// AddPerson adds a person, and tells whether there was none of that name.
func (tx *Tx) AddPerson(p Person) (bool, error) {
	fresh, err := tx.changed("INSERT INTO person (folded, name, role, password, added) VALUES ($1, $2, $3, $4, $5) ON CONFLICT (folded) DO NOTHING",
		fold(p.Name), p.Name, p.Role, p.Password, p.Added.UnixMilli())
	if err != nil || !fresh {
		return false, err
	}
	if err := tx.PutPersonScope(p.Name, p.Scope); err != nil {
		return false, err
	}
	return true, tx.putMark(p)
}

func (tx *Tx) putMark(p Person) error {
	_, err := tx.changed("INSERT INTO person_mark (folded, mark) VALUES ($1, $2) ON CONFLICT (folded) DO UPDATE SET mark = excluded.mark", fold(p.Name), p.Mark)
	return err
}

// ChangePerson gives the person of that name another role, password and mark, and
// ends all that was given out before: sessions, phones and addresses for calendars.
func (tx *Tx) ChangePerson(p Person) error {
	if _, err := tx.changed("UPDATE person SET role = $1, password = $2 WHERE folded = $3", p.Role, p.Password, fold(p.Name)); err != nil {
		return err
	}
	if err := tx.putMark(p); err != nil {
		return err
	}
	return tx.endAll(p.Name)
}

// DropPerson takes a person out of those who may sign in, with all that was given out.
func (tx *Tx) DropPerson(name string) error {
	for _, query := range []string{"DELETE FROM person WHERE folded = $1", "DELETE FROM person_mark WHERE folded = $1", "DELETE FROM person_factor WHERE folded = $1", "DELETE FROM passkey WHERE folded = $1"} {
		if _, err := tx.changed(query, fold(name)); err != nil {
			return err
		}
	}
	if err := tx.dropScope(personHolder(name)); err != nil {
		return err
	}
	return tx.endAll(name)
}

// endAll ends all that was given out to a person. Names of phones' owners are as
// they were typed when the person was added, so the folding is done here.
func (tx *Tx) endAll(name string) error {
	if err := tx.DropAllSignedIn(name); err != nil {
		return err
	}
	phones, err := tx.view().phones()
	for _, p := range phones {
		if err == nil && SameName(p.Person, name) {
			_, err = tx.DropPhone(p.Station)
		}
	}
	return err
}

// changed runs a statement, and tells whether it changed a row.
func (tx *Tx) changed(query string, args ...any) (bool, error) {
	done, err := tx.tx.ExecContext(tx.ctx, query, args...)
	if err != nil {
		return false, err
	}
	n, err := done.RowsAffected()
	return n > 0, err
}

// Person finds a person by name, whatever the case of its letters; nil when
// there is none.
func (s *Store) Person(ctx context.Context, name string) (*Person, error) {
	return s.view(ctx).person(name)
}

// Person finds a person as the transaction sees it.
func (tx *Tx) Person(name string) (*Person, error) { return tx.view().person(name) }

func (v view) person(name string) (*Person, error) {
	p, err := scanPerson(v.q.QueryRowContext(v.ctx, selectPerson+"WHERE person.folded = $1", fold(name)).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(v.path, "read", err)
	}
	p.Scope, err = v.scope(personHolder(p.Name))
	return &p, err
}

// People lists those who may sign in, by name.
func (s *Store) People(ctx context.Context) ([]Person, error) { return s.view(ctx).people() }

// People lists those who may sign in as the transaction sees them.
func (tx *Tx) People() ([]Person, error) { return tx.view().people() }

func (v view) people() ([]Person, error) {
	people, err := gathered(v, scanPerson, selectPerson+"ORDER BY person.folded")
	if err != nil {
		return nil, err
	}
	scopes, err := v.scopes("")
	for i := range people {
		people[i].Scope = scopes[personHolder(people[i].Name)]
	}
	return people, err
}

func scanPerson(scan func(...any) error) (Person, error) {
	var p Person
	var added int64
	err := scan(&p.Name, &p.Role, &p.Password, &p.Mark, &added)
	p.Added = time.UnixMilli(added).UTC()
	return p, err
}

// gathered reads all rows of a query.
func gathered[T any](v view, scan func(func(...any) error) (T, error), query string, args ...any) ([]T, error) {
	rows, err := v.q.QueryContext(v.ctx, query, args...)
	if err != nil {
		return nil, translate(v.path, "read", err)
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		one, err := scan(rows.Scan)
		if err != nil {
			return nil, damaged(v.path, err)
		}
		all = append(all, one)
	}
	return all, translate(v.path, "read", rows.Err())
}
