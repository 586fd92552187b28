package judge

import "math"

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
	f.countEqual(s, equal)
	f.ahead = f.ahead[:0]
	for i := range f.tales {
		t := &f.tales[i]
		from := t.t
		f.grow(t, s.t)
		usual := f.marginal(t, s.z)
		if f.plain {
			if slip := t.total + math.Log(slipChance*0.15); usual < slip { // set aside
				f.score += slip - t.total
				f.ahead = append(f.ahead, *t)
				continue
			}
		} else {
			f.branch(t, s, from, usual+math.Log(surprising))
		}
		f.density(t, s.z)
		f.learn(t, s.z)
		if math.IsInf(t.total, -1) {
			f.free(t)
			continue
		}
		f.ahead = append(f.ahead, *t)
	}
	f.tales = append(f.tales[:0], f.ahead...)
	f.prune()
}

// countEqual counts how unlikely it is that so many looks in a row are equal.
func (f *walker) countEqual(s *seen, equal bool) {
	if !equal {
		f.stuck, f.stuckFrom = 0, s.n
		return
	}
	best := &f.tales[0]
	for i := range f.tales {
		if f.tales[i].total > best.total {
			best = &f.tales[i]
		}
	}
	x, v := best.mean()
	v += f.k.noise
	chance := f.k.quantum / math.Sqrt(2*math.Pi*v) * math.Exp(-0.5*(s.z-x)*(s.z-x)/v)
	f.stuck -= math.Log(min(0.95, max(1e-4, chance)))
}

// marginal is the logarithm of the density of a look in a story, times its weight.
func (f *walker) marginal(t *tale, z float64) float64 {
	most := f.density(t, z)
	if math.IsInf(most, -1) {
		return most
	}
	sum := 0.0
	for i := range t.leaves {
		if d := t.leaves[i].w + f.lik[i] - most; d > -dead {
			sum += math.Exp(d)
		}
	}
	return most + math.Log(sum)
}

// normal is the logarithm of the density of a normal value.
func normal(e, v float64) float64 { return -halfLogTau - 0.5*(math.Log(v)+e*e/v) }

// Another unit that comes from somewhere is as dirty as units are: about in the middle of the band. Works raise
// the level by about a quarter of the band, or twice that. Guesses, wide enough for what may come.
const (
	otherLevel  = -0.6
	otherSpread = 0.35
	worksRise   = 0.25
)

// branch begins the other stories that a look may tell, where they are as likely as least asks for. The leaves of
// the story lie at the time of the look.
func (f *walker) branch(t *tale, s *seen, from, least float64) {
	x, v := t.mean()
	r, since := f.k.noise, max(0, s.t-from)
	worth := func(chance, density float64) bool { return t.total+math.Log(chance)+density > least }
	f.branchSlip(t, s, x, v+r, least)
	if since <= 0 {
		return
	}
	if x-f.k.rest > 2*math.Sqrt(f.k.restVar+r) && s.z < x {
		cleaned, half := since*cleanedYearly, since*halfYearly
		if s.n > 0 && s.of.z[s.n-1] > dirtyFrom {
			cleaned, half = cleaned+s.of.model.habit.cleaned, half+s.of.model.habit.half
		}
		if worth(cleaned, normal(s.z-f.k.rest, f.k.restVar+r)) {
			f.afresh(t, s, event{kind: AskCleaned, look: s.n, from: from, to: s.t}, cleaned, from)
		}
		if worth(half, normal((x+f.k.rest)/2-s.z, (x-f.k.rest)*(x-f.k.rest)/16+v+r)) {
			c := f.copied(t, math.Log(half), event{kind: AskHalfCleaned, look: s.n, from: from, to: s.t})
			c.halve(f.k.rest)
			f.add(c, s.z)
		}
	}
	if worth(since*otherYearly, normal(s.z-otherLevel, otherSpread*otherSpread+r)) {
		c := f.copied(t, math.Log(since*otherYearly), event{kind: AskOtherDevice, look: s.n, from: from, to: s.t})
		for i := range c.leaves {
			l := &c.leaves[i]
			l.x, l.pxx, l.pxr = otherLevel, otherSpread*otherSpread, 0
		}
		f.add(c, s.z)
	}
	if s.z > x && worth(since*worksYearly, normal(s.z-x-worksRise, worksRise*worksRise+v+r)) {
		c := f.copied(t, math.Log(since*worksYearly), event{kind: AskWorks, look: s.n, from: from, to: s.t})
		for i := range c.leaves {
			l := &c.leaves[i]
			l.x, l.pxx = l.x+worksRise, l.pxx+worksRise*worksRise
		}
		f.add(c, s.z)
	}
	if t.loud == 1 && worth(since*unsteadyYearly, normal(s.z-x, v+loudly*r)) {
		c := f.copied(t, math.Log(since*unsteadyYearly), event{kind: AskUnsteady, look: s.n, from: from, to: s.t})
		c.loud = loudly
		f.add(c, s.z)
	}
}

// add takes the look into a new story.
func (f *walker) add(c tale, z float64) {
	f.density(&c, z)
	f.learn(&c, z)
	if math.IsInf(c.total, -1) {
		f.free(&c)
		return
	}
	f.ahead = append(f.ahead, c)
}

// afresh begins a story in which the level came to rest at some time since the last look.
func (f *walker) afresh(t *tale, s *seen, e event, chance, from float64) {
	if chance <= 0 {
		return
	}
	c := f.copied(t, math.Log(chance), e)
	c.start = (from + s.t) / 2
	c.reset(f.k)
	c.t = c.start
	c.age(c.start)
	f.grow(&c, s.t)
	f.add(c, s.z)
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

// branchSlip begins the stories in which a look is not what was shown.
func (f *walker) branchSlip(t *tale, s *seen, x, v, least float64) {
	slip := event{look: s.n, from: s.t, to: s.t}
	chance := math.Log(slipChance)
	if t.total+chance+math.Log(0.3/2) > least { // anywhere within two bands
		slip.kind = AskSlip
		f.skip(t, chance+math.Log(0.3/2), slip)
	}
	if t.total+chance-math.Log(f.k.quantum) < least {
		return // not even what leaves nothing to chance
	}
	for i, y := range s.neighbours() {
		if y == s.y && t.total+chance+math.Log(0.5/f.k.quantum) > least {
			e := slip
			e.kind, e.whose = AskNeighbour, 2*i-1
			f.skip(t, chance+math.Log(0.5/f.k.quantum), e)
		}
	}
	for _, meant := range misread(s.y) {
		z := s.z + (meant.y-s.y)*s.of.looks[s.n].factor/f.k.scale.width
		if t.total+chance+math.Log(meant.chance)+normal(z-x, v) > least {
			e := slip
			e.kind, e.value = meant.kind, meant.y
			f.add(f.copied(t, chance+math.Log(meant.chance), e), z)
		}
	}
}

// skip adds a story that learns nothing from a look.
func (f *walker) skip(t *tale, logChance float64, e event) {
	c := f.copied(t, logChance, e)
	c.weigh()
	f.ahead = append(f.ahead, c)
}

// cleaned takes a noted cleaning in. It may have done half of the work, or none, or have been noted on a day on
// which nobody cleaned.
func (f *walker) cleaned(at float64) {
	f.ahead = f.ahead[:0]
	for i := range f.tales {
		t := &f.tales[i]
		f.grow(t, at)
		if x, _ := t.mean(); x-f.k.rest > 2*math.Sqrt(f.k.restVar+f.k.noise) {
			c := f.copied(t, math.Log(badlyCleaned))
			c.halve(f.k.rest)
			c.weigh()
			f.ahead = append(f.ahead, c)
			c = f.copied(t, math.Log(hardlyCleaned))
			c.weigh()
			f.ahead = append(f.ahead, c)
			for i := range t.leaves {
				t.leaves[i].w += math.Log(1 - badlyCleaned - hardlyCleaned)
			}
			t.total += math.Log(1 - badlyCleaned - hardlyCleaned)
		}
		f.restart(t, at)
		f.ahead = append(f.ahead, *t)
	}
	f.tales = append(f.tales[:0], f.ahead...)
	f.prune()
}

// forgotten allows for a cleaning after the last look, as one that shows dirt leads to, which nobody wrote down.
func (f *walker) forgotten(h habit) {
	f.ahead = f.ahead[:0]
	for i := range f.tales {
		t := &f.tales[i]
		if x, _ := t.mean(); x > dirtyFrom && f.k.scale.upper {
			c := f.copied(t, math.Log(h.cleaned))
			f.restart(&c, t.t)
			c.weigh()
			d := f.copied(t, math.Log(h.half))
			d.halve(f.k.rest)
			d.weigh()
			f.ahead = append(f.ahead, c, d)
			for i := range t.leaves {
				t.leaves[i].w += math.Log(1 - h.cleaned - h.half)
			}
			t.weigh()
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
