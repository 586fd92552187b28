package visit

import (
	"math"
	"slices"
)

// shortEnough is a gain that is worth a change; smaller ones may be rounding.
const shortEnough = 1e-9

// exactly is up to how many places a round is ordered exactly: a fraction of a
// millisecond. Beyond it the order is improved step by step.
const exactly = 11

// Tour gives a short closed tour: the shortest for few places, else the best
// that 2-opt and Or-opt reach from the nearest-neighbour tours of several starts.
//
// Sources: G. A. Croes, A method for solving traveling-salesman problems, Oper.
// Res. 6 (1958), for 2-opt; I. Or, thesis, Northwestern University (1976), for
// moving runs of one to three places; both from memory.
func Tour(w Ways) []int {
	if len(w) <= exactly {
		return Exact(w)
	}
	return improved(w, 24)
}

// Path gives a short way through all places, with both ends free: a tour with
// one more place that is no way from any.
func Path(w Ways) []int {
	n := len(w)
	if n < 3 {
		return upTo(n)
	}
	with := make(Ways, n+1)
	for i := range w {
		with[i] = append(slices.Clone(w[i]), 0)
	}
	with[n] = make([]float64, n+1)
	order := Tour(with)
	cut := slices.Index(order, n)
	return slices.Concat(order[cut+1:], order[:cut])
}

// improved gives the best of several local optima.
func improved(w Ways, starts int) []int {
	var best []int
	shortest := math.Inf(1)
	for i := range min(starts, len(w)) {
		order := nearest(w, i*len(w)/min(starts, len(w)))
		for uncross(w, order) || shift(w, order) {
			continue
		}
		if length := w.Length(order); length < shortest-shortEnough {
			best, shortest = order, length
		}
	}
	return best
}

// nearest goes from a place to the nearest one not yet seen, and on.
func nearest(w Ways, start int) []int {
	order := []int{start}
	seen := make([]bool, len(w))
	seen[start] = true
	for len(order) < len(w) {
		at, next := order[len(order)-1], -1
		for i := range w {
			if !seen[i] && (next < 0 || w[at][i] < w[at][next]) {
				next = i
			}
		}
		seen[next] = true
		order = append(order, next)
	}
	return order
}

// uncross reverses stretches of the tour as long as that shortens it (2-opt).
func uncross(w Ways, order []int) (changed bool) {
	n := len(order)
	for i := range n - 1 {
		for j := i + 2; j < n; j++ {
			a, b, c, d := order[i], order[i+1], order[j], order[(j+1)%n]
			if d != a && w[a][c]+w[b][d] < w[a][b]+w[c][d]-shortEnough {
				slices.Reverse(order[i+1 : j+1])
				changed = true
			}
		}
	}
	return changed
}

// shift moves a run of one to three places elsewhere, either way round, where
// that shortens the tour (Or-opt); one move a call.
func shift(w Ways, order []int) bool {
	n := len(order)
	for size := 1; size <= 3 && size < n-2; size++ {
		for range n {
			// The run is kept at the front: the tour is turned by one place a time.
			first, last := order[0], order[size-1]
			before, after := order[n-1], order[size]
			gain := w[before][first] + w[last][after] - w[before][after]
			for j := size; j < n-1; j++ {
				a, b := order[j], order[j+1]
				straight, turned := w[a][first]+w[last][b]-w[a][b], w[a][last]+w[first][b]-w[a][b]
				if min(straight, turned) < gain-shortEnough {
					move(order, size, j, turned < straight)
					return true
				}
			}
			turn(order)
		}
	}
	return false
}

// move puts the run at the front behind the place at j.
func move(order []int, size, j int, reverse bool) {
	run := slices.Clone(order[:size])
	if reverse {
		slices.Reverse(run)
	}
	copy(order, order[size:j+1])
	copy(order[j+1-size:], run)
}

func turn(order []int) {
	first := order[0]
	copy(order, order[1:])
	order[len(order)-1] = first
}
