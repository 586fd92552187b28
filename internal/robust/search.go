package robust

import (
	"cmp"
	"math"
	"slices"
)

// This file finds slopes by rank without listing all pairs. Put r = y - m*t: of two points, the later has
// the smaller r just when their slope is below m. So the slopes below m are the inversions of r in order of
// time, counted by merge sort; halving m narrows the rank sought to a bracket with few slopes, and only
// those are listed: the pairs whose order changes between its two ends.
//
// After Dillencourt, Mount & Netanyahu (1992), International Journal of Computational Geometry &
// Applications 2, with halving in place of their random sampling.

// edge is one end of a bracket of slopes.
type edge struct {
	m     float64
	below int64 // number of slopes smaller than m
}

// rankedPoint is a point named by its place in time, with its r.
type rankedPoint struct {
	r     float64
	index int
}

// searchSlopes is slopesAt for a long series.
func (s *Scratch) searchSlopes(ranks [3]float64) [3]float64 {
	n := int64(len(s.points))
	low, high := s.extremeSlopes()
	bottom, top := edge{m: low}, edge{m: high, below: n * (n - 1) / 2}
	var at [3]float64
	for i, h := range ranks {
		if i > 0 && h == ranks[i-1] {
			at[i] = at[i-1]
			continue
		}
		k := int64(h)
		a, b := s.bracketed(k, int64(math.Ceil(h)), bottom, top)
		at[i] = between(a, b, h-float64(k))
	}
	return at
}

// extremeSlopes returns bounds outside all slopes of the loaded series. A slope over an
// intermediate time is a mean of the two on either side of it, so neighbouring times hold the extremes.
func (s *Scratch) extremeSlopes() (low, high float64) {
	low, high = math.MaxFloat64, -math.MaxFloat64
	first := 0 // of the group of equal times before the current one
	for i := 1; i < len(s.points); {
		last := i - 1
		end := i + 1
		for ; end < len(s.points) && s.points[end].t == s.points[i].t; end++ {
		}
		if dt := s.points[i].t - s.points[first].t; dt > 0 {
			low = min(low, (s.points[i].y-s.points[last].y)/dt)
			high = max(high, (s.points[end-1].y-s.points[first].y)/dt)
		}
		first, i = i, end
	}
	// Room enough that r, however rounded, puts every pair on the right side of both.
	room := math.Abs(low)/16 + math.Abs(high)/16 + math.SmallestNonzeroFloat64
	return max(low-room, -math.MaxFloat64), min(high+room, math.MaxFloat64)
}

// bracketed returns the slopes of ranks k and l, k <= l <= k+1, which lie from lo.m to below hi.m.
func (s *Scratch) bracketed(k, l int64, lo, hi edge) (a, b float64) {
	few := 4 * int64(len(s.points))
	for hi.below-lo.below > few {
		mid := edge{m: midway(lo.m, hi.m)}
		if mid.m <= lo.m {
			break // neighbouring numbers: one slope that very many pairs share
		}
		mid.below = s.slopesBelow(mid.m)
		switch {
		case mid.below < k:
			lo = mid
		case mid.below >= l:
			hi = mid
		default:
			a, _ = s.bracketed(k, k, lo, mid)
			b, _ = s.bracketed(l, l, mid, hi)
			return a, b
		}
	}
	s.listBetween(lo.m, hi.m, int(2*few))
	if len(s.slopes) == 0 {
		return lo.m, lo.m // narrower than rounding can tell apart
	}
	last := int64(len(s.slopes))
	at := func(rank int64) float64 {
		return selectIndex(s.slopes, int(min(max(rank-lo.below, 1), last))-1)
	}
	return at(k), at(l)
}

// slopesBelow counts the pairs of the loaded series whose slope is below m.
func (s *Scratch) slopesBelow(m float64) int64 {
	n := len(s.points)
	s.slopes, s.work = resize(s.slopes, n), resize(s.work, n)
	for i := range s.points {
		s.slopes[i] = s.residual(i, m)
	}
	return sortCount(s.slopes, s.work)
}

// residual is y - m*t for point i, with one rounding and time counted from the first point, which keeps
// nearly equal slopes apart.
func (s *Scratch) residual(i int, m float64) float64 {
	return math.FMA(-m, s.points[i].t-s.points[0].t, s.points[i].y)
}

// listBetween puts into s.slopes the slopes from low to below high: those of the pairs that insertion has
// to exchange on the way from the order of r at low to that at high. It stops after limit exchanges.
func (s *Scratch) listBetween(low, high float64, limit int) {
	s.ranked = resize(s.ranked, len(s.points))
	for i := range s.ranked {
		s.ranked[i] = rankedPoint{s.residual(i, low), i}
	}
	slices.SortFunc(s.ranked, func(a, b rankedPoint) int {
		if c := cmp.Compare(a.r, b.r); c != 0 {
			return c
		}
		return a.index - b.index
	})
	for i := range s.ranked {
		s.ranked[i].r = s.residual(s.ranked[i].index, high)
	}
	s.slopes = s.slopes[:0]
	for i := 1; i < len(s.ranked) && limit > 0; i++ {
		v, j := s.ranked[i], i
		for ; j > 0 && s.ranked[j-1].r > v.r; j-- {
			s.addSlope(s.ranked[j-1].index, v.index)
			s.ranked[j] = s.ranked[j-1]
			limit--
		}
		s.ranked[j] = v
	}
}

// addSlope appends the slope from point i to point j to s.slopes, if j is the later one.
func (s *Scratch) addSlope(i, j int) {
	a, b := s.points[i], s.points[j]
	if dt := b.t - a.t; dt > 0 {
		s.slopes = append(s.slopes, (b.y-a.y)/dt)
	}
}
