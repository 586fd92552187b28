package instruments

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"
)

// area is a part of the building: its pace is shared, and works befall all of it.
type area struct {
	name  string
	pace  float64
	phase float64 // of its season, in years
	works works
}

// works are building works: they bring dirt until they end.
type works struct {
	from, to time.Time // from zero: none
	told     bool
	dirt     float64 // in rooms, of a point in the middle of them
}

// rate is what works bring in a year at an instant.
func (w *works) rate(at time.Time) float64 {
	if w.from.IsZero() || at.Before(w.from) || !at.Before(w.to) {
		return 0
	}
	return w.dirt / years(w.to.Sub(w.from))
}

func years(d time.Duration) float64 { return d.Hours() / yearLong.Hours() }

func newAreas(r *rand.Rand, p *plan, c *calendar, points int) []area {
	all := make([]area, 1+points/(8+r.IntN(12)))
	for i := range all {
		all[i] = area{
			name: fmt.Sprintf("area %d", i+1), pace: p.pace * math.Exp(p.spread*r.NormFloat64()),
			phase: 0.2 * r.Float64(),
		}
		if r.Float64() < p.works {
			all[i].works = newWorks(r, c)
		}
	}
	if p.works > 0.3 && all[0].works.from.IsZero() { // a site of that scenario has some
		all[0].works = newWorks(r, c)
	}
	return all
}

func newWorks(r *rand.Rand, c *calendar) works {
	from := c.opened.Add(time.Duration((0.15 + 0.75*r.Float64()) * float64(c.now.Sub(c.opened)))).Truncate(dayLong).Add(7 * time.Hour)
	return works{
		from: from, to: from.AddDate(0, 0, 20+r.IntN(70)), told: r.Float64() < 0.3,
		dirt: 0.35 * math.Exp(0.5*r.NormFloat64()),
	}
}
