package robust

import (
	"errors"
	"fmt"
	"math"
)

// Errors that the functions of two series wrap; test for them with errors.Is.
var (
	ErrLength    = errors.New("series of different lengths")
	ErrNotFinite = errors.New("value not finite or beyond 1e150")
	ErrTooFew    = errors.New("too few values")
	ErrNoSpread  = errors.New("all times equal")
	ErrArgument  = errors.New("argument out of range")
	ErrOverflow  = errors.New("result too large")
)

// largest is the greatest magnitude taken as input or given as a result: a difference of two such
// values, its square and a sum of a million squares still fit a float64.
const largest = 1e150

// usable reports whether v is finite and small enough to be squared. It is false for NaN.
func usable(v float64) bool { return math.Abs(v) <= largest }

// allUsable reports whether x has at least one value and all of them are usable.
func allUsable(x []float64) bool {
	for _, v := range x {
		if !usable(v) {
			return false
		}
	}
	return len(x) > 0
}

// checkPairs reports what makes the series (t, y) unfit for any work at all.
func checkPairs(t, y []float64) error {
	if len(t) != len(y) {
		return fmt.Errorf("%d times, %d values: %w", len(t), len(y), ErrLength)
	}
	for i := range t {
		if !usable(t[i]) || !usable(y[i]) {
			return fmt.Errorf("pair %d: %w", i, ErrNotFinite)
		}
	}
	return nil
}

// checkConf refuses a confidence level that is not strictly between 0 and 1.
func checkConf(conf float64) error {
	if conf > 0 && conf < 1 {
		return nil
	}
	return fmt.Errorf("confidence level %v: %w", conf, ErrArgument)
}
