package judge

import "math"

// leaf is one path of the bank as it stands after some readings: level and drift with their variances and
// covariance (Kalman 1960; West & Harrison 1997, ch. 4; from memory), and the logarithm of its weight.
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
	events []event
	total  float64 // logarithm of its weight
}

// event is something that happened to a point in a story.
type event struct {
	kind     QuestionKind
	look     int     // the look that showed it first
	from, to float64 // between these times
	value    float64 // of a slip: what should have been written; in the unit of the value
	whose    int     // of a neighbour's value: how many places on in the register it was
}

// Chances of what may happen, before anything is read: from memory of the trade, where no two books agree. A
// look may be a slip of the pen; all else has a chance a year.
const (
	slipChance     = 0.006
	cleanedYearly  = 0.03
	halfYearly     = 0.01
	otherYearly    = 0.006
	worksYearly    = 0.006
	unsteadyYearly = 0.006
	stuckYearly    = 0.006

	badlyCleaned  = 0.10 // of noted cleanings, part of the dirt stays
	hardlyCleaned = 0.03 // all of it stays, or it was noted on a wrong day
)

const (
	dead       = 13   // a path or story e^13 times less likely than the best is let go
	faint      = 7    // nor do paths e^7 times less likely go into other stories
	mostTales  = 6    // stories kept at a point
	surprising = 0.02 // least share of other explanations at which a look begins new stories
	loudly     = 16   // factor on the variance of one that is unsteady: its noise is four times the usual
	wildShare  = 0.04 // share of looks whose noise is three times the usual
	wildFactor = 9
)

// walker walks through the looks at one point.
type walker struct {
	k     *kin
	w     *weights
	tales []tale
	spare [][]leaf
	ahead []tale    // working space
	lik   []float64 // working space: logarithms of the densities of a look

	plain     bool    // nothing happens: for learning what is usual
	score     float64 // logarithm of how likely all looks were
	stuckFrom int     // the first of the equal looks that end the series
	stuck     float64 // logarithm of how much less likely they are from one that works
}

// begin starts at a reset, or, where nobody knows when that was, before the first look.
func (f *walker) begin(at float64, known bool) {
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
		if w > 0 {
			rate, sd := rates[p%nRates], rateSD(p%nRates)
			t.leaves = append(t.leaves, leaf{x: x, r: rate, pxx: v, prr: sd * sd, w: f.k.logs[p], path: int32(p)})
		}
	}
	f.tales = append(f.tales, t)
}

// One whose reset nobody dated has gathered dirt for some time already: guesses, in years and bands.
const (
	unknownAge  = 3
	unknownDirt = 0.25
)

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

// copied gives the same story in a space of its own, with one more event.
func (f *walker) copied(t *tale, logChance float64, e ...event) tale {
	c := *t
	c.leaves = append(f.space(), t.leaves...)
	most := math.Inf(-1)
	for i := range t.leaves {
		most = max(most, t.leaves[i].w)
	}
	kept := c.leaves[:0]
	for _, l := range c.leaves {
		if l.w > most-faint {
			l.w += logChance
			kept = append(kept, l)
		}
	}
	c.leaves = kept
	c.events = append(t.events[:len(t.events):len(t.events)], e...)
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
		dg := t.gone[int(l.path)/nRates] - was[int(l.path)/nRates]
		sd := rateSD(int(l.path) % nRates)
		l.x += dg * l.r
		l.pxx += dg*(2*l.pxr+dg*l.prr) + f.k.lump*math.Abs(rates[int(l.path)%nRates])*dg + f.k.walk*dt
		l.pxr += dg * l.prr
		l.prr += f.k.pace * sd * sd * dt
	}
	t.t = at
}

// density gives the logarithm of the density of a look at z under each leaf, and the largest.
func (f *walker) density(t *tale, z float64) (most float64) {
	f.lik = f.lik[:0]
	most = math.Inf(-1)
	r := f.k.noise * t.loud
	for i := range t.leaves {
		l := &t.leaves[i]
		e, s := z-l.x, l.pxx+r
		d := e * e / s
		ll := -0.5 * (math.Log(s) + d)
		if d > 6 {
			wide := l.pxx + wildFactor*r
			far := logWild - 0.5*(math.Log(wide)+e*e/wide)
			ll = far + math.Log1p(math.Exp(ll-far))
		}
		ll -= halfLogTau
		f.lik = append(f.lik, ll)
		most = max(most, l.w+ll)
	}
	return most
}

var (
	halfLogTau = 0.5 * math.Log(2*math.Pi)
	logWild    = math.Log(wildShare)
)

// learn takes a look into a story, of which the densities were just found: each leaf moves towards it, less so if
// it lies far off.
func (f *walker) learn(t *tale, z float64) {
	most := math.Inf(-1)
	for i := range t.leaves {
		most = max(most, t.leaves[i].w+f.lik[i])
	}
	if math.IsInf(most, 0) || math.IsNaN(most) {
		t.total = math.Inf(-1)
		return
	}
	r := f.k.noise * t.loud
	kept, sum := t.leaves[:0], 0.0
	for i := range t.leaves {
		l := t.leaves[i]
		w := l.w + f.lik[i]
		if w < most-dead {
			continue
		}
		e, s := z-l.x, l.pxx+r
		gain := 1 / s
		if d := e * e / s; d > 6 { // the share of the two noises in the move
			wide := l.pxx + wildFactor*r
			odds := math.Sqrt(wide/s) / wildShare * math.Exp(0.5*e*e*(1/wide-1/s))
			gain = (odds/s + 1/wide) / (odds + 1)
		}
		kx, kr := l.pxx*gain, l.pxr*gain
		l.x += kx * e
		l.r += kr * e
		l.pxx, l.pxr, l.prr = l.pxx-kx*l.pxx, l.pxr-kx*l.pxr, l.prr-kr*l.pxr
		l.w = w
		sum += math.Exp(w - most)
		kept = append(kept, l)
	}
	t.leaves = kept
	t.total = most + math.Log(sum)
}

// weigh sums the weights of a story up.
func (t *tale) weigh() {
	most, sum := math.Inf(-1), 0.0
	for i := range t.leaves {
		most = max(most, t.leaves[i].w)
	}
	for i := range t.leaves {
		sum += math.Exp(t.leaves[i].w - most)
	}
	t.total = most + math.Log(sum)
}

// mean is the mean level and drift of a story, and the variance of the level.
func (t *tale) mean() (x, v float64) {
	sum, sx, sxx := 0.0, 0.0, 0.0
	most := math.Inf(-1)
	for i := range t.leaves {
		most = max(most, t.leaves[i].w)
	}
	for i := range t.leaves {
		l := &t.leaves[i]
		w := math.Exp(l.w - most)
		sum, sx, sxx = sum+w, sx+w*l.x, sxx+w*(l.pxx+l.x*l.x)
	}
	x = sx / sum
	return x, max(0, sxx/sum-x*x)
}

// prune drops stories that are too unlikely beside the best, and all but a few.
func (f *walker) prune() {
	best := math.Inf(-1)
	for i := range f.tales {
		best = max(best, f.tales[i].total)
	}
	if math.IsInf(best, -1) {
		return
	}
	kept := f.tales[:0]
	for i := range f.tales {
		if f.tales[i].total > best-dead {
			kept = append(kept, f.tales[i])
		} else {
			f.free(&f.tales[i])
		}
	}
	f.tales = kept
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
	f.score += best
	for i := range f.tales { // weights are of each other: the best is 1
		f.tales[i].total -= best
		for k := range f.tales[i].leaves {
			f.tales[i].leaves[k].w -= best
		}
	}
}
