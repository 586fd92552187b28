package materials

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// chance draws everything that is left to chance on a site.
type chance struct{ *rand.Rand }

func newChance(seed uint64, scenario string) chance {
	hash := fnv.New64a()
	_, _ = hash.Write([]byte(scenario)) // a hash takes everything
	return chance{rand.New(rand.NewPCG(seed, hash.Sum64()))}
}

func (c chance) hit(p float64) bool { return c.Float64() < p }

func (c chance) between(low, high float64) float64 { return low + (high-low)*c.Float64() }

func (c chance) count(low, high int) int { return low + c.IntN(high-low+1) }

func (c chance) normal(sd float64) float64 { return sd * c.NormFloat64() }

// factor is lognormal about 1.
func (c chance) factor(sd float64) float64 { return math.Exp(c.normal(sd)) }

// rough is noise with a heavy tail: one look in twenty is three times as rough as the others.
func (c chance) rough(sd float64) float64 {
	if c.hit(0.05) {
		sd *= 3
	}
	return c.normal(sd)
}
