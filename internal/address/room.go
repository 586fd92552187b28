package address

import "slices"

// room holds the free numbers of one range. next[n] leads to the lowest free
// number from n on; paths are shortened as they are walked, so that a run of
// taken numbers is crossed once.
type room struct {
	next []int // one longer than the highest number; its end leads to itself
	end  int   // above the highest number
}

func newRoom(s Span) *room {
	r := &room{next: make([]int, s.Last+2), end: s.Last + 1}
	for n := range r.next {
		r.next[n] = n
	}
	for n := range s.first() {
		r.take(n, 1)
	}
	for _, n := range s.Reserved {
		r.take(n, 1)
	}
	if s.Unset > 0 && s.Unset <= s.Last {
		r.take(s.Unset, 1)
	}
	return r
}

// free gives the lowest free number from n on, or the end.
func (r *room) free(n int) int {
	for r.next[n] != n {
		r.next[n] = r.next[r.next[n]]
		n = r.next[n]
	}
	return n
}

// clone gives a room of its own, to try places in.
func (r *room) clone() *room { return &room{slices.Clone(r.next), r.end} }

// skip passes over so many free numbers from n on, and gives the number above
// them; the end and false where there are fewer.
func (r *room) skip(n, spares int) (above int, ok bool) {
	for range spares {
		if n = r.free(min(n, r.end)); n >= r.end {
			return r.end, false
		}
		n++
	}
	return n, true
}

func (r *room) take(n, width int) {
	for i := n; i < n+width; i++ {
		r.next[i] = i + 1
	}
}

// fits reports whether numbers n to n + width - 1 are all free.
func (r *room) fits(n, width int) bool {
	for i := n; i < n+width; i++ {
		if i < 0 || i >= r.end || r.next[i] != i {
			return false
		}
	}
	return true
}

// find gives the lowest free run of that width which begins from n to most, or
// 0 when there is none.
func (r *room) find(n, width, most int) int {
	for n = r.free(min(max(n, 0), r.end)); n <= most && n+width <= r.end; {
		stop := n + 1
		for stop < n+width && r.next[stop] == stop {
			stop++
		}
		if stop == n+width {
			return n
		}
		n = r.free(stop)
	}
	return 0
}
