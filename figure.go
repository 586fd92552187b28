package sootline

import (
	"math"
	"strconv"
)

// Significant writes a figure to so many significant places as a meter shows it: with all its places before the point, and
// never as a power of ten.
func Significant(x float64, places int) string {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	before := int(math.Floor(math.Log10(math.Abs(x)))) + 1
	text := strconv.FormatFloat(x, 'f', max(places-before, 0), 64)
	if rounded, err := strconv.ParseFloat(text, 64); err == nil {
		return strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	return text
}
