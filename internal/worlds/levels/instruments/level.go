package instruments

import (
	"slices"
	"time"
)

// course is a level over time: knots with straight lines between them. Two knots at one instant are a jump.
type course []knot

type knot struct {
	at    time.Time
	value float64
}

func (c *course) add(at time.Time, value float64) { *c = append(*c, knot{at, value}) }

// at gives the value at an instant; after a jump it is what follows.
func (c course) at(t time.Time) float64 {
	after, _ := slices.BinarySearchFunc(c, t, func(k knot, t time.Time) int {
		if k.at.After(t) {
			return 1
		}
		return -1
	})
	switch {
	case after == 0:
		return c[0].value
	case after == len(c):
		return c[len(c)-1].value
	}
	a, b := c[after-1], c[after]
	return a.value + (b.value-a.value)*t.Sub(a.at).Seconds()/b.at.Sub(a.at).Seconds()
}

// leaves gives the first instant from one on at which the course is outside a band, to the second; zero: never.
func (c course) leaves(from time.Time, low, high float64) time.Time {
	outside := func(v float64) bool { return v < low || v > high }
	if outside(c.at(from)) {
		return from
	}
	before := knot{from, c.at(from)}
	for _, k := range c {
		if !k.at.After(from) {
			continue
		}
		if outside(k.value) {
			limit := high
			if k.value < low {
				limit = low
			}
			share := (limit - before.value) / (k.value - before.value)
			at := before.at.Add(time.Duration(share * float64(k.at.Sub(before.at)))).Truncate(time.Second).Add(2 * time.Second)
			if at.After(k.at) {
				return k.at
			}
			return at
		}
		before = k
	}
	return time.Time{}
}

// on gives the course as another scale shows it.
func (c course) on(to rescaling) course {
	other := make(course, len(c))
	for i, k := range c {
		other[i] = knot{k.at, to.of(k.value)}
	}
	return other
}
