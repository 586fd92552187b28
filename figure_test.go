package sootline

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// A figure is written as a meter shows it: as the library of formats has it where that needs no power of ten, and with all
// places before the point where it would.
func TestSignificant(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 3))
	for range 10000 {
		x := (rng.Float64() - 0.5) * 1998
		if want := fmt.Sprintf("%.3g", x); !strings.Contains(want, "e") && Significant(x, 3) != want {
			t.Errorf("%v is %s, and %s by the library", x, Significant(x, 3), want)
		}
	}
	for x, want := range map[float64]string{0: "0", 4000: "4000", -1234.5: "-1234", 999.96: "1000", 1e6: "1000000", 0.00001234: "0.0000123", 56.04: "56", 99.99: "100"} {
		if got := Significant(x, 3); got != want {
			t.Errorf("%v is %s, not %s", x, got, want)
		}
	}
}
