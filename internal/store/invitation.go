package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Invitation is somebody who is asked in, and has not come yet.
type Invitation struct {
	Key   string // a hash of the one in the address
	Name  string
	Role  string
	Maker string // who asked
	Mark  string // theirs, when they asked
	Until time.Time
	Scope Scope
}

const selectInvitation = "SELECT key, name, role, maker, mark, until FROM invitation "

// PutInvitation keeps an invitation, in the place of one of the same name, and forgets
// those that ended before an instant.
func (tx *Tx) PutInvitation(in Invitation, forget time.Time) error {
	all, err := tx.Invitations()
	if err != nil {
		return err
	}
	for _, old := range all {
		if SameName(old.Name, in.Name) || old.Until.Before(forget) {
			if _, err := tx.DropInvitation(old.Key); err != nil {
				return err
			}
		}
	}
	if _, err := tx.changed("INSERT INTO invitation (key, name, role, maker, mark, until) VALUES ($1, $2, $3, $4, $5, $6)",
		in.Key, in.Name, in.Role, in.Maker, in.Mark, in.Until.UnixMilli()); err != nil {
		return err
	}
	return tx.putScope(invitationHolder(in.Key), in.Scope)
}

// DropInvitation ends an invitation, and tells whether there was one.
func (tx *Tx) DropInvitation(key string) (bool, error) {
	if err := tx.dropScope(invitationHolder(key)); err != nil {
		return false, err
	}
	return tx.changed("DELETE FROM invitation WHERE key = $1", key)
}

// Invitation finds the invitation whose key has that hash; nil when there is none.
func (s *Store) Invitation(ctx context.Context, key string) (*Invitation, error) {
	return s.view(ctx).invitation(key)
}

// Invitation finds an invitation, as the transaction sees it.
func (tx *Tx) Invitation(key string) (*Invitation, error) { return tx.view().invitation(key) }

func (v view) invitation(key string) (*Invitation, error) {
	in, err := scanInvitation(v.q.QueryRowContext(v.ctx, selectInvitation+"WHERE key = $1", key).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, translate(v.path, "read", err)
	}
	in.Scope, err = v.scope(invitationHolder(in.Key))
	return &in, err
}

// Invitations lists the invitations, by name.
func (s *Store) Invitations(ctx context.Context) ([]Invitation, error) {
	return s.view(ctx).invitations()
}

// Invitations lists the invitations, as the transaction sees them.
func (tx *Tx) Invitations() ([]Invitation, error) { return tx.view().invitations() }

func (v view) invitations() ([]Invitation, error) {
	all, err := gathered(v, scanInvitation, selectInvitation+"ORDER BY name, key")
	if err != nil {
		return nil, err
	}
	scopes, err := v.scopes("")
	for i := range all {
		all[i].Scope = scopes[invitationHolder(all[i].Key)]
	}
	return all, err
}

func scanInvitation(scan func(...any) error) (Invitation, error) {
	var in Invitation
	var until int64
	err := scan(&in.Key, &in.Name, &in.Role, &in.Maker, &in.Mark, &until)
	in.Until = time.UnixMilli(until).UTC()
	return in, err
}
