package robust

import (
	"math/rand/v2"
	"testing"
)

// A line from memory is the line that is drawn; after two turns without being
// asked for it is forgotten.
func TestMemory(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var memory Memory
	var scratch Scratch
	series := func(n int) (x, y []float64) {
		for i := range n {
			x, y = append(x, float64(i)+rng.Float64()/2), append(y, 20+3*rng.NormFloat64())
		}
		return x, y
	}
	for range 50 {
		x, y := series(worthKeeping + rng.IntN(60))
		want, err := scratch.Sen(x, y)
		if err != nil {
			t.Fatal(err)
		}
		for range 2 {
			if got, err := memory.Sen(&scratch, x, y); err != nil || got != want {
				t.Fatalf("%+v, %v, want %+v", got, err, want)
			}
		}
		y[3] += 1e-9
		if _, known := memory.find(keyOf(x, y)); known {
			t.Fatal("another series is taken for one that was drawn")
		}
	}
	if len(memory.now) != 50 {
		t.Errorf("%d lines are kept, want 50", len(memory.now))
	}
	memory.Turn()
	memory.Turn()
	if len(memory.now)+len(memory.before) != 0 {
		t.Error("what nobody asked for is still kept")
	}
	if _, err := (*Memory)(nil).Sen(&scratch, []float64{1}, []float64{2}); err == nil {
		t.Error("a series that is too short has a line")
	}
}
