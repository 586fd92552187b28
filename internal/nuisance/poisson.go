package nuisance

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Interval is the exact central interval of the expectation of a Poisson count
// (Garwood 1936, Biometrika 28, 437): each end is where the tail beyond the
// count is half of what the level leaves out. The level lies between 0 and 1;
// the ends are in the unit of the count.
func Interval(count int, level float64) (low, high float64) {
	tail := (1 - level) / 2
	if count > 0 {
		low = mathext.GammaIncRegInv(float64(count), tail)
	}
	return low, mathext.GammaIncRegInv(float64(count)+1, 1-tail)
}

// AtLeast is the chance of count or more where mean are expected; AtMost is that
// of count or fewer.
func AtLeast(count int, mean float64) float64 {
	switch {
	case count <= 0:
		return 1
	case mean <= 0:
		return 0
	}
	return mathext.GammaIncReg(float64(count), mean)
}

// AtMost is the chance of count or fewer where mean are expected.
func AtMost(count int, mean float64) float64 {
	switch {
	case count < 0:
		return 0
	case mean <= 0:
		return 1
	}
	return mathext.GammaIncRegComp(float64(count)+1, mean)
}

// Ratio compares two Poisson rates, before and after, by the number of events
// before given their sum (Przyborowski and Wilenski 1940, Biometrika 31, 313).
type Ratio struct {
	Value     float64 // rate before over rate after; infinite without events after, NaN without any
	Low, High float64 // its exact interval at 95 %
	P         float64 // twice the smaller tail, so that it never contradicts the interval
}

// Compare compares events counted over exposures above 0, such as
// detector-years.
func Compare(before int, beforeExposure float64, after int, afterExposure float64) Ratio {
	all := before + after
	share := beforeExposure / (beforeExposure + afterExposure)
	odds := func(p float64) float64 { return p / (1 - p) * afterExposure / beforeExposure }
	low, high := shareInterval(before, all, 0.95)
	return Ratio{
		Value: float64(before) / beforeExposure / (float64(after) / afterExposure),
		Low:   odds(low), High: odds(high),
		P: min(1, 2*min(binomialAtLeast(before, all, share), binomialAtLeast(after, all, 1-share))),
	}
}

// shareInterval is the exact central interval of a binomial share (Clopper and
// Pearson 1934, Biometrika 26, 404).
func shareInterval(k, n int, level float64) (low, high float64) {
	tail := (1 - level) / 2
	high = 1
	if k > 0 {
		low = mathext.InvRegIncBeta(float64(k), float64(n-k+1), tail)
	}
	if k < n {
		high = mathext.InvRegIncBeta(float64(k+1), float64(n-k), 1-tail)
	}
	return low, high
}

// binomialAtLeast is the chance of k or more out of n, each with chance p.
func binomialAtLeast(k, n int, p float64) float64 {
	switch {
	case k <= 0:
		return 1
	case k > n || p <= 0:
		return 0
	case p >= 1:
		return 1
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p)
}

// fewestShowing is the smallest number of events before an action for which none
// at all afterwards would show that it helped, at 5 %: 0 where no number would.
func fewestShowing(beforeExposure, afterExposure float64) int {
	share := beforeExposure / (beforeExposure + afterExposure)
	if share <= 0 || share >= 1 {
		return 0
	}
	return int(math.Ceil(math.Log(0.025) / math.Log(share)))
}
