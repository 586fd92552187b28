package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"

	"sootline"
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

// Photo gives the picture of a hash; nil when the book does not hold it. What is
// there and is not the picture that was kept is an error of code [sootline.Damaged].
func (s *Store) Photo(ctx context.Context, hash string) (content []byte, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT content FROM photo WHERE hash = $1", hash).Scan(&content)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil, nil
	case err != nil:
		return nil, translate(s.path, "read", err)
	case !isPhoto(hash, content):
		return nil, photoDamaged(hash)
	}
	return content, nil
}

func isPhoto(hash string, content []byte) bool {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:]) == hash
}

func photoDamaged(hash string) error {
	return sootline.Errorf(sootline.Damaged, "a backup made before may hold it", "photo %s cannot be read: what the book holds under its name is not what was kept", hash).Do(sootline.RestoreBackup)
}

// SoundPhotos reads every picture. It gives how many are what was kept, and names
// those that are not, by their hashes.
func (s *Store) SoundPhotos(ctx context.Context) (sound int, bad []string, err error) {
	rows, err := s.read.QueryContext(ctx, "SELECT hash FROM photo ORDER BY hash")
	if err != nil {
		return 0, nil, translate(s.path, "read", err)
	}
	var all []string
	for rows.Next() {
		var hash string
		if err := rows.Scan(&hash); err != nil {
			return 0, nil, errors.Join(damaged(s.path, err), rows.Close())
		}
		all = append(all, hash)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		return 0, nil, translate(s.path, "read", err)
	}
	for _, hash := range all { // one by one: one that cannot be read hides no other
		_, err := s.Photo(ctx, hash)
		switch {
		case err == nil:
			sound++
		case sootline.ErrorCode(err) == sootline.Damaged:
			bad = append(bad, hash)
		default:
			return sound, bad, err
		}
	}
	return sound, bad, nil
}
