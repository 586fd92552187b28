package app

import (
	"encoding/binary"
	"testing"
	"time"

	"sootline"
)

// Every repeat is found, on both sides of the point at which the first filter is
// full, and what is put aside without need stays as rare as is said there.
func TestSeenBeyondTheFirstFilter(t *testing.T) {
	id := func(i int) sootline.ID {
		return sootline.DerivedID(time.Unix(int64(i/5000)*86400, 0), binary.BigEndian.AppendUint64(nil, uint64(i)))
	}
	book := &sootline.Entry{ID: id(-1), By: "A. Tech"}
	s := newSeen([]*sootline.Entry{book})
	o := &TableOutcome{}
	if v := s.look(o, book); v != same {
		t.Errorf("an entry of the book is taken for %d, want %d", v, same)
	}
	const many = firstHas + firstHas/8
	needless := 0
	for i := range many {
		if v := s.look(o, &sootline.Entry{ID: id(i)}); v != added {
			needless++
		}
	}
	if needless > many/10_000 {
		t.Errorf("%d of %d new entries are put aside, want one in 20,000 and no more than twice as many", needless, many)
	}
	for i := 0; i < many; i += 1009 {
		if v := s.look(o, &sootline.Entry{ID: id(i)}); v != repeated {
			t.Fatalf("entry %d, which was there, is taken for %d, want %d", i, v, repeated)
		}
	}
}
