package judge

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// What a step needs before it is looked for, and before anything is asked.
const (
	leastForStep = 5    // looks in a stretch: below them a step is no different from noise
	mostSteps    = 3    // in one stretch; beyond them the history is unstable
	errorRate    = 0.05 // chance that noise alone makes one false question in a whole register
	// bendMargin is by how much, in squares of the noise, a step without a partner
	// must explain the looks better than a bend towards more dirt does, so that
	// accelerating drift and a used-up compensation are not taken for steps. Any
	// other step need only explain them no worse than a bend. A judgement of ours,
	// tried on the demo's seeds 1 to 40.
	bendMargin = 6
)

// step is the best single step on top of a line with one slope,
// y = a + b t + size (from look `at` on).
type step struct {
	at            int     // first look after the step
	size          float64 // after less before
	slope         float64 // a year, the same before and after
	x             float64 // (SSE of the line - SSE with the step) / noise^2
	bend          float64 // the same for a parabola
	upwards       bool    // that parabola bends upwards
	splits        int     // places tried
	noise         float64 // the greater of the usual and the looks' own
	before, after float64 // levels in the middle of the gap
	varBefore     float64 // their variances, that of the slope included
	varAfter      float64
	from, to      time.Time
}

// places are the places where a step on top of a line may lie in some looks.
type places struct {
	looks   []look
	line    fittedLine
	each    []place
	top     place   // the one that explains most
	noise   float64 // the greater of the usual and the looks' own about the best step
	bend    float64 // gain in SSE of a parabola
	upwards bool
}

// findPlaces finds where in the looks a step explains most. With lone, one look
// after the step is enough, else two are needed; before it always two. ok is
// false when the looks are too few, or all at one time.
//
// Source: least squares with one added column, by its residual on the others
// (Frisch & Waugh 1933, from memory): for the looks from k on, the gain in SSE
// is (sum of residuals)^2 / D, D = n1 n2/n - (sum of (t - mean))^2 / Sxx. O(n).
func findPlaces(looks []look, noise float64, lone bool) (p places, ok bool) {
	if len(looks) < leastForStep {
		return p, false
	}
	p = places{looks: looks, line: lineOf(looks)}
	if p.each = p.line.places(looks, lone); len(p.each) == 0 {
		return p, false
	}
	p.top = slices.MaxFunc(p.each, func(a, b place) int { return cmp.Compare(a.gain, b.gain) })
	own := max(0, p.line.sse-p.top.gain) / float64(len(looks)-3)
	p.noise = max(noise, math.Sqrt(own))
	p.bend, p.upwards = p.line.bendGain(looks)
	return p, true
}

// explains reports whether the best step explains more than a bend does, and more
// than noise alone does with the chance given.
func (p *places) explains(chance float64) bool {
	return p.top.gain >= p.bend && p.top.gain >= p.noise*p.noise*needed(chance, len(p.each))
}

// step is the step at one place.
func (p *places) step(at place) step {
	square := p.noise * p.noise
	s := step{
		at: at.at, size: at.size, slope: p.line.slope - at.size*at.lever/p.line.sxx, noise: p.noise, splits: len(p.each),
		x: at.gain / square, bend: p.bend / square, upwards: p.upwards,
	}
	s.level(p.looks)
	return s
}

// near lists the step at the places that explain nearly as much: the noise may
// have moved the best place by a visit.
func (p *places) near() []step {
	var near []step
	for _, other := range p.each {
		if other.at != p.top.at && other.gain > p.top.gain-nearly*p.noise*p.noise {
			near = append(near, p.step(other))
		}
	}
	return near
}

// nearly is by how much, in squares of the noise, a place for a step may explain
// less than the best one and still be the place of an exchange: 99 % of
// chi-squared with one degree of freedom lie below.
const nearly = 6.63

// place is a place for a step with what it explains.
type place struct {
	at                int
	gain, size, lever float64
}

// places lists the places for a step, the last first.
func (l *fittedLine) places(looks []look, lone bool) []place {
	n := len(looks)
	leastAfter := 2
	if lone {
		leastAfter = 1
	}
	if !(l.sxx > 0) {
		return nil
	}
	all := make([]place, 0, n)
	rest, lever := 0.0, 0.0
	for k := n - 1; k >= 2; k-- {
		rest += l.residual(&looks[k])
		lever += looks[k].t - l.t
		d := float64(n-k)*float64(k)/float64(n) - lever*lever/l.sxx
		if n-k >= leastAfter && d > 1e-9 {
			all = append(all, place{at: k, gain: rest * rest / d, size: rest / d, lever: lever})
		}
	}
	return all
}

// level works out what the two sides of the step come to in the middle of the
// gap.
func (s *step) level(looks []look) {
	s.from, s.to = looks[s.at-1].at, looks[s.at].at
	middle := (looks[s.at-1].t + looks[s.at].t) / 2
	head, tail := lineOf(looks[:s.at]), lineOf(looks[s.at:])
	within := head.sxx + tail.sxx
	side := func(part *fittedLine, n int) (level, variance float64) {
		dt := middle - part.t
		return part.y + s.slope*dt, s.noise * s.noise * (1/float64(n) + dt*dt/within)
	}
	s.before, s.varBefore = side(&head, s.at)
	s.after, s.varAfter = side(&tail, len(looks)-s.at)
}

// middle is an instant midway between the looks around the step.
func (s *step) middle() time.Time {
	return time.UnixMilli((s.from.UnixMilli() + s.to.UnixMilli()) / 2).In(s.from.Location())
}

// fittedLine is a least-squares line through looks.
type fittedLine struct{ t, y, sxx, slope, sse float64 }

func lineOf(looks []look) (l fittedLine) {
	n := float64(len(looks))
	for i := range looks {
		l.t += looks[i].t / n
		l.y += looks[i].y / n
	}
	sxy := 0.0
	for i := range looks {
		dt := looks[i].t - l.t
		l.sxx += dt * dt
		sxy += dt * (looks[i].y - l.y)
	}
	if l.sxx > 0 {
		l.slope = sxy / l.sxx
	}
	for i := range looks {
		r := l.residual(&looks[i])
		l.sse += r * r
	}
	return l
}

func (l *fittedLine) residual(x *look) float64 { return x.y - l.y - l.slope*(x.t-l.t) }

// at gives the line's value at a time, and its variance in squares of the noise.
func (l *fittedLine) at(t float64, n int) (value, variance float64) {
	dt := t - l.t
	variance = 1 / float64(n)
	if l.sxx > 0 {
		variance += dt * dt / l.sxx
	}
	return l.y + l.slope*dt, variance
}

// bendGain is by how much a parabola lowers the line's SSE, and whether it bends
// upwards.
func (l *fittedLine) bendGain(looks []look) (gain float64, upwards bool) {
	cubes := 0.0
	for i := range looks {
		dt := looks[i].t - l.t
		cubes += dt * dt * dt
	}
	along, square := 0.0, 0.0
	for i := range looks {
		dt := looks[i].t - l.t
		q := dt*dt - l.sxx/float64(len(looks)) - cubes/l.sxx*dt
		along += q * l.residual(&looks[i])
		square += q * q
	}
	if !(square > 0) {
		return 0, false
	}
	return along * along / square, along > 0
}

// needed is the X that noise alone exceeds with at most the chance given, at any
// of some number of places: Bonferroni's bound on the greatest of so many
// chi-squared values with one degree of freedom.
func needed(chance float64, places int) float64 {
	z := math.Sqrt2 * math.Erfcinv(chance/float64(max(1, places)))
	return z * z
}

// stepsIn finds the steps of a stretch, splitting again on both sides of one
// that is sure by itself. Those whose X is only above maybe are candidates for
// an exchange. many says that there were more sure ones than a history can have
// and still be read.
func (s *stretch) stepsIn(looks []look, sure, maybe float64) (found []*stepped, many bool) {
	count := 0
	var split func(looks []look, lone bool)
	split = func(looks []look, lone bool) {
		places, ok := findPlaces(looks, s.noise, lone)
		if !ok || count > mostSteps || !places.explains(maybe) {
			return
		}
		best := places.step(places.top)
		one := &stepped{stretch: s, step: best, near: places.near()}
		one.sure = best.x >= needed(sure, best.splits) && !best.likeBend(worsensUp(s.sheet))
		found = append(found, one)
		if !one.sure {
			return
		}
		count++
		split(looks[:best.at], false)
		split(looks[best.at:], lone)
	}
	split(looks, s.more)
	return found, count > mostSteps
}

// stepped is a step with the stretch it is in.
type stepped struct {
	*stretch
	step
	near []step // the same step at places that explain nearly as much
	sure bool   // it needs no partner to be asked about
	used bool   // a question has been asked about it
}

// likeBend reports whether a bend the way a device worsens explains the looks
// about as well as the step.
func (s *step) likeBend(up bool) bool {
	return s.upwards == up && s.x-s.bend < bendMargin
}
