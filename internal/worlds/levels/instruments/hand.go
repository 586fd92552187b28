package instruments

import (
	"math/rand/v2"
	"slices"

	"sootline/internal/worlds/levels"
)

// reading is a look of a device at a visit, with the one before it.
type reading struct {
	*device
	*look
	before *look // nil: none
}

// hand lets the technicians write: what was shown, or what they make of it.
func (s *premises) hand(r *rand.Rand) {
	for v := range s.cal.visits {
		round := s.round(v)
		from, to := s.copiedStretch(r, v, len(round))
		for i := range round {
			who := s.cal.visits[v].teams[round[i].loop%2].who
			switch u := r.Float64(); {
			case round[i].after:
			case i >= from && i < to || u < who.copied:
				round[i].copyBefore()
			case u < who.copied+who.neighbour:
				round[i].takeNeighbour(round, i)
			case u < who.copied+who.neighbour+who.slip:
				round[i].slipped(r)
			}
		}
	}
	for _, d := range s.devices {
		slices.SortStableFunc(d.events, func(a, b levels.Happened) int { return a.Day.Compare(b.Day) })
	}
}

// round lists the readings of a visit, in the order in which they were taken.
func (s *premises) round(visit int) []reading {
	var all []reading
	for _, d := range s.devices {
		for i := range d.looks {
			if l := &d.looks[i]; l.visit == visit {
				all = append(all, reading{device: d, look: l})
				if i > 0 {
					all[len(all)-1].before = &d.looks[i-1]
				}
			}
		}
	}
	return all
}

// copiedStretch draws which readings of a visit are last year's: from tea to the end of the shift.
func (s *premises) copiedStretch(r *rand.Rand, visit, n int) (from, to int) {
	chance := s.cal.visits[visit].teams[0].who.stretch
	at, share := r.Float64(), 0.1+0.3*r.Float64()
	if r.Float64() >= chance {
		return 0, 0
	}
	from = int(at * float64(n))
	return from, min(n, from+int(share*float64(n)))
}

func (x *reading) copyBefore() {
	if x.before != nil {
		x.write(x.before.written, levels.Slip)
	}
}

// takeNeighbour writes what the next device of the type showed, or the one before.
func (x *reading) takeNeighbour(round []reading, i int) {
	for _, j := range []int{i + 1, i - 1, i + 2, i - 2} {
		if j >= 0 && j < len(round) && round[j].device != x.device && round[j].scale.name == x.scale.name {
			x.write(round[j].shown, levels.Neighbour)
			return
		}
	}
}

func (x *reading) slipped(r *rand.Rand) {
	wrong := slices.Clone(x.shown)
	d := decimals(x.scale.step)
	wrong[0] = tidy(slip(r, wrong[0], d), max(2, d))
	x.write(wrong, levels.Slip)
}

// write puts other samples in the place of those shown. Where they are the same, nothing happened.
func (x *reading) write(samples []float64, kind string) {
	if slices.Equal(samples, x.shown) {
		return
	}
	x.written = samples
	x.events = append(x.events, levels.Happened{Kind: kind, Day: x.at})
}
