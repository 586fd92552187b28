package judge

import "math"

// leaf is one path of the bank as it stands after some readings: level and drift with their variances and
// covariance (Kalman 1960; West & Harrison 1997, ch. 4; from memory), and its share in its story.
type leaf struct {
	x, r          float64 // level in bands, drift in bands a year of a straight path
	pxx, pxr, prr float64
	w             float64
	path          int32
}

// tale is one story of what happened to a point, with the bank of paths as that story leaves it.
type tale struct {
	leaves []leaf
	t      float64         // when the leaves hold
	start  float64         // when the drift began afresh
	gone   [shapes]float64 // of each shape from start to t
	loud   float64         // factor on the variance of noise: 1, more for one that is unsteady
	owed   bool            // a noted cleaning did nothing: it may come on a later day
	since  bool            // cleaned after the last look, as the habit of the site has it
	events *event          // the latest, with those before it
	total  float64         // logarithm of its weight
}

// event is something that happened to a point in a story.
type event struct {
	kind     QuestionKind
	look     int     // the look that showed it first
	from, to float64 // between these times
	value    float64 // of a slip: what should have been written; in the unit of the value
	whose    int     // of a neighbour's value: how many places on in the register it was
	before   *event
}

const (
	deadTale  = 9      // a story e^9 times less likely than the best is let go
	deadLeaf  = 2.5e-3 // and a path with less than this share of its story
	faint     = 1e-3   // nor do paths with less go into other stories
	mostTales = 6      // stories kept at a point

	// The noise of a look has heavy tails: Student's t with 7 degrees of freedom (West 1984; from memory).
	noiseDF = 7
)

// studentPeak is the density of that in its middle, for a scale of 1: gamma(4)/(gamma(3.5) sqrt(7 pi)).
const studentPeak = 0.38505

// walker walks through the looks at one point.
type walker struct {
	k     *kin
	w     *weights
	tales []tale
	spare [][]leaf
	ahead []tale    // working space
	lik   []float64 // working space: share of each leaf times the density of a look

	plain     bool    // nothing happens: for learning what is usual
	score     float64 // logarithm of how likely all looks were
	stuckFrom int     // the first of the equal looks that end the series
	quantum   float64 // step in which the values of the point are written
	stuck     float64 // logarithm of how much less likely they are from one that works
}

// One whose reset nobody dated has gathered dirt for some time already: guesses, in years and bands.
const (
	unknownAge  = 3
	unknownDirt = 0.25
)

// begin starts at a reset, or, where nobody knows when that was, before the first look. One that is restless may have
// been unsteady from the first.
func (f *walker) begin(at float64, known bool, restless float64) {
	for i := range f.tales {
		f.free(&f.tales[i])
	}
	f.tales = f.tales[:0]
	f.stuck, f.stuckFrom, f.score = 0, 0, 0
	t := tale{leaves: f.space(), t: at, start: at, loud: 1}
	x, v := f.k.rest, f.k.restVar
	if !known {
		t.start = at - unknownAge
		x, v = x+unknownDirt, v+unknownDirt*unknownDirt
	}
	t.age(at)
	for p, w := range f.w {
		if w > bank[p].dead/2 {
			rate, sd := rates[p%nRates], rateSD(p%nRates)
			t.leaves = append(t.leaves, leaf{x: x, r: rate, pxx: v, prr: sd * sd, w: w, path: int32(p)})
		}
	}
	f.tales = append(f.tales, t)
	if restless > 0 {
		noisy := f.copied(&t, unsteadyFirst, &event{kind: AskUnsteady, look: 0, from: at, to: at})
		noisy.loud = restless
		f.tales = append(f.tales, noisy)
	}
}

func (f *walker) space() []leaf {
	if n := len(f.spare); n > 0 {
		s := f.spare[n-1]
		f.spare = f.spare[:n-1]
		return s[:0]
	}
	return make([]leaf, 0, nPaths)
}

func (f *walker) free(t *tale) {
	if t.leaves != nil {
		f.spare = append(f.spare, t.leaves)
		t.leaves = nil
	}
}

// copied gives the same story in a space of its own, with a chance and one more event.
func (f *walker) copied(t *tale, chance float64, e *event) tale {
	c := *t
	c.leaves = f.space()
	for i := range t.leaves {
		if t.leaves[i].w > faint {
			c.leaves = append(c.leaves, t.leaves[i])
		}
	}
	c.total += math.Log(chance)
	if e != nil {
		one := *e
		one.before, c.events = t.events, &one
	}
	return c
}

// age notes how far each shape has gone by a time.
func (t *tale) age(at float64) {
	for s := range shapes {
		t.gone[s] = s.grown(at - t.start)
	}
}

// grow takes a story forward. Dirt comes in lumps: the variance of what is added goes with the amount, as that of
// a gamma process does; and the pace of a place may change.
func (f *walker) grow(t *tale, at float64) {
	dt := at - t.t
	if dt <= 0 {
		return
	}
	was := t.gone
	t.age(at)
	for i := range t.leaves {
		l := &t.leaves[i]
		b := &bank[l.path]
		dg := t.gone[b.shape] - was[b.shape]
		l.grow(dg, f.k.lump*b.size*dg+f.k.walk*dt, f.k.pace*b.variance*dt)
	}
	t.t = at
}

// grow takes a path so much of its shape forward, which adds variances to its level and its drift.
func (l *leaf) grow(by, level, drift float64) {
	l.x += by * l.r
	l.pxx += by*(2*l.pxr+by*l.prr) + level
	l.pxr += by * l.prr
	l.prr += drift
}

// move moves a path towards a look so far off; gain is the inverse of the variance of that distance.
func (l *leaf) move(off, gain float64) {
	kx, kr := l.pxx*gain, l.pxr*gain
	l.x += kx * off
	l.r += kr * off
	l.pxx, l.pxr, l.prr = l.pxx-kx*l.pxx, l.pxr-kx*l.pxr, l.prr-kr*l.pxr
}

// density finds how likely a look at z is in a story.
func (f *walker) density(t *tale, z float64) (p float64) {
	f.lik = f.lik[:0]
	r := f.k.noise * t.loud
	for i := range t.leaves {
		l := &t.leaves[i]
		e, s := z-l.x, 1/(l.pxx+r)
		q := 1 + e*e*s/noiseDF
		q *= q
		d := l.w * studentPeak * math.Sqrt(s) / (q * q)
		f.lik = append(f.lik, d)
		p += d
	}
	return p
}

// learn takes a look into a story, for which the densities were just found: each path moves towards it, less so if
// it lies far off.
func (f *walker) learn(t *tale, z, p float64) {
	if !(p > 0) || math.IsInf(p, 0) {
		t.total = math.Inf(-1)
		return
	}
	r := f.k.noise * t.loud
	kept, sum := t.leaves[:0], 0.0
	for i := range t.leaves {
		w := f.lik[i] / p
		l := t.leaves[i]
		if w < bank[l.path].dead {
			continue
		}
		e, s := z-l.x, l.pxx+r
		far := (noiseDF + e*e/s) / (noiseDF + 1) // the variance of a look as far off as this one
		gain := 1 / (l.pxx + r*max(1.25, far))
		l.move(e, gain)
		l.w = w
		sum += w
		kept = append(kept, l)
	}
	for i := range kept {
		kept[i].w /= sum
	}
	t.leaves = kept
	t.total += math.Log(p)
}

// mean is the mean level of a story, and its variance.
func (t *tale) mean() (x, v float64) {
	sum := 0.0
	for i := range t.leaves {
		l := &t.leaves[i]
		sum, x, v = sum+l.w, x+l.w*l.x, v+l.w*(l.pxx+l.x*l.x)
	}
	x /= sum
	return x, max(0, v/sum-x*x)
}

// prune drops stories that are too unlikely beside the best, and all but a few.
func (f *walker) prune() {
	best := math.Inf(-1)
	for i := range f.tales {
		best = max(best, f.tales[i].total)
	}
	kept := f.tales[:0]
	for i := range f.tales {
		if f.tales[i].total > best-deadTale {
			f.tales[i].total -= best // weights are of each other: the best is 1
			kept = append(kept, f.tales[i])
		} else {
			f.free(&f.tales[i])
		}
	}
	f.tales = kept
	f.score += best
	for len(f.tales) > mostTales {
		least := 0
		for i := range f.tales {
			if f.tales[i].total < f.tales[least].total {
				least = i
			}
		}
		f.free(&f.tales[least])
		f.tales = append(f.tales[:least], f.tales[least+1:]...)
	}
}
