package robust

import (
	"math"
	"slices"
)

// Median returns the middle value of x, for an even count the mean of the two middle ones. It leaves x
// alone. ok is false when x is empty or holds an unusable value.
func Median(x []float64) (m float64, ok bool) {
	var small [64]float64 // keeps samples of the usual size off the heap
	return MedianInPlace(append(small[:0], x...))
}

// MedianInPlace is [Median] without the copy: it reorders x.
func MedianInPlace(x []float64) (m float64, ok bool) {
	if !allUsable(x) {
		return 0, false
	}
	return median(x), true
}

// median is the median of usable x, which it reorders.
func median(x []float64) float64 { return atRank(x, float64(len(x)+1)/2) }

// QuantileKind names a definition of the sample quantile by its number in Hyndman & Fan (1996).
type QuantileKind int

// The three definitions in use. Type7 is the default of R, NumPy and spreadsheets and the one to take
// without a reason for another; Type6 is the NIST handbook's; Type8 is the one Hyndman & Fan advise.
const (
	Type6 QuantileKind = 6
	Type7 QuantileKind = 7
	Type8 QuantileKind = 8
)

// Quantile returns the p-quantile of x, 0 <= p <= 1, under the named definition. It leaves x alone. ok
// is false when x is empty or holds an unusable value, when p is outside [0, 1] and when the kind is
// none of the three.
//
// Source: Hyndman & Fan (1996), Sample quantiles in statistical packages, The American Statistician 50.
func Quantile(kind QuantileKind, p float64, x []float64) (q float64, ok bool) {
	if !allUsable(x) || !(p >= 0 && p <= 1) {
		return 0, false
	}
	n := float64(len(x))
	var h float64
	switch kind {
	case Type6:
		h = (n + 1) * p
	case Type7:
		h = (n-1)*p + 1
	case Type8:
		h = (n+1.0/3)*p + 1.0/3
	default:
		return 0, false
	}
	return atRank(slices.Clone(x), min(max(h, 1), n)), true
}

// Moments returns the arithmetic mean of x and its standard deviation with n-1 in the denominator, by
// the corrected two-pass method. ok is false when x has fewer than two values or an unusable one.
func Moments(x []float64) (mean, sd float64, ok bool) {
	if len(x) < 2 || !allUsable(x) {
		return 0, 0, false
	}
	mean = average(x)
	return mean, math.Sqrt(squares(x, mean) / float64(len(x)-1)), true
}

// average is the mean of x; the second pass takes back the rounding error of the first.
func average(x []float64) float64 {
	n := float64(len(x))
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	mean, rest := sum/n, 0.0
	for _, v := range x {
		rest += v - mean
	}
	return mean + rest/n
}

// squares is the sum of squared deviations from the mean of x, less what an inexact mean adds to it
// (Chan, Golub & LeVeque 1983).
func squares(x []float64, mean float64) float64 {
	sum, rest := 0.0, 0.0
	for _, v := range x {
		d := v - mean
		sum += d * d
		rest += d
	}
	return max(0, sum-rest*rest/float64(len(x)))
}

// Lag1 returns the lag-1 autocorrelation of x in the order given: the sum of products of neighbouring
// deviations over the full sum of squares. ok is false when x has fewer than two values, an unusable
// one, or no spread.
func Lag1(x []float64) (r float64, ok bool) {
	if len(x) < 2 || !allUsable(x) {
		return 0, false
	}
	mean := average(x)
	total, products := squares(x, mean), 0.0
	if total == 0 {
		return 0, false
	}
	for i := 1; i < len(x); i++ {
		products += (x[i-1] - mean) * (x[i] - mean)
	}
	return products / total, true
}

// MAD returns the median of x and the raw median absolute deviation from it, without the factor 1.4826
// that makes it estimate a standard deviation. It leaves x alone. ok is as for [Median].
func MAD(x []float64) (centre, mad float64, ok bool) {
	var small [64]float64
	work := append(small[:0], x...)
	centre, ok = MedianInPlace(work)
	if !ok {
		return 0, 0, false
	}
	for i, v := range work {
		work[i] = math.Abs(v - centre)
	}
	return centre, median(work), true
}

// HodgesLehmann returns the median of the means of all pairs of x, each value paired with itself too:
// a centre nearly as tough as the median and smoother on whole numbers. O(n log n) time, O(n) memory.
// It leaves x alone; ok is as for [Median].
//
// Source: Hodges & Lehmann (1963), Annals of Mathematical Statistics 34.
func HodgesLehmann(x []float64) (m float64, ok bool) {
	if !allUsable(x) {
		return 0, false
	}
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	n := int64(len(x))
	pairs := n * (n + 1) / 2
	low := pairMeanAt(sorted, (pairs+1)/2)
	if pairs%2 == 1 {
		return low, true
	}
	return between(low, pairMeanAt(sorted, pairs/2+1), 0.5), true
}

// pairMeanAt returns the k-th smallest of the means of pairs of the sorted x: the smallest float64 that
// at least k of them do not exceed, found by halving.
func pairMeanAt(x []float64, k int64) float64 {
	low, high := x[0], x[len(x)-1]
	for low < high {
		mid := midway(low, high)
		if pairMeansUpTo(x, mid) >= k {
			high = mid
		} else {
			low = math.Nextafter(mid, math.Inf(1))
		}
	}
	return high
}

// pairMeansUpTo counts the pairs i <= j of the sorted x whose mean is at most v. As i rises the last
// such j falls, so one sweep is enough.
func pairMeansUpTo(x []float64, v float64) int64 {
	var count int64
	j := len(x) - 1
	for i := range x {
		for j >= i && x[i]/2+x[j]/2 > v {
			j--
		}
		if j < i {
			break
		}
		count += int64(j - i + 1)
	}
	return count
}
