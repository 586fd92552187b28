package circuit

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// n equally likely sections take ceil(log2 n) tests at most (troubleshooting text: 1048576 components in 20), and on
// average what Huffman's tree of equal weights takes: k + 2 (n - 2^k)/n with k = floor(log2 n).
func TestHalveEqual(t *testing.T) {
	for n, most := range map[int]int{1: 0, 2: 1, 6: 3, 13: 4, 21: 5, 41: 6, 65: 7, 127: 7, 128: 7} {
		likelihood := make([]float64, n)
		for i := range likelihood {
			likelihood[i] = 1
		}
		plan, err := Halve(likelihood, nil)
		if err != nil {
			t.Fatal(err)
		}
		k := math.Floor(math.Log2(float64(n)))
		want := k + 2*(float64(n)-math.Exp2(k))/float64(n)
		if plan.Most != most {
			t.Errorf("%d sections: %d tests at most, want %d", n, plan.Most, most)
		}
		wantNear(t, "mean tests", plan.Tests, want, 1e-9)
		wantNear(t, "effort", plan.Effort, want, 1e-9)
	}
}

// cheapest tries every tree.
func cheapest(likelihood, effort []float64) float64 {
	if len(likelihood) == 1 {
		return 0
	}
	sum := 0.0
	for _, p := range likelihood {
		sum += p
	}
	best := math.Inf(1)
	for k, e := range effort {
		best = math.Min(best, e*sum+cheapest(likelihood[:k+1], effort[:k])+cheapest(likelihood[k+1:], effort[k+1:]))
	}
	return best
}

// walk adds up what finding the fault in one section takes, by following the plan.
func walk(s *Split, section int, effort []float64) float64 {
	sum := 0.0
	for s.Left != nil {
		sum += effort[s.Joint]
		if section <= s.Joint {
			s = s.Left
		} else {
			s = s.Right
		}
	}
	if s.Section != section {
		return math.Inf(1)
	}
	return sum
}

// Against every tree of up to nine sections, with unequal likelihoods and efforts; and the plan, followed to every
// section, finds it at the effort that it claims.
func TestHalveAgainstEveryTree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "sections")
		likelihood := rapid.SliceOfN(rapid.Float64Range(0.01, 1), n, n).Draw(t, "likelihood")
		effort := rapid.SliceOfN(rapid.Float64Range(0.1, 9), n-1, n-1).Draw(t, "effort")
		plan, err := Halve(likelihood, effort)
		if err != nil {
			t.Fatal(err)
		}
		sum, followed := 0.0, 0.0
		for i, p := range likelihood {
			sum += p
			followed += p * walk(plan.Split, i, effort)
		}
		if want := cheapest(likelihood, effort) / sum; math.Abs(plan.Effort-want) > 1e-9 || math.Abs(followed/sum-want) > 1e-9 {
			t.Fatalf("effort %v, followed %v, the cheapest tree takes %v", plan.Effort, followed/sum, want)
		}
	})
}

func TestHalveBroken(t *testing.T) {
	for _, one := range [][2][]float64{
		{{}, nil}, {{0, 0}, nil}, {{1, -1}, nil}, {{1, math.NaN()}, nil}, {{1, 1}, {0}}, {{1, 1}, {1, 1}}, {make([]float64, 601), nil},
	} {
		if _, err := Halve(one[0], one[1]); err == nil {
			t.Errorf("%v: no error", one)
		}
	}
}

// The cube of the longest loop there is must not be felt.
func TestHalveLong(t *testing.T) {
	likelihood := make([]float64, 251)
	for i := range likelihood {
		likelihood[i] = float64(1 + i%7)
	}
	start := time.Now()
	if _, err := Halve(likelihood, nil); err != nil {
		t.Fatal(err)
	}
	if took := time.Since(start); took > time.Second {
		t.Errorf("251 sections took %v", took)
	}
}
