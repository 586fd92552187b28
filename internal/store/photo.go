package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
)

// PhotoHash is the hash under which a picture is kept.
func PhotoHash(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}

// PutPhoto keeps a picture under its hash, once.
func (tx *Tx) PutPhoto(hash string, content []byte) error {
	_, err := tx.tx.ExecContext(tx.ctx, "INSERT INTO photo (hash, content) VALUES ($1, $2) ON CONFLICT (hash) DO NOTHING", hash, content)
	return err
}

// Photo gives the picture of a hash; nil when the book does not hold it.
func (s *Store) Photo(ctx context.Context, hash string) (content []byte, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT content FROM photo WHERE hash = $1", hash).Scan(&content)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return content, translate(s.path, "read", err)
}
