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
	amended := map[ID]*Entry{}
	for _, e := range lastFirst(entries) {
		target := amends(e)
		if _, gone := amended[e.ID]; gone {
			continue
		}
		if _, settled := amended[target]; !settled {
			amended[target] = e
		}
	}
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
// of: what it amends, and what it saw. Those that did not know of each other come
// by when they were noted, the latest first, and those that one station noted at
// one instant by their numbers.
func lastFirst(entries []*Entry) []*Entry {
	var written []*Entry
	for _, e := range entries {
		if !amends(e).Zero() {
			written = append(written, e)
		}
	}
	slices.SortFunc(written, func(a, b *Entry) int {
		return cmp.Or(b.Noted.Compare(a.Noted), cmp.Compare(b.Station, a.Station), cmp.Compare(b.Seq, a.Seq), Compare(b, a))
	})
	if len(written) < 2 {
		return written
	}
	return newSights(written).order()
}

// sights are amendments in the order of their times, and how many that are not
// listed yet knew of each.
type sights struct {
	written []*Entry
	at      map[ID][]int // several stations may have noted one
	knownBy []int
	ready   ranks
	listed  []bool
}

func newSights(written []*Entry) *sights {
	s := &sights{written: written, at: map[ID][]int{}, knownBy: make([]int, len(written)), listed: make([]bool, len(written))}
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
			s.ready = append(s.ready, i)
		}
	}
	heap.Init(&s.ready)
	order := make([]*Entry, 0, len(s.written))
	for next := 0; len(order) < len(s.written); {
		i := next
		if len(s.ready) > 0 {
			i = heap.Pop(&s.ready).(int)
		}
		if s.listed[i] {
			next = i + 1
			continue
		}
		s.listed[i] = true
		order = append(order, s.written[i])
		s.known(i, func(k int) {
			if s.knownBy[k]--; s.knownBy[k] == 0 {
				heap.Push(&s.ready, k)
			}
		})
	}
	return order
}

// ranks is a heap of places in a list, the first on top.
type ranks []int

func (r ranks) Len() int           { return len(r) }
func (r ranks) Less(i, j int) bool { return r[i] < r[j] }
func (r ranks) Swap(i, j int)      { r[i], r[j] = r[j], r[i] }
func (r *ranks) Push(x any)        { *r = append(*r, x.(int)) }
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
