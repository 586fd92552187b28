package robust

import "math"

// PSource says how a p-value was obtained.
type PSource int

// The ways to a p-value.
const (
	PExact  PSource = iota + 1 // by counting orderings
	PNormal                    // normal approximation with continuity correction
)

// Kendall is the result of [MannKendall].
type Kendall struct {
	N       int
	S       int64   // pairs that rise with time less pairs that fall
	VarS    float64 // variance of S without a trend, ties in values and in times allowed for
	Z       float64 // (S - sign S)/sqrt(VarS); 0 when S or VarS is 0
	P       float64 // two-sided; exact where How says so
	How     PSource
	NormalP float64 // two-sided, normal approximation with continuity correction, always given
}

// exactUpTo is the greatest count of values for which the exact p-value is worked out. The normal
// approximation is commonly used from 10 on; the counts would fit an int64 up to 20.
const exactUpTo = 12

// MannKendall tests the series y at times t for a trend, with no assumption on the noise but that it is
// independent. P is exact for up to 12 values unless both times and values have ties, else by the normal
// approximation; How tells. The order of the input does not matter. O(n log n) time, O(n) memory.
// Errors: ErrLength, ErrNotFinite, ErrTooFew (below 2), ErrNoSpread.
//
// Source: Mann (1945), Econometrica 13; Kendall (1975), Rank Correlation Methods, 4th ed.; the count of
// discordant pairs as in Knight (1966), Journal of the American Statistical Association 61.
func MannKendall(t, y []float64) (Kendall, error) { return new(Scratch).MannKendall(t, y) }

// MannKendall is the function [MannKendall] in the working space s.
func (s *Scratch) MannKendall(t, y []float64) (Kendall, error) {
	if err := s.load(t, y); err != nil {
		return Kendall{}, err
	}
	c := s.tally()
	k := Kendall{N: len(s.points), S: c.s, VarS: c.varS, How: PNormal, NormalP: 1}
	if c.s != 0 && c.varS > 0 {
		k.Z = (float64(c.s) - math.Copysign(1, float64(c.s))) / math.Sqrt(c.varS)
		k.NormalP = math.Erfc(math.Abs(k.Z) / math.Sqrt2)
	}
	k.P = k.NormalP
	if p, ok := s.exactP(c); ok {
		k.P, k.How = p, PExact
	}
	return k, nil
}

// tally is what the pairs of a series add up to.
type tally struct {
	s      int64   // concordant less discordant pairs
	untied int64   // pairs that differ in time and in value
	slopes int64   // pairs that differ in time
	varS   float64 // variance of s when every ordering is equally likely
}

// tally counts the pairs of the loaded series. It leaves the values in ascending order in s.values and the
// sizes of the tied groups in s.timeTies and s.valueTies.
func (s *Scratch) tally() tally {
	n := len(s.points)
	s.values, s.work = resize(s.values, n), resize(s.work, n)
	s.timeTies = s.timeTies[:0]
	var bothTied int64
	inTime, inBoth := 0, 0
	for i, p := range s.points {
		s.values[i] = p.y
		if i > 0 && p.t != s.points[i-1].t {
			s.timeTies = append(s.timeTies, inTime)
			inTime, inBoth = 0, 0
		} else if i > 0 && p.y != s.points[i-1].y {
			inBoth = 0
		}
		bothTied += int64(inBoth)
		inTime++
		inBoth++
	}
	s.timeTies = append(s.timeTies, inTime)
	discordant := sortCount(s.values, s.work)
	s.valueTies = groupSizes(s.valueTies[:0], s.values)
	all := int64(n) * int64(n-1) / 2
	times, values := sumTies(s.timeTies), sumTies(s.valueTies)
	c := tally{slopes: all - int64(times.pairs/2)}
	c.untied = c.slopes - int64(values.pairs/2) + bothTied
	c.s = c.untied - 2*discordant
	if c.untied > 0 {
		c.varS = kendallVariance(float64(n), times, values)
	}
	return c
}

// groupSizes appends to dst the sizes of the runs of equal values in the sorted x.
func groupSizes(dst []int, x []float64) []int {
	start := 0
	for i := range x {
		if i+1 == len(x) || x[i+1] != x[i] {
			dst = append(dst, i+1-start)
			start = i + 1
		}
	}
	return dst
}

// tieSums are sums over groups of u equal members each.
type tieSums struct {
	pairs   float64 // u(u-1)
	triples float64 // u(u-1)(u-2)
	fives   float64 // u(u-1)(2u+5)
}

func sumTies(sizes []int) tieSums {
	var sum tieSums
	for _, size := range sizes {
		u := float64(size)
		sum.pairs += u * (u - 1)
		sum.triples += u * (u - 1) * (u - 2)
		sum.fives += u * (u - 1) * (2*u + 5)
	}
	return sum
}

// kendallVariance is the variance of S for n values with ties in both series (Kendall 1975).
func kendallVariance(n float64, times, values tieSums) float64 {
	v := (n*(n-1)*(2*n+5) - times.fives - values.fives) / 18
	v += times.pairs * values.pairs / (2 * n * (n - 1))
	if n > 2 {
		v += times.triples * values.triples / (9 * n * (n - 1) * (n - 2))
	}
	return v
}

// exactP returns the chance that chance alone gives an S at least as far from zero as c.s. ok is false for
// a long series, and when times and values both have ties, for which no closed form is known.
func (s *Scratch) exactP(c tally) (p float64, ok bool) {
	n := len(s.points)
	groups := s.valueTies
	switch {
	case n > exactUpTo, len(s.timeTies) < n && len(s.valueTies) < n:
		return 0, false
	case len(s.timeTies) < n:
		groups = s.timeTies
	}
	far := c.s
	if far < 0 {
		far = -far
	}
	few, all := s.orderingsUpTo((c.untied-far)/2, groups)
	return min(1, 2*float64(few)/float64(all)), true
}

// orderingsUpTo returns how many orderings of members in the given tied groups have at most d discordant
// pairs, and how many orderings there are. With d discordant pairs there are as many as the coefficient of
// q^d in the q-multinomial of the group sizes, a product of q-binomials each made by multiplying with
// 1-q^m and dividing by 1-q^j in turn, whole numbers all the way. The coefficients are symmetric, so one
// tail serves both.
func (s *Scratch) orderingsUpTo(d int64, groups []int) (few, all int64) {
	c := resize(s.orderings, int(d)+1)
	clear(c)
	s.orderings = c
	c[0], all = 1, 1
	m := 0
	for _, size := range groups {
		for j := 1; j <= size; j++ {
			m++
			all = all * int64(m) / int64(j)
			if m == j {
				continue // multiplying and dividing by the same factor
			}
			for i := len(c) - 1; i >= m; i-- {
				c[i] -= c[i-m]
			}
			for i := j; i < len(c); i++ {
				c[i] += c[i-j]
			}
		}
	}
	for _, v := range c {
		few += v
	}
	return few, all
}
