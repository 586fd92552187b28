package sootline

import (
	"bytes"
	"cmp"
	"container/heap"
	"slices"
)

// Which of several amendments of an entry holds follows from what each saw, not
// from clocks: one that was written in sight of another comes after it, whatever
// the time on it. Only of two that knew nothing of each other does the time decide.

// Amendments gives, for each entry that was corrected or withdrawn, the amendment
// that holds.
func Amendments(entries []Entry) map[ID]*Entry { return amendments(ordered(entries)) }

// amendments gives, for each entry that was corrected or withdrawn, the amendment
// that holds: the last one that was not itself withdrawn.
func amendments(entries []*Entry) map[ID]*Entry {
	_, amended := lastFirst(entries)
	return amended
}

// Unsurpassed lists the amendments of an entry that no other was written in sight
// of: what somebody who amends it now has seen. Withdrawn ones are among them.
func Unsurpassed(amendments []Entry, entry ID) []ID {
	var last []ID
	surpassed := map[ID]bool{}
	for i := range amendments {
		if amends(&amendments[i]) == entry {
			last = append(last, amendments[i].ID)
			for _, id := range saw(amendments[i].Body) {
				surpassed[id] = true
			}
		}
	}
	slices.SortFunc(last, func(a, b ID) int { return bytes.Compare(a[:], b[:]) })
	return slices.DeleteFunc(slices.Compact(last), func(id ID) bool { return surpassed[id] })
}

// lastFirst lists the amendments among the entries, each before all that it knew
// of: what it amends, and what it saw; and gives those that hold. Those that did not
// know of each other come by when they were noted, the latest first, and those that
// one station noted at one instant by their numbers. One that was withdrawn itself
// keeps nothing in its place.
func lastFirst(entries []*Entry) (order []*Entry, amended map[ID]*Entry) {
	var written []*Entry
	for _, e := range entries {
		if !amends(e).Zero() {
			written = append(written, e)
		}
	}
	slices.SortFunc(written, func(a, b *Entry) int {
		return cmp.Or(b.Noted.Compare(a.Noted), cmp.Compare(b.Station, a.Station), cmp.Compare(b.Seq, a.Seq), Compare(b, a))
	})
	s := newSights(written)
	return s.order(), s.amended
}

// sights are amendments in the order of their times, how many that are not listed
// yet knew of each, and what holds of those that are listed.
type sights struct {
	written []*Entry
	at      map[ID][]int // several stations may have noted one
	knownBy []int
	ready   ranks
	listed  []bool
	amended map[ID]*Entry
}

func newSights(written []*Entry) *sights {
	s := &sights{
		written: written, at: map[ID][]int{}, knownBy: make([]int, len(written)), listed: make([]bool, len(written)), amended: map[ID]*Entry{},
	}
	for i, e := range written {
		s.at[e.ID] = append(s.at[e.ID], i)
	}
	for i := range written {
		s.known(i, func(k int) { s.knownBy[k]++ })
	}
	return s
}

// known visits the amendments that one knew of.
func (s *sights) known(i int, visit func(k int)) {
	e := s.written[i]
	for _, id := range append([]ID{amends(e)}, saw(e.Body)...) {
		for _, k := range s.at[id] {
			if k != i {
				visit(k)
			}
		}
	}
}

// order lists them. Amendments that go round in a circle, which nobody can have
// written honestly, are listed by their times.
func (s *sights) order() []*Entry {
	for i, n := range s.knownBy {
		if n == 0 {
			s.begin(i)
		}
	}
	order := make([]*Entry, 0, len(s.written))
	for next := 0; len(order) < len(s.written); {
		i := next
		if len(s.ready) > 0 {
			i = heap.Pop(&s.ready).(rank).place
		}
		if s.listed[i] {
			next = i + 1
			continue
		}
		s.listed[i] = true
		order = append(order, s.written[i])
		s.settle(s.written[i])
		s.known(i, func(k int) {
			if s.knownBy[k]--; s.knownBy[k] == 0 {
				s.begin(k)
			}
		})
	}
	return order
}

// begin lets one be listed. What amends amendments comes first, so that it is known of
// all others whether they stand; and what does not stand keeps nothing waiting.
func (s *sights) begin(i int) {
	e := s.written[i]
	_, gone := s.amended[e.ID]
	_, deeper := s.at[amends(e)]
	heap.Push(&s.ready, rank{gone || deeper, i})
}

// settle notes what an amendment makes of what it amends, where nothing later did.
func (s *sights) settle(e *Entry) {
	if _, gone := s.amended[e.ID]; gone {
		return
	}
	if target := amends(e); s.amended[target] == nil {
		s.amended[target] = e
	}
}

// rank is a place in a list, behind those that go first.
type rank struct {
	first bool
	place int
}

// ranks is a heap of ranks, the first on top.
type ranks []rank

func (r ranks) Len() int { return len(r) }
func (r ranks) Less(i, j int) bool {
	if r[i].first != r[j].first {
		return r[i].first
	}
	return r[i].place < r[j].place
}
func (r ranks) Swap(i, j int) { r[i], r[j] = r[j], r[i] }
func (r *ranks) Push(x any)   { *r = append(*r, x.(rank)) }
func (r *ranks) Pop() any {
	last := (*r)[len(*r)-1]
	*r = (*r)[:len(*r)-1]
	return last
}

// amends gives the entry that an amendment names; none for any other entry.
func amends(e *Entry) ID { return Amends(e.Body) }

// Amends gives the entry that an amendment names; the zero ID for any other body.
func Amends(body Body) ID {
	switch body := body.(type) {
	case Corrected:
		return body.Entry
	case Withdrawn:
		return body.Entry
	}
	return ID{}
}

// saw gives the amendments of the same entry that an amendment was written in
// sight of; those written before this was kept name none.
func saw(body Body) []ID {
	switch body := body.(type) {
	case Corrected:
		return body.Seen
	case Withdrawn:
		return body.Seen
	}
	return nil
}

// InSightOf gives an amendment as written in sight of others of the same entry.
func InSightOf(body Body, seen []ID) Body {
	switch said := body.(type) {
	case Corrected:
		said.Seen = seen
		return said
	case Withdrawn:
		said.Seen = seen
		return said
	}
	return body
}
