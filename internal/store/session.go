package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// Sessions keeps who is signed in; it has the methods that
// github.com/alexedwards/scs/v2 asks of a store.
type Sessions struct {
	Store *Store
	Now   func() time.Time
}

// FindCtx gives a session that has not run out.
func (s Sessions) FindCtx(ctx context.Context, token string) (data []byte, found bool, err error) {
	err = s.Store.read.QueryRowContext(ctx, "SELECT data FROM session WHERE token = $1 AND expiry > $2", token, s.Now().UnixMilli()).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	return data, err == nil, translate(s.Store.path, "read", err)
}

// CommitCtx keeps a session, and forgets those that have run out.
func (s Sessions) CommitCtx(ctx context.Context, token string, data []byte, expiry time.Time) error {
	return s.Store.WriteRows(ctx, func(tx *Tx) error {
		if _, err := tx.tx.ExecContext(ctx, "DELETE FROM session WHERE expiry <= $1", s.Now().UnixMilli()); err != nil {
			return err
		}
		_, err := tx.tx.ExecContext(ctx, `
			INSERT INTO session (token, data, expiry) VALUES ($1, $2, $3)
			ON CONFLICT (token) DO UPDATE SET data = excluded.data, expiry = excluded.expiry`, token, data, expiry.UnixMilli())
		return err
	})
}

// DeleteCtx ends a session.
func (s Sessions) DeleteCtx(ctx context.Context, token string) error {
	return s.Store.WriteRows(ctx, func(tx *Tx) error {
		_, err := tx.tx.ExecContext(ctx, "DELETE FROM session WHERE token = $1", token)
		return err
	})
}

// Find is FindCtx without a context.
func (s Sessions) Find(token string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), token)
}

// Commit is CommitCtx without a context.
func (s Sessions) Commit(token string, data []byte, expiry time.Time) error {
	return s.CommitCtx(context.Background(), token, data, expiry)
}

// Delete is DeleteCtx without a context.
func (s Sessions) Delete(token string) error { return s.DeleteCtx(context.Background(), token) }
