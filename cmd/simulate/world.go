package main

import (
	"math"
	"math/rand/v2"
	"slices"

	"sootline/internal/judge"
)

// scenario is one kind of invented site.
type scenario struct {
	name    string
	sd      float64 // of the noise of a visit's value; 1.0408 is expected in all scenarios
	exact   bool    // values are not rounded to whole numbers
	mixed   bool    // areas from quiet to very dusty, and one detector in twenty unlike the others
	sameAge bool    // all detectors have as many visits as the targets
	wild    float64 // share of readings that are 10 too high
	swing   float64 // counts of a yearly swing, from its mean to its peak
	inPhase bool    // the swing has one phase on the whole site
	bend    float64 // counts a year, squared, of the targets, whose drift begins with 1 a year
	before  int     // visits to every detector in an earlier run, until it was cleaned
	again   float64 // spread of the slope from run to run, as the standard deviation of its natural logarithm
}

func scenarios() []scenario {
	return []scenario{
		{name: "clean", sd: 1.0408, exact: true},
		{name: "rounded", sd: 1},
		{name: "mixed slopes", sd: 1, mixed: true},
		{name: "outliers", sd: 1, wild: 0.05},
		{name: "seasonal", sd: 1, swing: 1},
		{name: "seasonal, one phase", sd: 1, swing: 1, inPhase: true},
		{name: "same age", sd: 1, sameAge: true},
		{name: "noise 1.6 times", sd: 1.6},
		{name: "noise 0.6 times", sd: 0.6},
		{name: "cleaned before", sd: 1, before: 8, again: 0.1},
		{name: "cleaned before, mixed slopes", sd: 1, mixed: true, before: 8, again: 0.1},
		{name: "accelerating", sd: 1, bend: 0.5},
	}
}

func visitCounts() []int { return []int{2, 3, 4, 5, 6, 8, 12} }

const (
	areas     = 6
	perArea   = 12
	quarter   = 0.25 // years between visits
	jitter    = 0.06 // years that a visit may come early or late
	ahead     = 4    // counts from the true value at the last visit to the limit
	clean     = 25   // true value at the reset
	pooledSD  = 1.0408
	rounding  = 0.28867513459481287 // sqrt(1/12)
	nominal   = 0.9
	wildCount = 10
)

// detector is one of the site, with its visits; the last of them is at time 0 of
// the calendar.
type detector struct {
	area              int
	target            bool
	rate, bend, phase float64
	swing             float64
	run               judge.Run
	earlier           []judge.Run
}

// level is the true value t years after the first visit, without the season.
func (d *detector) level(t float64) float64 { return clean + d.rate*t + d.bend*t*t }

// season is the yearly swing at a time of the calendar.
func (d *detector) season(at float64) float64 { return d.swing * math.Sin(2*math.Pi*at+d.phase) }

func (d *detector) last() float64 { return d.run.T[len(d.run.T)-1] }

// limit lies ahead of the level at the last visit, and crossing is when the true
// value, season included, first gets there: never before the last visit.
func (d *detector) limit() float64 { return d.level(d.last()) + ahead }

func (d *detector) crossing() float64 {
	const day = 1 / 365.25
	t := d.last()
	for d.level(t)+d.season(t-d.last()) < d.limit() {
		t += day
	}
	return t
}

// site draws the detectors of one type in six areas. Every second one is a
// target with so many visits since its reset; the others have from 4 to 16.
//
// The spread of slopes within an area is that of internal/demo, or wider; the
// rest is made up.
func (s *scenario) site(visits int, rng *rand.Rand) []detector {
	all := make([]detector, 0, areas*perArea)
	phase := 2 * math.Pi * rng.Float64()
	for a := range areas {
		mean, within := 1.5*math.Exp(0.3*rng.NormFloat64()), 0.15
		if s.mixed {
			mean, within = [areas]float64{0.5, 0.8, 1.2, 1.8, 2.7, 4}[a], 0.25
		}
		for i := range perArea {
			d := detector{area: a, target: i%2 == 0, phase: phase, swing: s.swing, rate: mean * math.Exp(within*rng.NormFloat64())}
			if s.mixed && rng.IntN(20) == 0 {
				d.rate *= 2
			}
			if !s.inPhase {
				d.phase = 2 * math.Pi * rng.Float64()
			}
			n := visits
			switch {
			case d.target && s.bend > 0:
				d.rate, d.bend = 1, s.bend
			case !d.target && !s.sameAge:
				n = 4 + rng.IntN(13)
			}
			if s.before > 0 {
				d.earlier = append(d.earlier, s.read(&d, s.before, -float64(n)*quarter, rng))
				d.rate *= math.Exp(s.again * rng.NormFloat64())
			}
			d.run = s.read(&d, n, 0, rng)
			all = append(all, d)
		}
	}
	return all
}

// read takes n visits, about a quarter of a year apart and the last of them at a
// time of the calendar; times count from the first.
func (s *scenario) read(d *detector, n int, last float64, rng *rand.Rand) judge.Run {
	run := judge.Run{T: make([]float64, n), Y: make([]float64, n)}
	for i := range run.T {
		run.T[i] = quarter*float64(i) + jitter*(2*rng.Float64()-1)
	}
	slices.Sort(run.T)
	first := run.T[0]
	for i := range run.T {
		run.T[i] -= first
	}
	run.Start = last - run.T[n-1]
	for i, t := range run.T {
		y := d.level(t) + s.sd*rng.NormFloat64() + d.season(run.Start+t)
		if rng.Float64() < s.wild {
			y += wildCount
		}
		if !s.exact {
			y = math.Round(y)
		}
		run.Y[i] = y
	}
	return run
}
