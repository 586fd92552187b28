package chart

import (
	"math"
	"strconv"
)

// nice gives the number nearest to v, or the least that is not below it, out of
// 1, 2, 5 times a power of ten.
//
// Source: P. S. Heckbert, "Nice numbers for graph labels", Graphics Gems I, 1990.
func nice(v float64, round bool) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	f := v / power
	bounds := [3]float64{1, 2, 5}
	if round {
		bounds = [3]float64{1.5, 3, 7}
	}
	for i, n := range [3]float64{1, 2, 5} {
		if f < bounds[i] || !round && f <= bounds[i] {
			return n * power
		}
	}
	return 10 * power
}

// ticks gives about most round numbers that cover low to high, at least two and
// at most most+3, and how many decimals they have. Heckbert's loose labels.
func ticks(low, high float64, most int) (at []float64, decimals int) {
	low, high = apart(low, high)
	step := nice(nice(high-low, false)/float64(max(most-1, 1)), true)
	first, last := math.Floor(low/step), math.Ceil(high/step)
	for i := first; i <= last; i++ {
		at = append(at, i*step)
	}
	return at, min(max(int(-math.Floor(math.Log10(step)+1e-9)), 0), 15)
}

// apart moves two equal numbers, or such as nearly are, apart.
func apart(low, high float64) (float64, float64) {
	if d := high - low; d > 1e-9*max(math.Abs(low), math.Abs(high)) && d > 1e-9 {
		return low, high
	}
	d := max(0.5, math.Abs(low)/1e6)
	return low - d, high + d
}

func fixed(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if zero, err := strconv.ParseFloat(text, 64); err == nil && zero == 0 {
		text = strconv.FormatFloat(0, 'f', decimals, 64)
	}
	return text
}

// short gives the words of a number, or the number with three digits and a power of
// ten where they are long.
func short(words string, v float64) string {
	if len(words) <= 8 {
		return words
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}

// plain writes a value as short as it can be told from others, at most four
// decimals.
func plain(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64)
}
