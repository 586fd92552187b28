package visit

import "math"

// Ways is a square, symmetric matrix of the ways between places, in one unit.
type Ways [][]float64

// MostExact is the largest number of places that [Exact] takes: its time and
// memory double with each.
const MostExact = 16

// Length gives the length of the closed tour through the places in an order.
func (w Ways) Length(order []int) float64 {
	sum := 0.0
	for i, at := range order {
		sum += w[at][order[(i+1)%len(order)]]
	}
	return sum
}

// Walk gives the length of the way through the places in an order, from the
// first to the last.
func (w Ways) Walk(order []int) float64 {
	sum := 0.0
	for i := 1; i < len(order); i++ {
		sum += w[order[i-1]][order[i]]
	}
	return sum
}

// Exact gives a shortest closed tour of at most [MostExact] places, nil for more.
//
// Source: M. Held and R. M. Karp, A dynamic programming approach to sequencing
// problems, J. SIAM 10 (1962); from memory.
func Exact(w Ways) []int {
	n := len(w)
	if n > MostExact {
		return nil
	}
	if n < 3 {
		return upTo(n)
	}
	h := newHeldKarp(w)
	for set := 1; set < len(h.cost); set++ {
		h.extend(set)
	}
	return h.tour()
}

// heldKarp holds, for each set of the places 1.. and each last place of it, the
// length of the shortest way from place 0 through the set.
type heldKarp struct {
	w    Ways
	n    int // places beside place 0
	cost [][]float64
	from [][]int8
}

func newHeldKarp(w Ways) *heldKarp {
	h := &heldKarp{w: w, n: len(w) - 1}
	sets := 1 << h.n
	h.cost, h.from = make([][]float64, sets), make([][]int8, sets)
	costs, froms := make([]float64, sets*h.n), make([]int8, sets*h.n)
	for set := range sets {
		h.cost[set], h.from[set] = costs[set*h.n:(set+1)*h.n], froms[set*h.n:(set+1)*h.n]
	}
	return h
}

func (h *heldKarp) extend(set int) {
	for last := range h.n {
		if set&(1<<last) == 0 {
			continue
		}
		rest := set &^ (1 << last)
		best, from := math.Inf(1), -1
		if rest == 0 {
			best = h.w[0][last+1]
		}
		for before := range h.n {
			if rest&(1<<before) != 0 {
				if c := h.cost[rest][before] + h.w[before+1][last+1]; c < best {
					best, from = c, before
				}
			}
		}
		h.cost[set][last], h.from[set][last] = best, int8(from)
	}
}

func (h *heldKarp) tour() []int {
	set := len(h.cost) - 1
	last, best := 0, math.Inf(1)
	for i := range h.n {
		if c := h.cost[set][i] + h.w[i+1][0]; c < best {
			last, best = i, c
		}
	}
	order := make([]int, h.n+1)
	for at := h.n; at > 0; at-- {
		order[at] = last + 1
		set, last = set&^(1<<last), int(h.from[set][last])
	}
	return order
}

func upTo(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}
