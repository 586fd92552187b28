package app

import (
	"encoding/binary"

	"sootline"
)

// seen knows which entries are there already: exactly for those of the book, and
// for those of this intake by a filter of fixed size, so that memory does not
// grow with the rows. What the filter takes for a repeat is put aside and looked
// up in what was written (a Bloom filter errs only in that direction).
type seen struct {
	book   map[sootline.ID]string // by whom
	filter []uint64
	again  map[sootline.ID]*repeat
}

type repeat struct {
	entry   sootline.Entry
	outcome *TableOutcome
}

// filterBits is 2^27 bits, 16 MiB: with four hashes, at a million entries one in
// a million is put aside without need; at ten million one in two hundred. The four
// bits of an entry lie in one block, which the processor fetches at once.
const (
	filterBits = 1 << 27
	blockBits  = 512
)

func newSeen(entries []*sootline.Entry) *seen {
	s := &seen{book: make(map[sootline.ID]string, len(entries)), again: map[sootline.ID]*repeat{}}
	for _, e := range entries {
		s.book[e.ID] = e.By
	}
	return s
}

// look says whether an entry is new, and remembers it.
func (s *seen) look(o *TableOutcome, e *sootline.Entry) verdict {
	if _, ok := s.book[e.ID]; ok {
		return same
	}
	if s.filter == nil {
		s.filter = make([]uint64, filterBits/64)
	}
	// The last eight bytes of a derived id are a hash of what it says; the first
	// eight hold the time and the rest of the hash.
	one, two := binary.BigEndian.Uint64(e.ID[8:]), binary.BigEndian.Uint64(e.ID[:8])
	block := s.filter[one%(filterBits/blockBits)*(blockBits/64):][:blockBits/64]
	isNew := false
	for range 4 {
		two = (two ^ one) * 0x9e3779b97f4a7c15 // Fibonacci hashing (Knuth, vol. 3, 6.4): its upper bits are mixed best
		bit := two >> 55
		if block[bit/64]&(1<<(bit%64)) == 0 {
			block[bit/64] |= 1 << (bit % 64)
			isNew = true
		}
	}
	if isNew {
		return added
	}
	if s.again[e.ID] == nil {
		s.again[e.ID] = &repeat{entry: *e, outcome: o}
	}
	return repeated
}
