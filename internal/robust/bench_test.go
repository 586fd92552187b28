package robust

import (
	"math/rand/v2"
	"testing"
)

// series is a drifting series of n whole numbers at irregular times, with a fixed seed.
func series(n int, seed uint64) (t, y []float64) {
	r := rand.New(rand.NewPCG(seed, 1))
	t, y = make([]float64, n), make([]float64, n)
	day := 0
	for i := range t {
		t[i] = float64(day)
		day += 70 + r.IntN(45)
		y[i] = float64(int(25.5 + 0.005*t[i] + r.NormFloat64()))
	}
	return t, y
}

func BenchmarkTheilSenAndKendall20(b *testing.B) {
	t, y := series(20, 3)
	var s Scratch
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.TheilSen(t, y, 0.9); err != nil {
			b.Fatal(err)
		}
		if _, err := s.MannKendall(t, y); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTheilSen20(b *testing.B) {
	t, y := series(20, 3)
	var s Scratch
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.TheilSen(t, y, 0.9); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMannKendall12(b *testing.B) {
	t, y := series(12, 3)
	var s Scratch
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.MannKendall(t, y); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCrossing20(b *testing.B) {
	t, y := series(20, 3)
	q := Query{Limit: 45, Side: High, Noise: Noise{SD: 1, DF: PriorDF}, Conf: 0.9}
	var s Scratch
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Crossing(t, y, q); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMedian12(b *testing.B) {
	x := []float64{25, 28, 22, 27, 23, 29, 21, 26, 24, 28, 22, 27}
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := Median(x); !ok {
			b.Fatal("no median")
		}
	}
}

func BenchmarkTheilSen1000(b *testing.B)   { benchmarkLong(b, 1000) }
func BenchmarkTheilSen2000(b *testing.B)   { benchmarkLong(b, 2000) }
func BenchmarkTheilSen100000(b *testing.B) { benchmarkLong(b, 100000) }

func benchmarkLong(b *testing.B, n int) {
	t, y := series(n, 3)
	var s Scratch
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.TheilSen(t, y, 0.9); err != nil {
			b.Fatal(err)
		}
	}
}
