package nights

import (
	"math"
	"math/rand/v2"
)

// Value is what was read at a point in a night.
type Value struct {
	Point, Night int
	Value        float64
}

// Kinds of what happens to a point within the year.
const (
	Cleaned  = "cleaned"   // its level falls to that of a clean device
	Swapped  = "swapped"   // another unit, with a level of its own
	Works    = "works"     // dust for some nights, then back
	Stuck    = "stuck"     // it shows one value from then on
	Speeding = "speeding"  // its level begins to climb ten times as fast
	None     = "no answer" // for some nights there is no value
)

// Change is something that happened to a point.
type Change struct {
	Point, Night int
	Kind         string
	Size         float64 // by how much the level moves at once, in steps of the display; 0: not at once
}

// Year is what was read, and what was true.
type Year struct {
	Points, Nights int
	Values         []Value // by night, then by point; where nothing was read there is none
	Changes        []Change
	// Odd are places in Values of what is no level: the bus answered something else.
	Odd []int

	level [][]float64 // by point and night, free of noise
}

// Level is the true level of a point in a night, in steps of the display.
func (y *Year) Level(point, night int) float64 { return y.level[point][night] }

// sd of a value about its level, in steps of the display: three kinds of device.
var noises = []float64{0.3, 0.8, 1.6}

// Draw draws a year. The display shows whole steps. The same seed draws the same year.
func Draw(points, nights int, seed uint64) *Year {
	y := &Year{Points: points, Nights: nights}
	rng := rand.New(rand.NewPCG(seed, 21))
	lost := make([][]bool, points)
	for p := range points {
		lost[p] = make([]bool, nights)
		y.level = append(y.level, y.course(rng, p, lost[p]))
	}
	for night := range nights {
		offset := 0.2 * rng.NormFloat64() // of all values of the night: the supply, the warmth of the building
		out := rng.IntN(120) == 0         // the bus is silent
		for p := range points {
			v := math.Round(y.level[p][night] + offset + noises[p%len(noises)]*rng.NormFloat64())
			if y.stuckBy(p, night) {
				v = math.Round(y.level[p][night])
			}
			gone := out || lost[p][night] || rng.IntN(200) == 0
			odd := rng.IntN(5000) == 0
			switch {
			case gone:
				continue
			case odd:
				y.Odd = append(y.Odd, len(y.Values))
				v = []float64{0, 255, 65535, -1}[rng.IntN(4)]
			}
			y.Values = append(y.Values, Value{p, night, v})
		}
	}
	return y
}

func (y *Year) stuckBy(point, night int) bool {
	for _, c := range y.Changes {
		if c.Point == point && c.Kind == Stuck && night >= c.Night {
			return true
		}
	}
	return false
}

// course draws the level of a point over the year: a slow climb, and at one point in five something that happens.
func (y *Year) course(rng *rand.Rand, point int, lost []bool) []float64 {
	clean := 20 + 10*rng.Float64()
	level, pace := clean+rng.ExpFloat64()*5, rng.ExpFloat64()*3/365
	what, when := "", rng.IntN(y.Nights)
	if rng.IntN(5) == 0 {
		what = []string{Cleaned, Swapped, Works, Stuck, Speeding, None}[rng.IntN(6)]
	}
	long, bump := 5+rng.IntN(20), 8+10*rng.Float64()
	out := make([]float64, y.Nights)
	for night := range y.Nights {
		if what != "" && night == when {
			before := level
			level, pace = begun(rng, what, level, pace, clean)
			c := Change{point, night, what, level - before}
			if what == Works {
				c.Size = bump
			}
			y.Changes = append(y.Changes, c)
		}
		level += pace
		out[night] = level
		if during := night >= when && night < when+long; during && what == Works {
			out[night] += bump
		} else if during && what == None {
			lost[night] = true
		}
	}
	return out
}

// begun gives level and pace after something happened.
func begun(rng *rand.Rand, what string, level, pace, clean float64) (newLevel, newPace float64) {
	switch what {
	case Cleaned:
		return clean, pace
	case Swapped:
		return 20 + 10*rng.Float64(), pace
	case Stuck:
		return level, 0
	case Speeding:
		return level, 10*pace + 20.0/365
	}
	return level, pace
}
