package visit_test

import (
	"math"

	"sootline"
	"sootline/internal/visit"
)

// bound collects what a lower bound on the tests of a rota is made of. Points
// that the user operates in turn are left out of the terms, which only lowers it.
type bound struct {
	zoned  bool
	all    int            // points under a term of their own
	zones  map[string]int // the same by zone
	months int
	share  int
	loops  int // tests that the rule for each loop takes
}

func (b *bound) every(r *rota, rule *sootline.ServiceRule) {
	if rule.PerLoop > 0 {
		b.loops += perLoop(r, rule)
		return
	}
	b.months, b.zones = rule.Months, map[string]int{}
	all := 0
	for p := range r.ids {
		if !r.concerns(rule, p) {
			continue
		}
		all++
		b.zones[r.zones[p]] += 0
		if len(r.free[p]) == 0 {
			b.all++
			b.zones[r.zones[p]]++
		}
	}
	b.share = shareOf(rule, all)
}

// least is the larger of two bounds: all points with the shares of the visits,
// and zone by zone with one test of each at each visit.
func (b *bound) least(r *rota) int {
	byZone := 0
	for _, points := range b.zones {
		one := 0
		if b.zoned {
			one = 1
		}
		byZone += flow(r, points, b.months, one)
	}
	return max(flow(r, b.all, b.months, b.share), byZone) + b.loops
}

// perLoop: each loop takes so many tests in each of the disjoint years that the
// latest possible tests cut out, and each of its points its own term.
func perLoop(r *rota, rule *sootline.ServiceRule) int {
	sum := 0
	for _, loop := range []string{"1", "2"} {
		points := 0
		for p := range r.ids {
			if r.concerns(rule, p) && r.loops[p] == loop {
				points++
			}
		}
		sum += max(flow(r, points, rule.Months, 0), min(points, rule.PerLoop)*flow(r, 1, 12, 0))
	}
	return sum
}

// flow gives the fewest tests by which so many points keep a term, with at least
// so many tests at each visit: each point goes from visit to visit with no gap
// longer than the term, and a visit that tests more than it must costs one for
// each. It is the cheapest flow of that many units through the visits, found by
// successive shortest paths (R. K. Ahuja, T. L. Magnanti, J. B. Orlin, Network
// Flows, 1993; from memory).
func flow(r *rota, points, months, atEach int) int {
	n := len(r.days)
	net := newNetwork(2*n + 2)
	source, sink := 2*n, 2*n+1
	day := func(k int) visit.Day {
		if k < 0 {
			return r.start
		}
		return r.days[k]
	}
	for k := -1; k < n; k++ {
		out := source
		if k >= 0 {
			out = 2*k + 1
			net.arc(2*k, out, atEach, 0)
			net.arc(2*k, out, points, 1)
		}
		until := clamp(day(k), months)
		for next := k + 1; next < n && day(next) <= until; next++ {
			net.arc(out, 2*next, points, 0)
		}
		if r.end <= until {
			net.arc(out, sink, points, 0)
		}
	}
	cost := atEach * n
	for range points {
		step, ok := net.push(source, sink)
		if !ok {
			r.t.Fatal("the rota has a gap longer than the term")
		}
		cost += step
	}
	return cost
}

type network struct {
	to, cap, cost []int // arc i and its reverse i^1
	at            [][]int
}

func newNetwork(n int) *network { return &network{at: make([][]int, n)} }

func (n *network) arc(from, to, capacity, cost int) {
	n.at[from] = append(n.at[from], len(n.to))
	n.at[to] = append(n.at[to], len(n.to)+1)
	n.to, n.cap, n.cost = append(n.to, to, from), append(n.cap, capacity, 0), append(n.cost, cost, -cost)
}

// push sends one unit the cheapest way (Bellman-Ford) and gives what it costs.
func (n *network) push(source, sink int) (cost int, ok bool) {
	const far = math.MaxInt / 2
	dist, by := make([]int, len(n.at)), make([]int, len(n.at))
	for i := range dist {
		dist[i] = far
	}
	dist[source] = 0
	for changed := true; changed; {
		changed = false
		for from := range n.at {
			for _, a := range n.at[from] {
				if n.cap[a] > 0 && dist[from] < far && dist[from]+n.cost[a] < dist[n.to[a]] {
					dist[n.to[a]], by[n.to[a]], changed = dist[from]+n.cost[a], a, true
				}
			}
		}
	}
	if dist[sink] == far {
		return 0, false
	}
	for v := sink; v != source; v = n.to[by[v]^1] {
		n.cap[by[v]]--
		n.cap[by[v]^1]++
	}
	return dist[sink], true
}
