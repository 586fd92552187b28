package judge

import (
	"math"

	"sootline/internal/robust"
)

// All looks of one day by one hand share what is common to them: another instrument, a setting of the panel, the
// air of that season. It shows as a common distance from where the looks before and after lead to (median polish,
// Tukey 1977, after taking the trends out), and is taken off as far as its spread exceeds what noise makes of it.

// round is the looks of one kin on one day.
type round struct {
	off   []float64 // distances of its looks
	taken float64
}

type occasion struct {
	kin *kin
	day int64
}

// offsetSweeps: a look that is off moves its neighbours' distances, which the next sweep mends.
const offsetSweeps = 4

// leastRound is the fewest looks of a day that can show what they share: one more than two, of which none is
// the odd one.
const leastRound = 4

// takeOffsets takes off what visits share.
func takeOffsets(all []*past) {
	site := map[int64]*round{}
	types := map[occasion]*round{}
	for _, p := range all {
		for i := range p.looks {
			d := day(p.looks[i].at)
			if site[d] == nil {
				site[d] = &round{}
			}
			if types[occasion{p.kin, d}] == nil {
				types[occasion{p.kin, d}] = &round{}
			}
		}
	}
	for range offsetSweeps {
		for _, p := range all {
			for i := range p.looks {
				if e, ok := p.distance(i); ok {
					d := day(p.looks[i].at)
					r := types[occasion{p.kin, d}]
					r.off = append(r.off, e+r.taken)
				}
			}
		}
		settle(types)
		for _, p := range all {
			for i := range p.looks {
				p.z[i] = p.kin.scale.of(p.looks[i].y) - types[occasion{p.kin, day(p.looks[i].at)}].taken
			}
		}
	}
	_ = site
}

// settle works out what each round shares, shrunk by how much such medians differ from chance alone.
func settle[K comparable](rounds map[K]*round) {
	var between, within, n float64
	type part struct{ centre, error float64 }
	parts := map[K]part{}
	for key, r := range rounds {
		if len(r.off) >= leastRound {
			centre, _ := robust.Median(r.off)
			for i := range r.off {
				r.off[i] = math.Abs(r.off[i] - centre)
			}
			mad, _ := robust.MedianInPlace(r.off)
			e := 1.57 * madToSD * madToSD * mad * mad / float64(len(r.off)) // variance of a median: pi/2 that of a mean
			parts[key] = part{centre, e}
			between, within, n = between+min(centre*centre, 0.05), within+e, n+1
		}
		r.off = r.off[:0]
	}
	if n == 0 {
		return
	}
	spread := max(0, (between-within)/n)
	for key, p := range parts {
		rounds[key].taken = p.centre * spread / (spread + p.error + 1e-12)
	}
}

// distance is how far a look lies from where its neighbours of the same run lead to.
func (p *past) distance(i int) (float64, bool) {
	before := i > 0 && !p.apart(i)
	after := i+1 < len(p.looks) && !p.apart(i+1)
	switch {
	case before && after:
		a := (p.looks[i].t - p.looks[i-1].t) / (p.looks[i+1].t - p.looks[i-1].t)
		return p.z[i] - (1-a)*p.z[i-1] - a*p.z[i+1], true
	case before && i > 1 && !p.apart(i-1):
		slope := (p.z[i-1] - p.z[i-2]) / (p.looks[i-1].t - p.looks[i-2].t)
		return p.z[i] - p.z[i-1] - 0.5*slope*(p.looks[i].t-p.looks[i-1].t), true
	case before:
		return p.z[i] - p.z[i-1], true
	}
	return 0, false
}
