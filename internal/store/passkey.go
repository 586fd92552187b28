package store

import (
	"context"
	"time"
)

// Passkey is the public half of a key by which somebody signs in.
type Passkey struct {
	ID         string // of the credential, base64url
	Person     string // as it is searched
	Handle     string // by which the device knows the person, base64url
	Host       string // the name of the server that it is for
	Name       string // of the device
	Credential []byte // JSON
	Added      time.Time
	Used       time.Time
}

const selectPasskey = "SELECT id, folded, handle, host, name, credential, added, used FROM passkey "

// AddPasskey keeps a passkey, and tells whether there was none of its id.
func (tx *Tx) AddPasskey(p Passkey) (bool, error) {
	return tx.changed("INSERT INTO passkey (id, folded, handle, host, name, credential, added, used) VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (id) DO NOTHING",
		p.ID, fold(p.Person), p.Handle, p.Host, p.Name, p.Credential, p.Added.UnixMilli(), p.Used.UnixMilli())
}

// UsePasskey notes that somebody signed in by a passkey, and tells whether it is still
// there.
func (tx *Tx) UsePasskey(id string, credential []byte, at time.Time) (bool, error) {
	return tx.changed("UPDATE passkey SET credential = $1, used = $2 WHERE id = $3", credential, at.UnixMilli(), id)
}

// DropPasskey takes a passkey of a person away, and tells whether there was one.
func (tx *Tx) DropPasskey(person, id string) (bool, error) {
	return tx.changed("DELETE FROM passkey WHERE id = $1 AND folded = $2", id, fold(person))
}

// DropPasskeys takes all passkeys of a person away, and tells whether there were any.
func (tx *Tx) DropPasskeys(person string) (bool, error) {
	return tx.changed("DELETE FROM passkey WHERE folded = $1", fold(person))
}

// Passkeys lists the passkeys of a person, the oldest first.
func (s *Store) Passkeys(ctx context.Context, person string) ([]Passkey, error) {
	return gathered(s.view(ctx), scanPasskey, selectPasskey+"WHERE folded = $1 ORDER BY added, id", fold(person))
}

// PasskeysOf lists those by whose handle a device knows a person.
func (s *Store) PasskeysOf(ctx context.Context, handle string) ([]Passkey, error) {
	return gathered(s.view(ctx), scanPasskey, selectPasskey+"WHERE handle = $1 ORDER BY added, id", handle)
}

func scanPasskey(scan func(...any) error) (Passkey, error) {
	var p Passkey
	var added, used int64
	err := scan(&p.ID, &p.Person, &p.Handle, &p.Host, &p.Name, &p.Credential, &added, &used)
	p.Added, p.Used = time.UnixMilli(added).UTC(), time.UnixMilli(used).UTC()
	return p, err
}
