package nights

import (
	"math"
	"math/rand/v2"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// Reading is a value that was read in a night at a point of a world of levels.
type Reading struct {
	Point sootline.ID
	At    time.Time
	Value float64 // on the scale of the type sheet that holds at the site's Now
	Level float64 // what is true
}

// Of reads the points of a site every night for so many nights, the last one that before the site's Now. The values are one
// instrument's: it is off by a share of each level, its noise is a share of it too, and it shows whole numbers, or
// hundredths below ten. A point that was swapped or rescaled within that time is read from the night after on, for of
// what was before a world's truth does not tell. One value in a hundred is missing. The same seed reads the same.
func Of(site *levels.Site, nights int, seed uint64) []Reading {
	rng := rand.New(rand.NewPCG(seed, 22))
	off := 1 + 0.01*rng.NormFloat64()
	last := site.Now.AddDate(0, 0, -1).Truncate(24 * time.Hour).Add(2 * time.Hour)
	var out []Reading
	for i := nights - 1; i >= 0; i-- {
		at := last.AddDate(0, 0, -i)
		for _, p := range site.Points {
			sd, missing := 0.015*rng.NormFloat64(), rng.IntN(100) == 0
			if missing || !at.After(begins(p)) {
				continue
			}
			level := p.Level(at)
			out = append(out, Reading{p.Point, at, shown(level * (off + sd)), level})
		}
	}
	return out
}

// begins is from when on the truth of a point tells of what is fitted now, on the scale that holds now.
func begins(p levels.Truth) time.Time {
	var from time.Time
	for _, e := range p.Events {
		if (e.Kind == levels.Swapped || e.Kind == levels.Rescaled) && e.Day.After(from) {
			from = e.Day.AddDate(0, 0, 1)
		}
	}
	return from
}

// shown is a value as a display has it.
func shown(v float64) float64 {
	if math.Abs(v) < 10 {
		return math.Round(v*100) / 100
	}
	return math.Round(v)
}
