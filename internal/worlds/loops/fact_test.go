package loops

import (
	"math/rand/v2"
	"testing"
)

// TestBetweenTheSides: what is shown at the unsafe side, or fails at the safe one, does so anywhere between them.
func TestBetweenTheSides(t *testing.T) {
	tried := 0
	for seed := range 2 * seeds(t) {
		l := Draw(seed, Taste{Missing: true, Range: true, BaseTo: 0.5})
		truth := Judge(l)
		if len(l.Missing) == 0 || truth.Says == NotShown || truth.Near {
			continue
		}
		tried++
		rng := rand.New(rand.NewPCG(seed, 2))
		for range 6 {
			in := l.Settled(nil)
			for _, f := range l.Missing {
				if f.Bounded {
					in.set(f, f.Safe+(f.Unsafe-f.Safe)*rng.Float64(), true)
				}
			}
			if got := in.sweep(); truth.Says == Shown && got.Says != Shown {
				t.Fatalf("%d: shown, but between the sides %+v", seed, got.Failing[0])
			}
			all := l.Settled(l.Missing)
			for _, f := range l.Missing {
				if f.Bounded {
					all.set(f, f.Safe+(f.Unsafe-f.Safe)*rng.Float64(), true)
				}
			}
			if got := all.sweep(); truth.Says == Fails && got.Says != Fails {
				t.Fatalf("%d: fails at the safe side, but not between: %+v", seed, truth.Failing)
			}
		}
	}
	if tried < int(seeds(t)/4) {
		t.Error(tried)
	}
}
