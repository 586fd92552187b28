package robust

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Scratch is the working space of the functions that run once per series, and their table of quantiles.
// Kept from call to call it saves the allocations and most of the time. The zero value is ready to use.
// Not for use by several goroutines at once: give each its own.
type Scratch struct {
	points    []point   // the series by time, by value within one time
	values    []float64 // the values; ascending after tally
	work      []float64
	slopes    []float64
	keptT     []float64
	keptY     []float64
	ranked    []rankedPoint
	timeTies  []int // sizes of the groups of equal times, ones included
	valueTies []int // sizes of the groups of equal values, ones included
	orderings []int64
	quantiles map[quantileKey]float64
}

// point is one reading of a series.
type point struct{ t, y float64 }

func comparePoints(a, b point) int {
	if c := cmp.Compare(a.t, b.t); c != 0 {
		return c
	}
	return cmp.Compare(a.y, b.y)
}

// load checks the series (t, y) and puts it into s.points in order of time, and of value within one time.
func (s *Scratch) load(t, y []float64) error {
	if err := checkPairs(t, y); err != nil {
		return err
	}
	if len(t) < 2 {
		return fmt.Errorf("%d of at least 2: %w", len(t), ErrTooFew)
	}
	s.points = s.points[:0]
	for i := range t {
		s.points = append(s.points, point{t[i], y[i]})
	}
	if !slices.IsSortedFunc(s.points, comparePoints) {
		slices.SortFunc(s.points, comparePoints)
	}
	if s.points[0].t == s.points[len(s.points)-1].t {
		return ErrNoSpread
	}
	return nil
}

// resize returns a slice of n values that reuses the memory of x where it can; their content is left over.
func resize[T any](x []T, n int) []T { return slices.Grow(x[:0], n)[:n] }

// quantileKey names one quantile of Student's t or chi-squared.
type quantileKey struct {
	chi   bool
	p, df float64
}

// studentT returns the p-quantile of Student's t with df degrees of freedom.
func (s *Scratch) studentT(p, df float64) float64 {
	return s.quantile(quantileKey{p: p, df: df})
}

// chiSquared returns the p-quantile of chi-squared with df degrees of freedom.
func (s *Scratch) chiSquared(p, df float64) float64 {
	return s.quantile(quantileKey{chi: true, p: p, df: df})
}

// quantile looks a quantile up, computing it the first time.
func (s *Scratch) quantile(k quantileKey) float64 {
	if q, ok := s.quantiles[k]; ok {
		return q
	}
	q := 0.0
	if k.chi {
		q = distuv.ChiSquared{K: k.df}.Quantile(k.p)
	} else {
		q = distuv.StudentsT{Sigma: 1, Nu: k.df}.Quantile(k.p)
	}
	if s.quantiles == nil {
		s.quantiles = make(map[quantileKey]float64)
	}
	s.quantiles[k] = q
	return q
}

// normalQuantile returns z such that the standard normal lies within -z and +z with chance conf.
func normalQuantile(conf float64) float64 { return math.Sqrt2 * math.Erfinv(conf) }
