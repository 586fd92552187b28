package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"time"

	"sootline"
)

// SecurityEvent is a line of the journal of security events. Lines are added, and
// never changed or removed; each closes over the one before it, so that a line that
// somebody alters or removes from among others shows. A journal that was written
// anew from some line to its end does not show it.
type SecurityEvent struct {
	Seq    int64
	At     time.Time
	What   string
	Actor  string // who did it; empty: nobody that the book knows
	Whom   string // the person, phone or site it was done to
	Detail string
	Origin string // the network address, or the command line
	Hash   string
}

const securityColumns = "seq, at, what, actor, whom, detail, origin, hash"

// sealed gives the hash of an event after the one before it.
func (e SecurityEvent) sealed(before string) (string, error) {
	text, err := json.Marshal([]any{before, e.Seq, e.At.UnixMilli(), e.What, e.Actor, e.Whom, e.Detail, e.Origin})
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), err
}

// AddSecurityEvent adds a line to the journal.
func (tx *Tx) AddSecurityEvent(e SecurityEvent) error {
	if err := tx.in.alone(tx, "journal"); err != nil {
		return err
	}
	last, err := scanSecurity(tx.tx.QueryRowContext(tx.ctx, "SELECT "+securityColumns+" FROM security_event ORDER BY seq DESC LIMIT 1").Scan)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	e.Seq = last.Seq + 1
	if e.Hash, err = e.sealed(last.Hash); err != nil {
		return err
	}
	_, err = tx.changed("INSERT INTO security_event ("+securityColumns+") VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
		e.Seq, e.At.UnixMilli(), e.What, e.Actor, e.Whom, e.Detail, e.Origin, e.Hash)
	return err
}

// SecurityEvents lists lines of the journal before a number, the latest first; no
// number: from the end.
func (s *Store) SecurityEvents(ctx context.Context, before int64, most int) ([]SecurityEvent, error) {
	if before <= 0 {
		before = 1 << 62
	}
	return gathered(s.view(ctx), scanSecurity, "SELECT "+securityColumns+" FROM security_event WHERE seq < $1 ORDER BY seq DESC LIMIT $2", before, most)
}

// CheckSecurityEvents reports the first line of the journal that is missing or is
// not as it was written.
func (s *Store) CheckSecurityEvents(ctx context.Context) error {
	events, err := gathered(s.view(ctx), scanSecurity, "SELECT "+securityColumns+" FROM security_event ORDER BY seq")
	if err != nil {
		return err
	}
	before := ""
	for i, e := range events {
		hash, err := e.sealed(before)
		if err != nil {
			return err
		}
		if e.Seq != int64(i)+1 || hash != e.Hash {
			return sootline.Errorf(sootline.Damaged, "compare it with a backup", "the journal of security events is not whole: line %d was altered, or lines before it are missing", e.Seq)
		}
		before = hash
	}
	return nil
}

func scanSecurity(scan func(...any) error) (SecurityEvent, error) {
	var e SecurityEvent
	var at int64
	err := scan(&e.Seq, &at, &e.What, &e.Actor, &e.Whom, &e.Detail, &e.Origin, &e.Hash)
	e.At = time.UnixMilli(at).UTC()
	return e, err
}
