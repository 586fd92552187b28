package judge

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The assignment is the cheapest of all permutations, listed one by one.
func TestAssignIsCheapest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(0, 6).Draw(rt, "n")
		costs := make([][]float64, n)
		for i := range costs {
			costs[i] = rapid.SliceOfN(rapid.OneOf(rapid.Float64Range(0, 10), rapid.Just(impossible), rapid.Just(float64(stays))), n, n).Draw(rt, "row")
		}
		got, seen := 0.0, make([]bool, n)
		for i, j := range assign(costs) {
			if seen[j] {
				rt.Fatalf("column %d twice", j)
			}
			seen[j] = true
			got += costs[i][j]
		}
		if want := cheapest(costs, 0, make([]bool, n)); math.Abs(got-want) > 1e-6*max(1, want) {
			rt.Errorf("cost %v, cheapest %v", got, want)
		}
	})
}

func cheapest(costs [][]float64, row int, used []bool) float64 {
	if row == len(costs) {
		return 0
	}
	least := math.Inf(1)
	for j := range used {
		if !used[j] {
			used[j] = true
			least = min(least, costs[row][j]+cheapest(costs, row+1, used))
			used[j] = false
		}
	}
	return least
}
