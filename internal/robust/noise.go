package robust

import (
	"math"
	"slices"
)

// SuccessiveSD estimates the standard deviation of the noise in x from the differences of neighbours,
// sqrt(sum d^2 / (2(n-1))), so that a slow change of level does not inflate it. x is in the order taken.
// ok is false when x has fewer than two values or an unusable one.
//
// Source: von Neumann, Kent, Bellinson & Hart (1941), Annals of Mathematical Statistics 12.
func SuccessiveSD(x []float64) (sd float64, ok bool) {
	if len(x) < 2 || !allUsable(x) {
		return 0, false
	}
	return math.Sqrt(differenceSquares(x) / float64(2*(len(x)-1))), true
}

// VonNeumann returns the ratio of the mean squared difference of neighbours to the variance of x, both
// over n-1: about 2 for independent values, near 0 for a wandering or settling one, towards 4 for one
// that flips to and fro. x is in the order taken. ok is false when x has fewer than two values, an
// unusable one, or no spread.
//
// Source: von Neumann (1941), Annals of Mathematical Statistics 12.
func VonNeumann(x []float64) (ratio float64, ok bool) {
	if len(x) < 2 || !allUsable(x) {
		return 0, false
	}
	total := squares(x, average(x))
	if total == 0 {
		return 0, false
	}
	return differenceSquares(x) / total, true
}

// Range returns the greatest less the smallest value of x. ok is as for [Median].
func Range(x []float64) (r float64, ok bool) {
	if !allUsable(x) {
		return 0, false
	}
	return slices.Max(x) - slices.Min(x), true
}

func differenceSquares(x []float64) float64 {
	sum := 0.0
	for i := 1; i < len(x); i++ {
		d := x[i] - x[i-1]
		sum += d * d
	}
	return sum
}
