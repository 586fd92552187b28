package judge

import (
	"math"

	"sootline/internal/robust"
)

// learnSlopes finds the means and spreads of slopes in the areas, all areas
// together, and between them.
func (e *Experience) learnSlopes(k *kin) {
	e.lend(k)
	each := make([]moments, len(k.groups))
	var excess, scale float64
	for i := range k.groups {
		e.clamp(k.groups[i].slopes)
		for _, s := range k.groups[i].slopes {
			each[i].add(s.b, s.v)
		}
		excess += each[i].excess()
		scale += each[i].scale()
	}
	if scale > 0 {
		k.within = max(0, excess/scale)
	}
	var means moments
	for i := range k.groups {
		g := &k.groups[i]
		g.learn(&each[i], k.within)
		for _, s := range g.slopes {
			h := &e.histories[s.history]
			h.weight, h.lent = 1/(s.v+g.within), s.b
		}
		if g.weight > 0 {
			means.add(g.sum/g.weight, 1/g.weight)
		}
	}
	k.compareAreas(&means)
}

// lend sorts the slopes that others may learn from by area.
func (e *Experience) lend(k *kin) {
	e.work = e.work[:0]
	for _, i := range k.members {
		h := &e.histories[i]
		run := h.latest()
		if run == nil {
			continue
		}
		sd := e.noise(h)
		k.groups[h.area].slopes = append(k.groups[h.area].slopes, slope{i, run.slope, sd * sd / run.sxx})
		e.work = append(e.work, run.T[len(run.T)-1])
	}
	k.usable = len(e.work)
	k.span, _ = robust.MedianInPlace(e.work)
}

// latest is the latest run from which others may learn, or nil.
func (h *history) latest() *drawn {
	if h.now.telling() {
		return &h.now
	}
	if n := len(h.earlier); n > 0 {
		return &h.earlier[n-1]
	}
	return nil
}

// compareAreas finds how far the means of the areas differ.
func (k *kin) compareAreas(means *moments) {
	if means.n < leastAreas {
		return
	}
	k.between = max(0, means.excess()/means.scale())
	for i := range k.groups {
		if g := &k.groups[i]; g.weight > 0 {
			g.share = 1 / (k.between + 1/g.weight)
			k.weight += g.share
			k.sum += g.share * g.sum / g.weight
		}
	}
}

// learn finds the spread of slopes in the area, drawn towards that of all areas,
// and the weights of its slopes.
func (g *area) learn(own *moments, pooled float64) {
	if len(g.slopes) == 0 {
		return
	}
	df := float64(own.n - 1)
	g.within = pooled
	if own.scale() > 0 {
		g.within = max(0, (df*own.excess()/own.scale()+areaDF*pooled)/(df+areaDF))
	}
	for _, s := range g.slopes {
		w := 1 / (s.v + g.within)
		g.weight += w
		g.sum += w * s.b
	}
}

// clamp pulls in the slopes that lie far from the middle one.
func (e *Experience) clamp(all []slope) {
	if len(all) < leastKin {
		return
	}
	e.work = e.work[:0]
	for _, s := range all {
		e.work = append(e.work, s.b)
	}
	centre, mad, ok := robust.MAD(e.work)
	if !ok {
		return
	}
	for i := range all {
		reach := widest * max(madToSD*mad, math.Sqrt(all[i].v))
		all[i].b = min(max(all[i].b, centre-reach), centre+reach)
	}
}

// madToSD makes a median absolute deviation estimate a standard deviation.
const madToSD = 1.4826

// moments are the sums from which a variance between estimates follows.
//
// Source: DerSimonian & Laird (1986), Controlled Clinical Trials 7.
type moments struct {
	n              int
	w, ww, wb, wbb float64
}

func (m *moments) add(b, v float64) {
	w := 1 / v
	m.n++
	m.w += w
	m.ww += w * w
	m.wb += w * b
	m.wbb += w * b * b
}

// excess is how far the weighed squares about the mean exceed what the errors
// explain, scale what a unit of variance between adds to them.
func (m *moments) excess() float64 {
	if m.n == 0 {
		return 0
	}
	return m.wbb - m.wb*m.wb/m.w - float64(m.n-1)
}

func (m *moments) scale() float64 {
	if m.n == 0 {
		return 0
	}
	return m.w - m.ww/m.w
}

// kinPrior is what the others teach of the slope of a history: itself left out of
// the mean of its area, and its area out of the mean of the type. The spreads,
// and the bounds to which wild slopes are pulled in, are those of all: one slope
// of many moves them little.
func (e *Experience) kinPrior(h *history) (robust.SlopePrior, Kin) {
	k := e.kins[h.kin]
	g := &k.groups[h.area]
	others := Kin{len(g.slopes), k.usable - len(g.slopes)}
	weight, sum := g.weight, g.sum
	if h.weight > 0 {
		weight, sum = weight-h.weight, sum-h.weight*h.lent
		others.SameArea--
	}
	if others.SameArea == 0 {
		weight, sum = 0, 0
	}
	if rest := k.weight - g.share; k.between != unknown && others.Elsewhere >= leastKin && rest > 0 {
		mean := k.sum
		if g.weight > 0 {
			mean -= g.share * g.sum / g.weight
		}
		v := 1 / (k.between + 1/rest)
		weight, sum = weight+v, sum+v*mean/rest
	} else if others.SameArea < leastKin {
		return robust.SlopePrior{}, others
	}
	within := k.within
	if len(g.slopes) > 0 {
		within = g.within
	}
	mean := sum / weight
	least := leastSpread * mean
	return robust.SlopePrior{Slope: mean, SD: math.Sqrt(max(within, least*least) + 1/weight)}, others
}
