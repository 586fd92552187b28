package design

import (
	"cmp"
	"slices"
)

// tour goes through all places and passes the panel once a loop. The places are nodes 0 to n-1, the passes n and beyond; the
// tour begins with node n.
type tour struct {
	places []Place
	passes int
	most   int // numbers of a loop
	least  int // likewise
	fill   int // numbers up to which a loop is filled at first
	way    []float64
	near   [][]int // of each node, the nearest others
	order  []int   // of the nodes
	at     []int   // of each node, its turn
	queue  []int   // nodes whose surroundings may be improved
	queued []bool
	turned [][2]int // stretches that were turned round, to be undone
	gained float64  // metres, since the last kick
}

// nearest is how many others a node is tried beside.
const nearest = 10

func newTour(b *Building, places []Place, passes, most int) *tour {
	n := len(places)
	t := &tour{places: places, passes: passes, most: most, fill: most, way: make([]float64, (n+1)*(n+1)), at: make([]int, n+passes), queued: make([]bool, n+passes)}
	of := func(i int) *Place {
		if i == n {
			return &b.Panel
		}
		return &places[i]
	}
	for i := range n + 1 {
		for k := range n + 1 {
			t.way[i*(n+1)+k] = b.Metres(of(i), of(k))
		}
	}
	for i := range n + passes {
		others := make([]int, 0, n+passes)
		for k := range n + passes {
			if k != i && (i < n || k < n) {
				others = append(others, k)
			}
		}
		slices.SortStableFunc(others, func(a, b int) int { return cmp.Compare(t.metres(i, a), t.metres(i, b)) })
		t.near = append(t.near, slices.Clone(others[:min(nearest, len(others))]))
	}
	return t
}

func (t *tour) metres(a, b int) float64 {
	n := len(t.places)
	return t.way[min(a, n)*(n+1)+min(b, n)]
}

// node gives the node at a turn; after the last comes the first.
func (t *tour) node(i int) int {
	if i == len(t.order) {
		i = 0
	}
	return t.order[i]
}

// turn turns the stretch from turn i to k round; 1 <= i.
func (t *tour) turn(i, k int) {
	if i >= k {
		return
	}
	a, b, c, d := t.order[i-1], t.order[i], t.order[k], t.node(k+1)
	t.gained += t.metres(a, b) + t.metres(c, d) - t.metres(a, c) - t.metres(b, d)
	t.flip(i, k)
	t.turned = append(t.turned, [2]int{i, k})
	t.ask(a, b, c, d)
}

func (t *tour) flip(i, k int) {
	for ; i < k; i, k = i+1, k-1 {
		t.order[i], t.order[k] = t.order[k], t.order[i]
		t.at[t.order[i]], t.at[t.order[k]] = i, k
	}
}

// swap lets the stretch from mid to last come before that from first to mid-1; both keep their direction.
func (t *tour) swap(first, mid, last int) {
	second := last - mid + 1
	t.turn(first, last)
	t.turn(first, first+second-1)
	t.turn(first+second, last)
}

// undo turns back what was turned since so many turns.
func (t *tour) undo(to int) {
	for len(t.turned) > to {
		last := t.turned[len(t.turned)-1]
		i, k := last[0], last[1]
		a, b, c, d := t.order[i-1], t.order[i], t.order[k], t.node(k+1)
		t.gained += t.metres(a, b) + t.metres(c, d) - t.metres(a, c) - t.metres(b, d)
		t.flip(i, k)
		t.turned = t.turned[:len(t.turned)-1]
	}
}

// holds reports whether no loop has more numbers than it may, or fewer.
func (t *tour) holds() bool {
	if t.passes == 1 {
		return true
	}
	sum := t.least // before the first there is none
	for _, v := range t.order {
		if v >= len(t.places) {
			if sum < t.least {
				return false
			}
			sum = 0
			continue
		}
		if sum += t.places[v].takes(); sum > t.most {
			return false
		}
	}
	return sum >= t.least
}

func (t *tour) ask(nodes ...int) {
	for _, v := range nodes {
		if !t.queued[v] {
			t.queued[v] = true
			t.queue = append(t.queue, v)
		}
	}
}

func (t *tour) improveAll() {
	t.ask(t.order...)
	t.improve()
}

// improve goes on until nothing helps at any node that was asked about.
func (t *tour) improve() {
	for len(t.queue) > 0 {
		v := t.queue[0]
		t.queue = t.queue[1:]
		t.queued[v] = false
		for t.turnAt(v) || t.moveAt(v) {
		}
	}
}

// mark is how far the turns and the queue were.
type mark struct{ turned, queued int }

func (t *tour) mark() mark { return mark{len(t.turned), len(t.queue)} }

// keep reports whether the loops still hold what they have; if not it is undone, and nothing more is asked about.
func (t *tour) keep(since mark) bool {
	if t.holds() {
		return true
	}
	t.undo(since.turned)
	for _, v := range t.queue[since.queued:] {
		t.queued[v] = false
	}
	t.queue = t.queue[:since.queued]
	return false
}

const worth = 1e-9

// turnAt turns a stretch round so that v comes beside one of the nearest.
func (t *tour) turnAt(v int) bool {
	i := t.at[v]
	for _, c := range t.near[v] {
		k := t.at[c]
		// v and what follows it, c and what follows that; or v and what comes before it.
		next, gain := t.node(i+1), 0.0
		if d := t.metres(v, next) - t.metres(v, c); d > worth {
			after := t.node(k + 1)
			if gain = d + t.metres(c, after) - t.metres(next, after); gain > worth {
				since := t.mark()
				t.turn(min(i, k)+1, max(i, k))
				if t.keep(since) {
					return true
				}
			}
		}
		if i == 0 || k == 0 {
			continue
		}
		before := t.order[i-1]
		if d := t.metres(before, v) - t.metres(v, c); d > worth {
			prior := t.order[k-1]
			if gain = d + t.metres(prior, c) - t.metres(before, prior); gain > worth {
				since := t.mark()
				t.turn(min(i, k), max(i, k)-1)
				if t.keep(since) {
					return true
				}
			}
		}
	}
	return false
}

// moveAt moves a stretch of up to three that begins or ends with v to one of the nearest.
func (t *tour) moveAt(v int) bool {
	for long := 1; long <= 3; long++ {
		for _, end := range [2]bool{false, true} {
			i := t.at[v]
			if end {
				i -= long - 1
			}
			k := i + long - 1
			if i < 1 || k >= len(t.order) {
				continue
			}
			if t.moveStretch(v, i, k) {
				return true
			}
		}
	}
	return false
}

// moveStretch moves the stretch from turn i to k so that v, one of its ends, lies beside one of the nearest.
func (t *tour) moveStretch(v, i, k int) bool {
	other := t.order[i]
	if other == v {
		other = t.order[k]
	}
	before, after := t.order[i-1], t.node(k+1)
	out := t.metres(before, t.order[i]) + t.metres(t.order[k], after) - t.metres(before, after)
	for _, c := range t.near[v] {
		near := t.metres(v, c)
		if out-near <= worth {
			break
		}
		j := t.at[c]
		if j >= i && j <= k {
			continue
		}
		for _, behind := range [2]bool{true, false} { // c comes before v, or after it
			gap := j // the stretch goes between turns gap and gap+1
			beside := t.node(j + 1)
			if !behind {
				if j == 0 {
					gap, beside = len(t.order)-1, t.order[len(t.order)-1]
				} else {
					gap, beside = j-1, t.order[j-1]
				}
			}
			if gap == i-1 || gap == k || out+t.metres(c, beside)-near-t.metres(other, beside) <= worth {
				continue
			}
			if t.carry(v, i, k, gap, behind) {
				return true
			}
		}
	}
	return false
}

// carry takes the stretch to between turns gap and gap+1, v first where it goes behind its neighbour, else last.
func (t *tour) carry(v, i, k, gap int, first bool) bool {
	since, long := t.mark(), k-i+1
	if gap > k {
		t.swap(i, k+1, gap)
		i, k = gap-long+1, gap
	} else {
		t.swap(gap+1, i, k)
		i, k = gap+1, gap+long
	}
	if (t.order[i] == v) != first {
		t.turn(i, k)
	}
	return t.keep(since)
}
