package judge

import "math"

// ahead is where a point may lead: its stories and paths under what type and area teach, each as a normal level
// that goes on.
type ahead struct {
	p      *past
	leaves []going
}

// going is one path of one story.
type going struct {
	leaf
	weight float64 // a share of 1
	tale   *tale
}

// ahead weighs the paths of a point.
func (p *past) ahead() *ahead {
	prior := p.prior()
	a := &ahead{p: p}
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
		if g.weight /= sum; g.weight > 1e-4 {
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

// at is the level of a path at a time not before its last look, and the variance of that.
func (g *going) at(t float64, k *kin) (x, v float64) {
	s := shape(int(g.path) / nRates)
	sd := rateSD(int(g.path) % nRates)
	dt := max(0, t-g.tale.t)
	dg := s.grown(g.tale.t+dt-g.tale.start) - g.tale.gone[s]
	x = g.x + dg*g.r
	v = g.pxx + dg*(2*g.pxr+dg*g.prr) + k.lump*math.Abs(rates[int(g.path)%nRates])*dg + k.walk*dt + k.pace*sd*sd*dt*dg*dg/3
	return x, v
}

// beyond is the chance that the level is beyond the limit on the side of dirt at a time, and below the other one.
func (a *ahead) beyond(t float64) (up, down float64) {
	k := a.p.kin
	for i := range a.leaves {
		g := &a.leaves[i]
		x, v := g.at(t, k)
		sd := math.Sqrt(v)
		if k.scale.upper {
			up += g.weight * below(x/sd)
		}
		if k.scale.lower {
			down += g.weight * below((-1-x)/sd)
		}
	}
	return up, down
}

// below is the normal distribution function.
func below(z float64) float64 {
	switch {
	case z > 6:
		return 1
	case z < -6:
		return 0
	}
	return 0.5 * math.Erfc(-z/math.Sqrt2)
}

// horizon lists the years from now on at which the chance of having left is looked at.
var horizon = [...]float64{0, 1.0 / 12, 2.0 / 12, 0.25, 0.375, 0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 13, 17, 22, 30}

// days finds when the level leaves its band, given that it is inside now, with chances of 5, 50 and 95 %; NaN beyond
// the horizon. The level grows but for its lumps, so that to be outside on a day is about to have left by then.
func (a *ahead) days(now float64) (days [3]float64) {
	for i := range days {
		days[i] = math.NaN()
	}
	up, down := a.beyond(now)
	first := up + down
	was, next := 0.0, 0
	for i := 1; i < len(horizon) && next < 3; i++ {
		up, down := a.beyond(now + horizon[i])
		is := max(was, (up+down-first)/(1-first))
		for ; next < 3 && is >= [3]float64{0.05, 0.5, 0.95}[next]; next++ {
			want := [3]float64{0.05, 0.5, 0.95}[next]
			share := 0.0
			if is > was {
				share = max(0, (want-was)/(is-was))
			}
			days[next] = now + horizon[i-1] + share*(horizon[i]-horizon[i-1])
		}
		was = is
	}
	return days
}
