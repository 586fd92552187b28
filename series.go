package sootline

import (
	"slices"
	"sync/atomic"
	"time"
)

// series is a list of entries in order that grows without being copied. Several
// may share an array; the first to grow at its end does so in place, and any
// other copies.
type series struct {
	list []*Entry
	used *atomic.Int64 // how much of the array is taken, by whichever series
}

// newSeries takes a list that others may hold too: it never grows in place.
func newSeries(list []*Entry) series { return roomySeries(slices.Clip(list)) }

// roomySeries takes a list with an array of its own.
func roomySeries(list []*Entry) series {
	s := series{list: list, used: &atomic.Int64{}}
	s.used.Store(int64(len(list)))
	return s
}

// with gives the series with more entries, which are in order.
func (s series) with(more []*Entry) series {
	n := len(s.list)
	if len(more) == 0 {
		return s
	}
	if n > 0 && Compare(s.list[n-1], more[0]) > 0 {
		return newSeries(mergeOrdered(s.list, more))
	}
	if n+len(more) <= cap(s.list) && s.used.CompareAndSwap(int64(n), int64(n+len(more))) {
		return series{append(s.list, more...), s.used}
	}
	list := make([]*Entry, 0, n+len(more)+n/4)
	return roomySeries(append(append(list, s.list...), more...))
}

// at gives the place of the first entry that happened at an instant or later.
func (s series) at(from time.Time) int {
	at, _ := slices.BinarySearchFunc(s.list, from, func(e *Entry, from time.Time) int { return e.At.Compare(from) })
	return at
}

// mergeOrdered merges two lists in order into a new one.
func mergeOrdered(a, b []*Entry) []*Entry {
	merged := make([]*Entry, 0, len(a)+len(b))
	for _, e := range b {
		at, _ := slices.BinarySearchFunc(a, e, Compare)
		merged = append(append(merged, a[:at]...), e)
		a = a[at:]
	}
	return append(merged, a...)
}
