package ducts

import (
	"math"
	"math/rand/v2"
)

// dice draws from the distributions that the world needs.
type dice struct{ *rand.Rand }

func newDice(seed uint64, scenario string) dice {
	salt := uint64(14695981039346656037) // FNV-1a, 64 bits
	for _, c := range []byte(scenario) {
		salt = (salt ^ uint64(c)) * 1099511628211
	}
	return dice{rand.New(rand.NewPCG(seed, salt))}
}

func (d dice) chance(p float64) bool { return d.Float64() < p }

func (d dice) between(low, high float64) float64 { return low + (high-low)*d.Float64() }

func (d dice) whole(span [2]int) int { return span[0] + d.IntN(span[1]-span[0]+1) }

func (d dice) normal(mean, sd float64) float64 { return mean + sd*d.NormFloat64() }

// lognormal draws about a median of 1.
func (d dice) lognormal(sd float64) float64 { return math.Exp(sd * d.NormFloat64()) }

// gamma draws with scale 1, by squeezing a normal (Marsaglia and Tsang 2000).
func (d dice) gamma(shape float64) float64 {
	if shape <= 0 {
		return 0
	}
	boost := 1.0
	if shape < 1 {
		boost = math.Pow(d.Float64(), 1/shape)
		shape++
	}
	third := shape - 1.0/3
	for {
		x := d.NormFloat64()
		v := 1 + x/math.Sqrt(9*third)
		if v <= 0 {
			continue
		}
		v *= v * v
		if math.Log(d.Float64()) < x*x/2+third*(1-v+math.Log(v)) {
			return boost * third * v
		}
	}
}

// heavy draws from a t distribution with 4 degrees of freedom, scaled to the standard deviation 1.
func (d dice) heavy() float64 {
	return d.NormFloat64() / math.Sqrt(d.gamma(2)/2) / math.Sqrt2
}

func pick[T any](d dice, from []T) T { return from[d.IntN(len(from))] }
