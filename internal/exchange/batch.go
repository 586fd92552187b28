package exchange

import (
	"maps"
	"slices"
	"time"

	"sootline"
)

// Batches cuts lines of several stations, each station's in the order of their numbers,
// into batches of about so many bytes, each of which can be taken in by itself: first come
// the lines that were noted first, and what amends an entry comes after it, or with it.
func Batches(chains map[string][]Line, most int) []map[string][]Line {
	q := newQueue(chains)
	var batches []map[string][]Line
	size := most
	for {
		station, ok := q.next()
		if !ok {
			return batches
		}
		line := q.take(station)
		if size >= most {
			batches, size = append(batches, map[string][]Line{}), 0
		}
		last := batches[len(batches)-1]
		last[station] = append(last[station], line)
		size += len(line.Text)
	}
}

// queue is what of each station is still to go.
type queue struct {
	left     map[string][]Line
	stations []string
	ahead    map[sootline.ID]int // how often entries are still to go that others may wait for
}

func newQueue(chains map[string][]Line) *queue {
	q := &queue{maps.Clone(chains), slices.Sorted(maps.Keys(chains)), map[sootline.ID]int{}}
	for _, lines := range chains {
		for i := range lines {
			q.ahead[lines[i].Entry.ID]++
		}
	}
	return q
}

// next gives the station whose next line goes: the one noted first of those that wait for
// nothing; where all wait, as after clocks that went wrong or in a circle, the first.
func (q *queue) next() (station string, ok bool) {
	var first time.Time
	waits := false
	for _, name := range q.stations {
		if len(q.left[name]) == 0 {
			continue
		}
		e := &q.left[name][0].Entry
		waiting := q.ahead[sootline.Amends(e.Body)] > 0
		if !ok || waits && !waiting || waits == waiting && e.Noted.Before(first) {
			station, ok, waits, first = name, true, waiting, e.Noted
		}
	}
	return station, ok
}

func (q *queue) take(station string) Line {
	line := q.left[station][0]
	q.left[station] = q.left[station][1:]
	q.ahead[line.Entry.ID]--
	return line
}
