package judge

import (
	"math"
	"sync"
)

// The site is worth some points of the broad prior, and a type some points of the site: so many must be seen before
// what they show outweighs what was believed.
const (
	broadWorth = 3
	siteWorth  = 5
	emRounds   = 12
)

// teach learns the weights of the paths of each type, and the factors of the areas, from all points
// (nonparametric empirical Bayes by the EM algorithm: Laird 1978, Dempster, Laird & Rubin 1977; from memory).
func (m *model) teach() {
	for _, k := range m.kins {
		k.w = k.first
	}
	for range 2 {
		for _, compensated := range []bool{false, true} {
			base, kins := broad(compensated), m.kinsOf(compensated)
			all := sampled(kins)
			site := fitted(all, base, base, broadWorth)
			for _, k := range kins {
				k.w = fitted(sampled([]*kin{k}), site, site, siteWorth)
			}
		}
		for _, a := range m.areas {
			a.learn()
		}
	}
}

func (m *model) kinsOf(compensated bool) []*kin {
	var all []*kin
	for _, k := range m.kins {
		if k.compensated == compensated {
			all = append(all, k)
		}
	}
	return all
}

// sampled gives the points of some types, no more than are worth it.
func sampled(kins []*kin) []*past {
	n := 0
	for _, k := range kins {
		n += len(k.members)
	}
	step := max(1, n/mostTaught)
	var all []*past
	for _, k := range kins {
		for i := 0; i < len(k.members); i += step {
			if len(k.members[i].looks) > 0 {
				all = append(all, k.members[i])
			}
		}
	}
	return all
}

// mostTaught is how many points the weights are learned from.
const mostTaught = 600

// fitted finds the weights under which what was read is likeliest, held back by a base that counts for some points.
func fitted(all []*past, from, base *weights, worth float64) *weights {
	w := *from
	shift := make([]int, len(all))
	for i, p := range all {
		shift[i] = p.area.best()
	}
	for range emRounds {
		var sum weights
		for k := range sum {
			sum[k] = worth * base[k]
		}
		for i, p := range all {
			p.share = 0
			p.each(func(l *leaf) { p.share += l.w * w.shifted(int(l.path), shift[i]) })
			if !(p.share > 0) {
				continue
			}
			p.each(func(l *leaf) {
				sum.back(int(l.path), shift[i], l.w*w.shifted(int(l.path), shift[i])/p.share)
			})
		}
		total := worth + float64(len(all))
		for k := range w {
			w[k] = sum[k] / total
		}
	}
	return &w
}

func (p *past) each(do func(*leaf)) {
	for i := range p.tales {
		for l := range p.tales[i].leaves {
			do(&p.tales[i].leaves[l])
		}
	}
}

// best is the likeliest factor of an area.
func (a *area) best() int {
	best := noShift
	for s := range a.logs {
		if a.logs[s] > a.logs[best] {
			best = s
		}
	}
	return best
}

// tune chooses how lumpy dirt comes and how fast places change their pace, by the likelihood of what was read at some
// points of the type; each choice counts by its weight.
func (k *kin) tune() {
	lumps, paces := [...]float64{0.005, 0.03, 0.15}, [...]float64{0.03, 0.3, 1}
	k.lump, k.pace, k.walk = 0.02, 0.1, 1e-4
	var some []*past
	step := max(1, len(k.members)/mostTuned)
	for i := 0; i < len(k.members); i += step {
		if len(k.members[i].looks) >= 3 {
			some = append(some, k.members[i])
		}
	}
	if len(some) < 5 {
		return
	}
	var score [len(lumps) * len(paces)]float64
	most := math.Inf(-1)
	f := walker{k: k, w: k.first, plain: true}
	for c := range score {
		k.lump, k.pace = lumps[c/len(paces)], paces[c%len(paces)]
		for _, p := range some {
			f.walk(p)
			score[c] += f.score
		}
		most = max(most, score[c])
	}
	sum, lump, pace := 0.0, 0.0, 0.0
	for c, s := range score {
		w := math.Exp(s - most)
		sum, lump, pace = sum+w, lump+w*math.Log(lumps[c/len(paces)]), pace+w*math.Log(paces[c%len(paces)])
	}
	k.lump, k.pace = math.Exp(lump/sum), math.Exp(pace/sum)
}

// mostTuned is how many points that is learned from.
const mostTuned = 40

// walkThrough walks through the looks of some points, on all cores.
func (m *model) walkThrough(points []*past) {
	hands := sync.Pool{New: func() any { return &walker{} }}
	shared(m.ctx, len(points), func(i int) {
		f := hands.Get().(*walker)
		p := points[i]
		f.k, f.w = p.kin, p.kin.first
		f.walk(p)
		f.keep(p)
		hands.Put(f)
	})
}

// walk goes through what is known of a point.
func (f *walker) walk(p *past) {
	c := 0
	for c+1 < len(p.after) && p.after[c+1] == 0 && p.cuts[c+1].known { // what counts begins at the last reset before the first look
		c++
	}
	known := c < len(p.cuts) && p.after[c] == 0
	at := p.kin.now
	if len(p.looks) > 0 {
		at = p.looks[0].t
	}
	if known {
		if known = p.cuts[c].known; known {
			at = p.cuts[c].t
		}
		c++
	}
	loud := 0.0
	if !f.plain {
		loud = p.restless()
	}
	f.quantum = max(p.kin.shown, written()[p.finer(0)]/math.Abs(p.kin.scale.width))
	f.begin(at, known, loud)
	s := seen{of: p}
	for i := range p.looks {
		for ; c < len(p.cuts) && p.after[c] == i; c++ {
			f.cut(&p.cuts[c])
		}
		l := &p.looks[i]
		s.t, s.z, s.y, s.n = l.t, p.z[i], l.y, i
		f.look(&s, i > 0 && l.y == p.looks[i-1].y && !p.renewed(i))
	}
	for ; c < len(p.cuts); c++ {
		f.cut(&p.cuts[c])
	}
	if len(p.looks) > 0 && p.since() < len(p.looks) && !f.plain {
		last, months := p.looks[len(p.looks)-1].t, float64(p.model.register.Site.Rules.VisitMonths)
		f.forgotten(p.model.habit, max(0, min(1, 12*(p.kin.now-last)/months)))
	}
}

func (f *walker) cut(c *cut) {
	if c.cleaned { // what stands still goes on doing so
		f.cleaned(c.t)
		return
	}
	f.stuck, f.stuckFrom = 0, 0
	f.renewed(c.t)
}

// keepable is the least weight of a path that is kept, beside the best.
const keepable = 5e-4

// keep notes at a point where the walk has led; the weights of the leaves become likelihoods.
func (f *walker) keep(p *past) {
	p.stuck, p.stuckFrom = f.stuck, f.stuckFrom
	n := 0
	f.prune()
	for i := range f.tales {
		t := &f.tales[i]
		t.total = math.Exp(t.total)
		for l := range t.leaves {
			if t.leaves[l].w*t.total > keepable {
				n++
			}
		}
	}
	all := make([]leaf, 0, n)
	p.tales = make([]tale, 0, len(f.tales))
	for i := range f.tales {
		t := f.tales[i]
		from := len(all)
		for l := range t.leaves {
			if leaf := t.leaves[l]; leaf.w*t.total > keepable {
				leaf.w *= t.total / f.w[leaf.path]
				all = append(all, leaf)
			}
		}
		if t.leaves = all[from:len(all):len(all)]; len(t.leaves) > 0 {
			p.tales = append(p.tales, t)
		}
	}
}
