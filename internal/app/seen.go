package app

import (
	"encoding/binary"

	"sootline"
)

// seen knows which entries are there already: exactly for those of the book, and
// for those of this intake by filters of fixed size, so that memory does not grow
// with the rows. What they take for a repeat is put aside and looked up in what was
// written (a Bloom filter errs only in that direction). They hold the book's entries
// too: what is new, as most is, is told by them alone.
type seen struct {
	book        map[sootline.ID]string // by whom
	first, then filter                 // then is used once the first is full
	marked      int                    // entries in the first
	again       map[sootline.ID]*repeat
}

type repeat struct {
	entry   sootline.Entry
	outcome *TableOutcome
}

// The first filter is small, to stay close to the processor: 4 MiB for a million
// entries, 32 bits for each. With four hashes one in five thousand is put aside
// without need when it is full, one in twenty thousand of all. The other is 16 MiB:
// at ten million entries it puts one in two hundred aside.
const (
	firstBits = 1 << 25
	firstHas  = firstBits / 32
	thenBits  = 1 << 27
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
	if s.first == nil {
		s.first = newFilter(firstBits)
		for id := range s.book {
			s.mark(id)
		}
	}
	if s.mark(e.ID) {
		return added
	}
	if _, ok := s.book[e.ID]; ok {
		return same
	}
	if s.again[e.ID] == nil {
		s.again[e.ID] = &repeat{entry: *e, outcome: o}
	}
	return repeated
}

// mark notes an id, and reports whether it is new for certain.
func (s *seen) mark(id sootline.ID) bool {
	if s.marked < firstHas {
		s.marked++
		return s.first.mark(id)
	}
	if s.then == nil {
		s.then = newFilter(thenBits)
	}
	return !s.first.has(id) && s.then.mark(id)
}

// filter is a Bloom filter. The four bits of an id lie in one block, which the
// processor fetches at once.
type filter []filterBlock

type filterBlock [8]uint64

func newFilter(bits int) filter { return make(filter, bits/512) }

// bits gives the block of an id, and the numbers of its bits within.
func (f filter) bits(id sootline.ID) (block *filterBlock, bits [4]uint64) {
	// The last eight bytes of a derived id are a hash of what it says; the first
	// eight hold the time and the rest of the hash.
	one, two := binary.BigEndian.Uint64(id[8:]), binary.BigEndian.Uint64(id[:8])
	for i := range bits {
		two = (two ^ one) * 0x9e3779b97f4a7c15 // Fibonacci hashing (Knuth, vol. 3, 6.4): its upper bits are mixed best
		bits[i] = two >> 55
	}
	return &f[one%uint64(len(f))], bits
}

func (f filter) has(id sootline.ID) bool {
	block, bits := f.bits(id)
	for _, bit := range bits {
		if block[bit/64]&(1<<(bit%64)) == 0 {
			return false
		}
	}
	return true
}

// mark sets the bits of an id, and reports whether one of them was not set before.
func (f filter) mark(id sootline.ID) (isNew bool) {
	block, bits := f.bits(id)
	for _, bit := range bits {
		isNew = isNew || block[bit/64]&(1<<(bit%64)) == 0
		block[bit/64] |= 1 << (bit % 64)
	}
	return isNew
}
