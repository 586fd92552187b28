package judge

import (
	"math"
	"testing"
)

// 99 % points of chi-squared, to three decimals: NIST/SEMATECH e-Handbook of
// Statistical Methods, table 1.3.6.7.4 (from memory).
func TestChiSquaredBeyond(t *testing.T) {
	for df, point := range map[int]float64{1: 6.635, 2: 9.210, 3: 11.345, 4: 13.277, 5: 15.086, 6: 16.812, 7: 18.475, 10: 23.209, 20: 37.566} {
		if got := chiSquaredBeyond(point, df); math.Abs(got-0.01) > 5e-6 {
			t.Errorf("%d df: chance beyond %v is %v, want 0.01", df, point, got)
		}
	}
	// Two degrees of freedom make an exponential distribution of mean 2.
	for _, x := range []float64{1e-9, 1, 50, 1e6} {
		if got, want := chiSquaredBeyond(x, 2), math.Exp(-x/2); math.Abs(got-want) > 1e-15 {
			t.Errorf("chance beyond %v is %v, want %v", x, got, want)
		}
	}
	// Far beyond the range of e^-z, half of a symmetric distribution lies beyond
	// its mean: the skewness, 8/df under a root, is small then.
	if got := chiSquaredBeyond(4000, 4000); math.Abs(got-0.5) > 0.01 {
		t.Errorf("chance beyond the mean of 4000 df is %v", got)
	}
	for _, x := range []float64{0, -1, math.NaN()} {
		if got := chiSquaredBeyond(x, 3); got != 1 {
			t.Errorf("chance beyond %v is %v", x, got)
		}
	}
	if got := chiSquaredBeyond(math.Inf(1), 3); got != 0 {
		t.Errorf("chance beyond infinity is %v", got)
	}
}

func TestNumber(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0", 25: "25", 25.5: "25.5", -3.14159: "-3.142", 0.0213: "0.021", 10.004: "10",
		120.04: "120", 123456: "123456", 1234567: "1.235e+06", 0.000123456: "0.0001235",
	} {
		if got := number(x); got != want {
			t.Errorf("%v is written %s, want %s", x, got, want)
		}
	}
}
