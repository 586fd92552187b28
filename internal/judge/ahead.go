package judge

import "math"

// ahead is where a point may lead: its stories and paths under what type and area teach, each as a normal level
// that goes on.
type ahead struct {
	p      *past
	prior  *weights // what type and area teach
	leaves []going
}

// going is one path of one story.
type going struct {
	leaf
	weight float64 // a share of 1
	tale   *tale
}

// ahead weighs the paths of a point by all that was learned; once.
func (p *past) ahead() *ahead {
	if p.forward == nil {
		p.forward = p.under(p.prior())
	}
	return p.forward
}

// under weighs them by what is believed of the paths.
func (p *past) under(prior *weights) *ahead {
	a := &ahead{p: p, prior: prior}
	sum := 0.0
	for i := range p.tales {
		t := &p.tales[i]
		for l := range t.leaves {
			if w := t.leaves[l].w * prior[t.leaves[l].path]; w > 0 {
				a.leaves = append(a.leaves, going{t.leaves[l], w, t})
				sum += w
			}
		}
	}
	kept := a.leaves[:0]
	for _, g := range a.leaves {
		if g.weight /= sum; g.weight > faint {
			kept = append(kept, g)
		}
	}
	a.leaves = kept
	sum = 0
	for i := range kept {
		sum += kept[i].weight
	}
	for i := range kept {
		kept[i].weight /= sum
	}
	return a
}

// at is the level of a path at a time not before its last look, with the season of the point, and the variance of that.
func (g *going) at(t float64, p *past) (x, v float64) {
	b, k := &bank[g.path], p.kin
	dt := max(0, t-g.tale.t)
	dg := b.shape.grown(g.tale.t+dt-g.tale.start) - g.tale.gone[b.shape]
	x = g.x + dg*g.r + p.season.at(t)
	v = g.pxx + dg*(2*g.pxr+dg*g.prr) + k.lump*b.size*dg + k.walk*dt + max(k.pace, leastDoubt)*b.variance*dt*dg*dg/3
	return x, v
}

// beyond is the chance that the level is beyond the limit on the side of dirt at a time, and below the other one.
func (a *ahead) beyond(t float64) (up, down float64) {
	k := a.p.kin
	for i := range a.leaves {
		g := &a.leaves[i]
		x, v := g.at(t, a.p)
		per := 1 / math.Sqrt(v)
		if k.scale.upper {
			up += g.weight * below(x*per)
		}
		if k.scale.lower {
			down += g.weight * below((-1-x)*per)
		}
	}
	return up, down
}

const (
	cdfReach = 6   // standard deviations that the table of the normal distribution reaches to either side
	cdfSteps = 128 // to one of them: straight lines between are off by less than 2e-6
)

var cdf = func() (table [2*cdfReach*cdfSteps + 2]float64) {
	for i := range table {
		table[i] = 0.5 * math.Erfc(-(float64(i)/cdfSteps-cdfReach)/math.Sqrt2)
	}
	return table
}()

// below is the normal distribution function.
func below(z float64) float64 {
	switch {
	case z >= cdfReach:
		return 1
	case !(z > -cdfReach):
		return 0
	}
	at := (z + cdfReach) * cdfSteps
	i := int(at)
	return cdf[i] + (at-float64(i))*(cdf[i+1]-cdf[i])
}

// horizon lists the years from now on at which the chance of having left is looked at.
var horizon = [...]float64{0, 1.0 / 12, 2.0 / 12, 0.25, 0.5, 0.75, 1, 1.5, 2, 3, 4, 6, 8, 10, 13, 17, 22, 30}

// days finds when the level has left its band with chances of 5, 50 and 95 %, now at the earliest; NaN beyond the
// horizon. The level grows but for its lumps, so that to be outside on a day is about to have left by then.
func (a *ahead) days(now float64) (days [3]float64) {
	for i := range days {
		days[i] = math.NaN()
	}
	was, next := 0.0, 0
	for i := 0; i < len(horizon) && next < 3; i++ {
		up, down := a.beyond(now + horizon[i])
		is := max(was, up+down)
		for ; next < 3 && is >= [3]float64{0.05, 0.5, 0.95}[next]; next++ {
			share := 0.0
			if want := [3]float64{0.05, 0.5, 0.95}[next]; i > 0 && is > was {
				share = max(0, (is-want)/(is-was))
			}
			days[next] = now + horizon[i] - share*(horizon[i]-horizon[max(0, i-1)])
		}
		was = is
	}
	return days
}

// slope is the drift of the level at a time, in bands a year, and the variance of that.
func (a *ahead) slope(t float64) (mean, v float64) {
	k := a.p.kin
	for i := range a.leaves {
		g := &a.leaves[i]
		s := bank[g.path].shape
		age := max(t, g.tale.t) - g.tale.start
		per := (s.grown(age+slopeOver) - s.grown(age)) / slopeOver
		r, rr := g.r*per, (g.prr+k.pace*bank[g.path].variance*max(0, t-g.tale.t))*per*per
		mean, v = mean+g.weight*r, v+g.weight*(rr+r*r)
	}
	return mean, max(0, v-mean*mean)
}

// borrowed is how much of what is known of the drift comes from others: the share of the variance that type and area
// leave which the point's own looks did not take away.
func (a *ahead) borrowed(v float64) float64 {
	mean, all := 0.0, 0.0
	for p, w := range a.prior {
		r := rates[p%nRates]
		mean, all = mean+w*r, all+w*(r*r+bank[p].variance)
	}
	return v / max(1e-12, all-mean*mean)
}

// curved is the chance that the drift speeds up.
func (a *ahead) curved() (chance float64) {
	for i := range a.leaves {
		switch bank[a.leaves[i].path].shape {
		case quickening, running, late1, late3, late6:
			chance += a.leaves[i].weight
		}
	}
	return chance
}

// suspected names something that may have happened at a look.
type suspected struct {
	kind QuestionKind
	look int
}

func (s suspected) isSlip() bool {
	switch s.kind {
	case AskSlip, AskNeighbour, AskTransposed, AskFactorTen:
		return true
	}
	return false
}

// events gives the chance of all that may have happened at the point.
func (a *ahead) events() map[suspected]float64 {
	var all map[suspected]float64
	for i := 0; i < len(a.leaves); {
		t, weight := a.leaves[i].tale, 0.0
		for ; i < len(a.leaves) && a.leaves[i].tale == t; i++ {
			weight += a.leaves[i].weight
		}
		for e := t.events; e != nil; e = e.before {
			if all == nil {
				all = map[suspected]float64{}
			}
			all[suspected{e.kind, e.look}] += weight
		}
	}
	return all
}

// cleanedSince is the chance that the point was cleaned after its last look, and nobody wrote it down.
func (a *ahead) cleanedSince() (chance float64) {
	for i := range a.leaves {
		chance += a.leaves[i].weight * isTrue(a.leaves[i].tale.since)
	}
	return chance
}

// leastEqual is how many equal looks end a series of which one asks whether it is stuck.
const leastEqual = 4

// stuckGaps is over how many times the time between visits a series of equal looks may have begun by getting stuck,
// as series are looked for at all visits and the longest is shown: ours.
const stuckGaps = 6

// stuckChance is the chance that a point shows one value whatever lies in its chamber. A value that device or panel
// corrects stays flat by design.
func (p *past) stuckChance() float64 {
	last := len(p.looks) - 1
	if p.kin.compensated || p.sheet == nil || !p.sheet.Kind.Judged() || last-p.stuckFrom+1 < leastEqual {
		return 0
	}
	gap := (p.looks[last].t - p.looks[p.stuckFrom].t) / float64(last-p.stuckFrom)
	odds := math.Exp(p.stuck) * stuckYearly * stuckGaps * gap
	return odds / (1 + odds)
}

// quantile is the level below which a point lies at a time with a chance, where a look at it has so much noise;
// found by halving an interval that holds all of it.
func (a *ahead) quantile(t, chance, noise float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range a.leaves {
		x, v := a.leaves[i].at(t, a.p)
		sd := math.Sqrt(v + noise)
		low, high = min(low, x-8*sd), max(high, x+8*sd)
	}
	for range 60 {
		z := (low + high) / 2
		sum := 0.0
		for i := range a.leaves {
			x, v := a.leaves[i].at(t, a.p)
			sum += a.leaves[i].weight * below((z-x)/math.Sqrt(v+noise))
		}
		if sum < chance {
			low = z
		} else {
			high = z
		}
	}
	return (low + high) / 2
}

// levelAt is the level to expect at a time, in the unit of the value.
func (s *study) levelAt(t float64) float64 { return s.kin.scale.value(s.ahead.quantile(t, 0.5, 0)) }

// leastDoubt is how much the pace of a place is taken to change ahead at least, whatever the looks so far say: a path
// that fitted them may be none that the bank holds, and ends elsewhere. With a half a rate is in doubt by a quarter after a year.
const leastDoubt = 0.5
