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
		into, next, err := tx.blockFor(site, spots[0])
		if err != nil {
			return err
		}
		n := before(next, spots)
		if err := tx.replaceBlock(site, into.first, mergeSpots(into.spots, spots[:n])); err != nil {
			return err
		}
		spots = spots[n:]
	}
	return nil
}

// intoBlock chooses the block into which a spot belongs, the last that does not begin after it
// or the first of all, and how the one after it begins.
const intoBlock = `
	SELECT block.first, block.spots, (SELECT next.first FROM entry_block AS next WHERE next.site = $1 AND next.first > block.first ORDER BY next.first LIMIT 1)
	FROM entry_block AS block WHERE block.site = $1 AND block.first >= COALESCE((SELECT first FROM entry_block WHERE site = $1 AND first <= $2 ORDER BY first DESC LIMIT 1), $3)
	ORDER BY block.first LIMIT 1`

// blockFor gives the block into which a spot belongs, and the beginning of the one after it;
// nil: there is none.
func (tx *Tx) blockFor(site string, s spot) (into block, next []byte, err error) {
	var first, packed []byte
	err = tx.tx.QueryRowContext(tx.ctx, intoBlock, site, s.append(nil), []byte{}).Scan(&first, &packed, &next)
	if errors.Is(err, sql.ErrNoRows) {
		return block{}, nil, nil
	}
	if err != nil {
		return block{}, nil, err
	}
	if into, err = openBlock(first, packed); err != nil {
		err = indexDamaged(tx.path, err)
	}
	return into, next, err
}

// before counts the spots that come before the block that begins so.
func before(next []byte, spots []spot) int {
	if next == nil {
		return len(spots)
	}
	key := make([]byte, 0, spotSize)
	n, _ := slices.BinarySearchFunc(spots, next, func(s spot, next []byte) int { return bytes.Compare(s.append(key), next) })
	return n
}

// replaceBlock writes a run of spots in the place of a block, in even parts.
func (tx *Tx) replaceBlock(site string, old []byte, spots []spot) error {
	packed := packSpots(spots)
	if old != nil && len(spots) <= blockSpots && bytes.Equal(old, packed[:spotSize]) {
		_, err := tx.changed(`UPDATE entry_block SET spots = $1 WHERE site = $2 AND first = $3`, packed, site, old)
		return err
	}
	if old != nil {
		if _, err := tx.changed(`DELETE FROM entry_block WHERE site = $1 AND first = $2`, site, old); err != nil {
			return err
		}
	}
	for parts := (len(spots) + blockSpots - 1) / blockSpots; parts > 0; parts-- {
		n := len(packed) / spotSize / parts * spotSize
		if _, err := tx.changed(`INSERT INTO entry_block (site, first, spots) VALUES ($1, $2, $3)`, site, packed[:spotSize], packed[:n]); err != nil {
			return err
		}
		packed = packed[n:]
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
	var first, packed []byte
	if err := scan(&first, &packed); err != nil {
		return b, err
	}
	return openBlock(first, packed)
}

func openBlock(first, packed []byte) (b block, err error) {
	b.first = first
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
