package judge

import "math"

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
	unsteadyFirst  = 0.01 // of those that are fitted

	readTwice = 0.3 // chance that it was cleaned between two readings of one day that lie far apart
	oneDay    = 1 / 365.25

	badlyCleaned  = 0.10 // of noted cleanings, part of the dirt stays
	hardlyCleaned = 0.03 // all of it stays, or it was noted on a wrong day
	notedEarly    = 0.5  // of those, what is done by the next visit after; ours

	wildShare    = 0.5  // of the slips, those that show anything, mostly within a band of the truth
	neighbours   = 0.1  // of the slips, those that show the value of the one neighbour or the other
	bothOdd      = 0.3  // chance that two looks were written for each other where each fits the place of the other alone; ours
	leastLeading = 2    // looks before, of which a level can be told
	surprising   = 0.04 // least share of another explanation at which a look begins a new story
	surprised    = 0.6  // share of the chance of the most likely number below which an equal look was not to be expected: ours
	loudly       = 16   // factor on the variance of one that is unsteady: its noise is four times the usual
)

// seen is a look as the walker takes it in.
type seen struct {
	t, z float64
	y    float64 // as it was written
	n    int     // which look it is
	of   *past
}

// neighbours are the values of the neighbours in the register on that day.
func (s *seen) neighbours() []float64 { return s.of.neighbours(s.n) }

// look takes a look into all stories, and begins new ones where it comes as a surprise.
func (f *walker) look(s *seen, equal bool) {
	f.ahead = f.ahead[:0]
	told, all := 0.0, 0.0 // how likely the look was, by all stories
	for i := range f.tales {
		t := &f.tales[i]
		from := t.t
		f.grow(t, s.t)
		p := f.density(t, s.z)
		weight := math.Exp(t.total)
		told, all = told+weight*p, all+weight
		switch {
		case p >= f.k.unsurprising && (f.plain || s.of.area.worksIn(from, s.t) == 0):
		case f.plain:
			x, _ := t.mean()
			if wild := slipChance * wildShare * anything(s.z-x); p < wild { // set aside
				t.total += math.Log(wild)
				f.ahead = append(f.ahead, *t)
				continue
			}
		default:
			x, v := t.mean()
			f.branch(t, s, from, x, v, p*surprising)
			p = f.density(t, s.z)
		}
		f.learn(t, s.z, p)
		t.owed = false // it comes in the gap after, or not
		if math.IsInf(t.total, -1) {
			f.free(t)
			continue
		}
		f.ahead = append(f.ahead, *t)
	}
	f.tales = append(f.tales[:0], f.ahead...)
	f.prune()
	f.countEqual(s, equal, told/all)
}

// countEqual counts how unlikely it is that so many looks in a row are equal, where the stories of the point told each
// of them with a density. What rises and then stays the same surprises; what rested all along does not.
func (f *walker) countEqual(s *seen, equal bool, told float64) {
	if !equal {
		f.stuck, f.stuckFrom = 0, s.n
		return
	}
	chance := max(f.k.equal, math.Erf(f.quantum/math.Sqrt(8*f.k.noise))) // of the most likely number
	if told*f.quantum < surprised*chance {
		chance = told * f.quantum
	}
	f.stuck -= math.Log(min(0.95, max(1e-4, chance)))
}

// normal is the density of a normal value.
func normal(e, v float64) float64 { return math.Exp(-e*e/(2*v)) / math.Sqrt(2*math.Pi*v) }

// Another unit that comes from somewhere is as dirty as units are: about in the middle of the band. Works raise
// the level by about a quarter of the band, or twice that. Guesses, wide enough for what may come.
const (
	otherLevel  = -0.6
	otherSpread = 0.35
	worksRise   = 0.25
)

// branch begins the other stories that a look may tell, where they are as likely as least asks for. The leaves of
// the story lie at the time of the look; x and v are the mean of its level and the variance of that.
func (f *walker) branch(t *tale, s *seen, from, x, v, least float64) {
	r, since := f.k.noise, max(0, s.t-from)
	f.branchSlip(t, s, x, v+r, least)
	if since <= 0 {
		return
	}
	e := event{look: s.n, from: from, to: s.t}
	if x-f.k.rest > 2*math.Sqrt(f.k.restVar+r) && s.z < x {
		f.branchCleaned(t, s, e, x, v+r, least)
	}
	if chance := since * otherYearly; chance*normal(s.z-otherLevel, otherSpread*otherSpread+r) > least {
		e.kind = AskOtherDevice
		f.shifted(t, s, chance, e, func(l *leaf) { l.x, l.pxx, l.pxr = otherLevel, otherSpread*otherSpread, 0 })
	}
	if chance := max(since*worksYearly, s.of.area.worksIn(from, s.t)); s.z > x && chance*normal(s.z-x-worksRise, worksRise*worksRise+v+r) > least {
		e.kind = AskWorks
		f.shifted(t, s, chance, e, func(l *leaf) { l.x, l.pxx = l.x+worksRise, l.pxx+worksRise*worksRise })
	}
	if chance := since * unsteadyYearly; t.loud == 1 && chance*normal(s.z-x, v+loudly*r) > least {
		e.kind = AskUnsteady
		c := f.copied(t, chance, &e)
		c.loud = loudly
		f.add(c, s.z)
	}
}

// branchCleaned begins the stories of a cleaning that nobody wrote down.
func (f *walker) branchCleaned(t *tale, s *seen, e event, x, v, least float64) {
	cleaned, half := (s.t-e.from)*cleanedYearly, (s.t-e.from)*halfYearly
	if s.t-e.from < oneDay { // why else is it read twice
		cleaned, half = readTwice, readTwice/4
	}
	if s.n > 0 && s.of.z[s.n-1] > dirtyFrom {
		cleaned, half = cleaned+s.of.model.habit.cleaned, half+s.of.model.habit.half
	}
	if t.owed {
		cleaned += notedEarly
	}
	if cleaned*normal(s.z-f.k.rest, f.k.restVar+f.k.noise) > least {
		e.kind = AskCleaned
		c := f.copied(t, cleaned, &e)
		c.owed = false
		f.restart(&c, (e.from+s.t)/2)
		f.grow(&c, s.t)
		f.add(c, s.z)
	}
	if off := x - f.k.rest; half*normal((x+f.k.rest)/2-s.z, off*off/16+v) > least {
		e.kind = AskHalfCleaned
		c := f.copied(t, half, &e)
		c.halve(f.k.rest)
		f.add(c, s.z)
	}
}

// shifted begins a story in which the level of each path moved.
func (f *walker) shifted(t *tale, s *seen, chance float64, e event, move func(*leaf)) {
	c := f.copied(t, chance, &e)
	for i := range c.leaves {
		move(&c.leaves[i])
	}
	f.add(c, s.z)
}

// add takes the look into a new story.
func (f *walker) add(c tale, z float64) {
	p := f.density(&c, z)
	f.learn(&c, z, p)
	if math.IsInf(c.total, -1) {
		f.free(&c)
		return
	}
	f.ahead = append(f.ahead, c)
}

// reset brings the level of a story to rest; its drift goes on as a guide, no longer as a certainty.
func (t *tale) reset(k *kin) {
	for i := range t.leaves {
		l := &t.leaves[i]
		sd := rateSD(int(l.path) % nRates)
		l.x, l.pxx, l.pxr = k.rest, k.restVar, 0
		l.prr += 0.25 * sd * sd
	}
}

// halve takes part of the dirt away.
func (t *tale) halve(rest float64) {
	for i := range t.leaves {
		l := &t.leaves[i]
		off := l.x - rest
		l.x, l.pxx, l.pxr = rest+off/2, l.pxx/4+off*off/16, l.pxr/2
	}
}

const (
	leastStep = 0.02 // in bands: two clean units of a batch may show one value to many digits
	farOff    = 3    // standard deviations from which a look asks what was meant
)

// cleaned takes a noted cleaning in. It may have done half of the work, or none, or have been noted on a day on
// which nobody cleaned.
func (f *walker) cleaned(at float64) {
	f.ahead = f.ahead[:0]
	for i := range f.tales {
		t := &f.tales[i]
		f.grow(t, at)
		if x, _ := t.mean(); x-f.k.rest > 2*math.Sqrt(f.k.restVar+f.k.noise) {
			c := f.copied(t, badlyCleaned, nil)
			c.halve(f.k.rest)
			d := f.copied(t, hardlyCleaned, nil)
			d.owed = true
			f.ahead = append(f.ahead, c, d)
			t.total += math.Log(1 - badlyCleaned - hardlyCleaned)
		}
		f.restart(t, at)
		f.ahead = append(f.ahead, *t)
	}
	f.tales = append(f.tales[:0], f.ahead...)
	f.prune()
}

// forgotten allows for a cleaning after the last look, as one that shows dirt leads to, which nobody wrote down: by the
// habit of a whole time between visits, as far as that has gone by.
func (f *walker) forgotten(h habit, gone float64) {
	h.cleaned, h.half = gone*h.cleaned, gone*h.half
	if h.cleaned <= 0 {
		return
	}
	f.ahead = f.ahead[:0]
	for i := range f.tales {
		t := &f.tales[i]
		if x, _ := t.mean(); x > dirtyFrom && f.k.scale.upper {
			c, d := f.copied(t, h.cleaned, nil), f.copied(t, h.half, nil)
			c.since, d.since = true, true
			f.restart(&c, t.t)
			d.halve(f.k.rest)
			f.ahead = append(f.ahead, c, d)
			t.total += math.Log(1 - h.cleaned - h.half)
		}
		f.ahead = append(f.ahead, *t)
	}
	f.tales = append(f.tales[:0], f.ahead...)
}

// renewed takes a noted renewal in: another unit, fitted or re-based, begins at rest.
func (f *walker) renewed(at float64) {
	for i := range f.tales {
		f.tales[i].loud = 1
		f.restart(&f.tales[i], at)
	}
}

func (f *walker) restart(t *tale, at float64) {
	t.start, t.t = at, at
	t.reset(f.k)
	t.age(at)
}
