package judge

import (
	"cmp"
	"math"
	"slices"

	"sootline/internal/robust"
)

// All looks of one day and hand at a type share what is common to them: another instrument, a setting of the panel. It shows
// as the middle of how far they lie from what was expected of each (median polish, Tukey 1977, with a small Kalman
// filter for the rows). A rise that all detectors really share shows likewise, and stays, where an offset is gone at
// the next visit: which share of it goes is chosen by how well the visits after are then foretold.

// follower foretells the looks at one point for that: level and drift, nothing else.
type follower struct {
	leaf
	t     float64
	cut   int
	begun bool
}

// reading is one look with its follower.
type reading struct {
	p    *past
	look int
	who  int
}

// visit names the looks of one day by one hand.
type visit struct {
	day         int64
	by, station string
}

const (
	leastVisit   = 4 // looks of a day: two may both be the odd one, and of three one
	leastDays    = 3 // days that are foretold: fewer cannot choose
	followClip   = 3 // standard deviations: a look farther off is not an offset, and moves the level no farther
	followSpread = 0.05
	leastFall    = 0.25 // in bands: less is no cleaning of what had grown dirty
)

// takeOffsets takes off what the visits to a type share.
func (k *kin) takeOffsets() {
	if len(k.members) < leastVisit {
		return
	}
	all := map[visit][]reading{}
	var order []visit
	for who, p := range k.members {
		for i := range p.looks {
			v := p.looks[i].visit()
			if all[v] == nil {
				order = append(order, v)
			}
			all[v] = append(all[v], reading{p, i, who})
		}
	}
	slices.SortFunc(order, func(a, b visit) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.by, b.by), cmp.Compare(a.station, b.station))
	})
	visits := make([][]reading, len(order))
	for i, v := range order {
		visits[i] = all[v]
	}
	drift, spread := k.pace0()
	best, least := 0.0, math.Inf(1)
	for _, share := range [...]float64{0, 0.25, 0.5, 0.75, 1} {
		f := k.following(drift, spread)
		miss, n := f.through(visits, share, false)
		if n >= leastDays && miss < least*0.98 {
			best, least = share, miss
		}
	}
	if best > 0 {
		f := k.following(drift, spread)
		f.through(visits, best, true)
	}
}

// visit names when a look was taken and by whom, as far as the log tells.
func (l *look) visit() visit {
	v := visit{day: day(l.at)}
	if e := l.readings[0].Entry; e != nil {
		v.by, v.station = e.By, e.Station
	}
	return v
}

// pace0 is the middle drift of the members, and how far they lie from it.
func (k *kin) pace0() (middle, spread float64) {
	var all []float64
	for _, p := range k.members {
		from := 0
		for i := 1; i <= len(p.looks); i++ {
			if i < len(p.looks) && !p.apart(i) {
				continue
			}
			if dt := p.looks[i-1].t - p.looks[from].t; dt > 0.4 {
				all = append(all, (p.z[i-1]-p.z[from])/dt)
			}
			from = i
		}
	}
	middle, _ = robust.Median(all)
	for i := range all {
		all[i] = math.Abs(all[i] - middle)
	}
	mad, _ := robust.MedianInPlace(all)
	return middle, max(followSpread, madToSD*mad)
}

type followers struct {
	k             *kin
	drift, spread float64
	each          []follower
	off           []float64
}

func (k *kin) following(drift, spread float64) *followers {
	return &followers{k: k, drift: drift, spread: spread, each: make([]follower, len(k.members))}
}

// through goes through all looks in order of time, takes the share of what the looks of a day share off them, and
// gives the mean square of what was not foretold, over so many days.
func (f *followers) through(visits [][]reading, share float64, apply bool) (miss float64, days int) {
	for _, here := range visits {
		f.off = f.off[:0]
		for i := range here {
			if e, ok := f.foretell(&here[i]); ok {
				f.off = append(f.off, e)
			}
		}
		taken := 0.0
		if n := float64(len(f.off)); n >= leastVisit && !f.cleaned(here) {
			middle, _ := robust.Median(f.off)
			for i := range f.off {
				f.off[i] = math.Abs(f.off[i] - middle)
			}
			mad, _ := robust.MedianInPlace(f.off)
			sd := madToSD * mad
			noise := math.Pi / 2 * sd * sd / n // variance of a median: pi/2 that of a mean
			miss += middle * middle
			days++
			if middle*middle > noise {
				taken = share * middle * (1 - noise/(middle*middle))
			}
		}
		for i := range here {
			f.take(&here[i], taken)
			if apply {
				here[i].p.z[here[i].look] -= taken
			}
		}
	}
	return miss / max(1, float64(days)), days
}

// cleaned reports whether the looks of a day lie together far below what was expected, and where clean units rest:
// no instrument does that, and so what was expected begins anew.
func (f *followers) cleaned(here []reading) bool {
	middle, _ := robust.Median(f.off)
	if middle > -leastFall {
		return false
	}
	rest := make([]float64, len(here))
	for i := range here {
		rest[i] = here[i].p.z[here[i].look] - f.k.rest
	}
	if off, _ := robust.MedianInPlace(rest); math.Abs(off) > -restMissed*middle {
		return false
	}
	for i := range here {
		f.each[here[i].who].begun = false
	}
	return true
}

// foretell brings the follower of a point to a look, and gives how far the look lies from what it expects.
func (f *followers) foretell(o *reading) (float64, bool) {
	w, p, t := &f.each[o.who], o.p, o.p.looks[o.look].t
	for ; w.cut < len(p.after) && p.after[w.cut] <= o.look; w.cut++ {
		if p.cuts[w.cut].known {
			r := f.drift
			if w.begun {
				r = w.r
			}
			f.begin(w, f.k.rest, r, f.k.restVar, p.cuts[w.cut].t)
		} else {
			w.begun = false
		}
	}
	if !w.begun {
		return 0, false
	}
	dt := max(0, t-w.t)
	w.grow(dt, 1e-3*dt, 0.1*f.spread*f.spread*dt)
	w.t = t
	return p.z[o.look] - w.x, true
}

// begin lets a follower start at a level with a drift.
func (f *followers) begin(w *follower, x, r, v, t float64) {
	w.leaf = leaf{x: x, r: r, pxx: v, prr: f.spread * f.spread}
	w.t, w.begun = t, true
}

// take lets the follower of a point see a look.
func (f *followers) take(o *reading, taken float64) {
	w, z := &f.each[o.who], o.p.z[o.look]-taken
	if !w.begun {
		f.begin(w, z, f.drift, f.k.noise, o.p.looks[o.look].t)
		return
	}
	s := w.pxx + f.k.noise
	w.move(max(-followClip*math.Sqrt(s), min(followClip*math.Sqrt(s), z-w.x)), 1/s)
}
