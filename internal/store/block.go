package store

import (
	"bytes"
	"database/sql"
	"errors"
	"iter"
	"slices"

	"sootline"
)

// blockSpots is how many spots a block holds at most: few enough that adding one
// writes little, many enough that a million take few rows.
const blockSpots = 384

// block is a run of a site's spots as it is kept, from its first spot up to the
// next block's.
type block struct {
	first []byte // its key; nil: it is not kept yet
	spots []spot
}

// putSpots adds spots to a site's blocks: each block that gets some is written
// anew, once.
func (tx *Tx) putSpots(site string, spots []spot) error {
	slices.SortFunc(spots, compareSpots)
	for len(spots) > 0 {
		into, err := tx.blockFor(site, spots[0])
		if err != nil {
			return err
		}
		n, err := tx.before(site, into, spots)
		if err != nil {
			return err
		}
		if err := tx.replaceBlock(site, into.first, mergeSpots(into.spots, spots[:n])); err != nil {
			return err
		}
		spots = spots[n:]
	}
	return nil
}

// blockFor gives the block into which a spot belongs: the last that does not
// begin after it, or the first of all.
func (tx *Tx) blockFor(site string, s spot) (block, error) {
	for _, query := range [...]string{
		`SELECT first, spots FROM entry_block WHERE site = $1 AND first <= $2 ORDER BY first DESC LIMIT 1`,
		`SELECT first, spots FROM entry_block WHERE site = $1 AND first > $2 ORDER BY first LIMIT 1`,
	} {
		for b, err := range tx.view().blocks(query, site, s.append(nil)) {
			return b, err
		}
	}
	return block{}, nil
}

// before counts the spots that come before the block after this one.
func (tx *Tx) before(site string, b block, spots []spot) (int, error) {
	if b.first == nil {
		return len(spots), nil
	}
	var next []byte
	err := tx.tx.QueryRowContext(tx.ctx, `SELECT first FROM entry_block WHERE site = $1 AND first > $2 ORDER BY first LIMIT 1`, site, b.first).Scan(&next)
	if errors.Is(err, sql.ErrNoRows) {
		return len(spots), nil
	}
	if err != nil {
		return 0, err
	}
	key := make([]byte, 0, spotSize)
	n, _ := slices.BinarySearchFunc(spots, next, func(s spot, next []byte) int { return bytes.Compare(s.append(key), next) })
	return n, nil
}

// replaceBlock writes a run of spots in the place of a block, in even parts.
func (tx *Tx) replaceBlock(site string, old []byte, spots []spot) error {
	if old != nil {
		if _, err := tx.tx.ExecContext(tx.ctx, `DELETE FROM entry_block WHERE site = $1 AND first = $2`, site, old); err != nil {
			return err
		}
	}
	insert, err := tx.tx.PrepareContext(tx.ctx, `INSERT INTO entry_block (site, first, spots) VALUES ($1, $2, $3)`)
	if err != nil {
		return err
	}
	defer insert.Close()
	for parts := (len(spots) + blockSpots - 1) / blockSpots; parts > 0; parts-- {
		n := len(spots) / parts
		packed := packSpots(spots[:n])
		if _, err := insert.ExecContext(tx.ctx, site, packed[:spotSize], packed); err != nil {
			return err
		}
		spots = spots[n:]
	}
	return nil
}

// blocks reads the blocks that a query chooses.
func (v view) blocks(query string, args ...any) iter.Seq2[block, error] {
	return func(yield func(block, error) bool) {
		rows, err := v.q.QueryContext(v.ctx, query, args...)
		if err != nil {
			yield(block{}, err)
			return
		}
		defer rows.Close()
		for rows.Next() {
			b, err := scanBlock(rows.Scan)
			if err != nil {
				err = indexDamaged(v.path, err)
			}
			if !yield(b, err) || err != nil {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(block{}, err)
		}
	}
}

func scanBlock(scan func(...any) error) (b block, err error) {
	var packed []byte
	if err := scan(&b.first, &packed); err != nil {
		return b, err
	}
	if b.spots, err = unpackSpots(packed); err != nil {
		return b, err
	}
	if !bytes.Equal(b.first, packed[:spotSize]) {
		return b, errNoSpots
	}
	return b, nil
}

// mayHold chooses the blocks that may hold a spot between two: the last that begins before
// them, and those that begin among them.
const mayHold = `SELECT first, spots FROM entry_block WHERE site = $1 AND first <= $3 AND first >= COALESCE(
	(SELECT first FROM entry_block WHERE site = $1 AND first < $2 ORDER BY first DESC LIMIT 1), $2) ORDER BY first DESC`

// spotsOf gives the spots of an id in a site's log: one for each copy.
func (v view) spotsOf(site string, id sootline.ID) ([]spot, error) {
	lowest, highest := append(id[:], make([]byte, 8)...), append(id[:], bytes.Repeat([]byte{255}, 8)...)
	var found []spot
	for b, err := range v.blocks(mayHold, site, lowest, highest) {
		if err != nil {
			return nil, err
		}
		for _, s := range b.spots {
			if s.id() == id {
				found = append(found, s)
			}
		}
	}
	return found, nil
}
