package instruments

import (
	"math"
	"math/rand/v2"
)

// nature is how dirt comes to lie in a chamber.
type nature int

const (
	integrated nature = iota // the sum of a pace that wanders, and changes by spells
	resting                  // pulled to a level of rest, as where draughts carry off what they bring
	feeding                  // dirt catches dirt: a rough wall holds more than a smooth one
	filling                  // the more lies there, the less stays
	ageing                   // nothing lies there; the cell wears out, ever faster
	still                    // next to nothing
)

// drift is the state of a chamber, in rooms.
type drift struct {
	nature nature
	pace   float64 // its usual rise in a year
	dirt   float64 // what a cleaning takes away
	age    float64 // what it does not
	wear   float64 // how fast that grows in a year
	haste  float64 // log of its pace against the usual one, which wanders
	spell  float64 // factor of the spell that it is in
	aim    float64 // where a resting one is pulled to
	pull   float64 // how fast, a year
	gentle bool    // no spells
}

// Of a pace: how far its logarithm wanders, and in how many years that is forgotten.
const (
	hasteSD    = 0.3
	hasteYears = 1.0
	spellRate  = 0.2 // new spells in a year
	mostDirt   = 4.0
)

// step goes on by dt years, at most a month or so; works is what building works add.
func (d *drift) step(r *rand.Rand, dt, works float64) {
	d.haste += -d.haste*dt/hasteYears + hasteSD*math.Sqrt(2*dt/hasteYears)*r.NormFloat64()
	if !d.gentle && r.Float64() < spellRate*dt {
		d.spell = newSpell(r)
	}
	d.dirt += d.rise(r, dt) + works
	d.dirt = math.Max(0, math.Min(mostDirt, d.dirt))
	d.age += d.wear * dt
	if d.nature == ageing {
		d.age += d.pace * (0.5 + 1.5*d.age) * dt
	}
}

// rise is what a step adds to the dirt.
func (d *drift) rise(r *rand.Rand, dt float64) float64 {
	pace := d.pace * d.spell * math.Exp(d.haste-hasteSD*hasteSD/2)
	switch d.nature {
	case resting:
		return d.pull*(d.aim*d.spell-d.dirt)*dt + 0.05*math.Sqrt(dt)*r.NormFloat64()
	case feeding:
		return pace * (0.35 + 2.2*d.dirt) * dt
	case filling:
		return pace * 3 * math.Exp(-d.dirt/0.45) * dt
	case ageing:
		return 0
	case still:
		return 0.1*pace*dt + 0.02*math.Sqrt(dt)*r.NormFloat64()
	}
	return pace * dt
}

// newSpell draws how a place is used for a while: hardly, as usual, or hard.
func newSpell(r *rand.Rand) float64 {
	switch u := r.Float64(); {
	case u < 0.3:
		return 0.2
	case u < 0.8:
		return 1
	}
	return 2.6
}

// newDrift draws a chamber of a nature, as new.
func newDrift(r *rand.Rand, n nature, pace float64, gentle bool) drift {
	d := drift{nature: n, pace: pace, spell: 1, gentle: gentle, pull: 0.3 + 0.9*r.Float64()}
	d.aim = math.Min(1.6, 5*pace*math.Exp(0.4*r.NormFloat64()))
	d.haste = hasteSD * r.NormFloat64()
	if r.Float64() < 0.1 { // one in ten has a part that wears as well
		d.wear = 0.02 + 0.06*r.Float64()
	}
	return d
}
