package sootline

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
)

// A number is written as encoding/json does, on both sides of where each short way ends.
func TestNumbersAsJSON(t *testing.T) {
	const exact = 1 << 53
	numbers := []float64{0, math.Copysign(0, -1), 1, -1, 0.5, 1e-6, 1e-7, 1e20, 1e21, exact - 1, exact, exact + 2, -exact, 1e15, 1e16 + 2, math.MaxInt64, math.MinInt64, math.MaxFloat64, math.SmallestNonzeroFloat64}
	random := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		whole := float64(random.Int64() >> random.IntN(63))
		numbers = append(numbers, whole, -whole, whole+0.5, math.Float64frombits(random.Uint64()))
	}
	for _, x := range numbers {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			continue
		}
		want, err := json.Marshal(x)
		if err != nil {
			t.Fatal(err)
		}
		if got := appendNumber(nil, x); string(got) != string(want) {
			t.Errorf("%v is written %s, want %s", x, got, want)
		}
	}
}
