package store

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"slices"

	"sootline"
)

// spot is where an entry is: its id, and its place, which is a mark of the
// station that wrote it and the entry's number in that station's chain. It has
// no number of a page, so that it stays true wherever pages begin.
type spot struct{ high, low, place uint64 }

// spotSize is how many bytes a spot takes.
const spotSize = 24

// seqBits is the room for the number within a place: a million million entries.
const seqBits = 40

// spotOf gives the spot of an entry.
func spotOf(e *sootline.Entry, mark uint64) spot {
	return spot{binary.BigEndian.Uint64(e.ID[:8]), binary.BigEndian.Uint64(e.ID[8:]), mark<<seqBits | uint64(e.Seq)}
}

// markOf shortens a station's name to 24 bits. Two stations of one site may
// share a mark; what is read at a place is compared with what was asked for.
func markOf(station string) uint64 {
	sum := sha256.Sum256([]byte(station))
	return binary.BigEndian.Uint64(sum[:8]) >> seqBits
}

func (s spot) mark() uint64 { return s.place >> seqBits }

func (s spot) seq() int64 { return int64(s.place & (1<<seqBits - 1)) }

func (s spot) id() (id sootline.ID) {
	binary.BigEndian.PutUint64(id[:8], s.high)
	binary.BigEndian.PutUint64(id[8:], s.low)
	return id
}

// compareSpots orders spots by id, then by place; their bytes have the same order.
func compareSpots(a, b spot) int {
	switch {
	case a.high != b.high:
		return cmp.Compare(a.high, b.high)
	case a.low != b.low:
		return cmp.Compare(a.low, b.low)
	}
	return cmp.Compare(a.place, b.place)
}

func (s spot) append(dst []byte) []byte {
	dst = binary.BigEndian.AppendUint64(dst, s.high)
	dst = binary.BigEndian.AppendUint64(dst, s.low)
	return binary.BigEndian.AppendUint64(dst, s.place)
}

func packSpots(spots []spot) []byte {
	packed := make([]byte, 0, len(spots)*spotSize)
	for _, s := range spots {
		packed = s.append(packed)
	}
	return packed
}

var errNoSpots = errors.New("it does not hold spots in their order")

// unpackSpots reads a block; it holds at least one spot.
func unpackSpots(packed []byte) ([]spot, error) {
	if len(packed) == 0 || len(packed)%spotSize != 0 {
		return nil, errNoSpots
	}
	spots := make([]spot, len(packed)/spotSize)
	for i := range spots {
		at := packed[i*spotSize:]
		spots[i] = spot{binary.BigEndian.Uint64(at), binary.BigEndian.Uint64(at[8:]), binary.BigEndian.Uint64(at[16:])}
	}
	if !slices.IsSortedFunc(spots, compareSpots) {
		return nil, errNoSpots
	}
	return spots, nil
}

// mergeSpots gives both lists, each in order, as one in order.
func mergeSpots(a, b []spot) []spot {
	if len(a) == 0 {
		return b
	}
	all := make([]spot, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if compareSpots(a[0], b[0]) <= 0 {
			all, a = append(all, a[0]), a[1:]
		} else {
			all, b = append(all, b[0]), b[1:]
		}
	}
	return append(append(all, a...), b...)
}
