package judge

import (
	"math"
	"slices"

	"sootline"
	"sootline/internal/robust"
)

// kin is what is learned of the detectors of one type with one band. All of it is in bands.
type kin struct {
	scale   scale
	sheet   *sootline.TypeSheet
	members []*past
	read    int // members with looks

	rest, restVar float64 // where units lie after a reset
	noise         float64 // variance of a look about the level
	quantum       float64 // step in which values are written
	shown         float64 // step in which they are shown, where that is coarser; 0: not known
	equal         float64 // share of looks that show the same as the one before, of those before which that was not so
	lump          float64 // variance of what is added, over what is added
	walk          float64 // variance of the level a year beside that
	pace          float64 // how fast the drift of a place changes, as a share of its spread
	unsurprising  float64 // a look likelier than this begins no other stories
	usual         float64 // standard deviation expected before anything was learned

	compensated bool
	now         float64
	rescaled    []rescaled // changes of its scale that were found
	refused     []Question // those of which people said that they were none
	first       *weights   // what the walk was begun with
	w           *weights   // what the site teaches
}

// past is what is known of one point.
type past struct {
	point     *sootline.Point
	kin       *kin
	area      *area
	sheet     *sootline.TypeSheet
	band      *sootline.Band
	looks     []look
	z         []float64 // of the looks, without the offsets of their visits and without the season
	season    season
	cuts      []cut  // recorded resets since the type was fitted, in order of time
	after     []int  // how many looks lie before each of them
	tales     []tale // what may have happened since, each with its paths; weights are likelihoods
	stuck     float64
	stuckFrom int
	forward   *ahead // where it may lead
	place     int    // in the register
	strange   bool   // it taught nothing to type and area
	model     *model
	share     float64 // sum over tales and paths with the prior of the point
}

// cut is a recorded reset.
type cut struct {
	t       float64
	known   bool // when it was
	cleaned bool // else another unit, or set anew
}

// since is how many looks lie before the last reset.
func (p *past) since() int {
	if len(p.after) == 0 {
		return 0
	}
	return p.after[len(p.after)-1]
}

// apart reports whether a reset lies between a look and the one before it.
func (p *past) apart(look int) bool { return slices.Contains(p.after, look) }

// renewed reports whether another unit, or one set anew, lies between a look and the one before it.
func (p *past) renewed(look int) bool {
	for i, n := range p.after {
		if n == look && !p.cuts[i].cleaned {
			return true
		}
	}
	return false
}

// learnNoise measures the noise of a look by the distance of looks from the middle of their neighbours, the
// median of which bears up to half of bad ones. What was expected counts for some looks beside it.
func (k *kin) learnNoise() {
	var all []float64
	for _, p := range k.members {
		for i := 1; i+1 < len(p.looks); i++ {
			if e, ok := p.distance(i); ok {
				all = append(all, math.Abs(e))
			}
		}
		if len(all) > mostSampled {
			break
		}
	}
	// What one detector shows by itself may be the detector.
	n, sd := min(float64(len(all)), ownWorth*float64(len(k.members)-1)), 0.0
	if median, ok := robust.MedianInPlace(all); ok {
		sd = madToSD * median
	}
	expected := k.usual * k.usual
	k.noise = (usualWorth*expected + n*sd*sd) / (usualWorth + n)
	k.noise = max(k.noise, k.quantum*k.quantum/12, 1e-8)
}

// distance is how far a look lies from between its neighbours, as a share of what makes it a standard deviation of one
// look; not ok where something was reset between.
func (p *past) distance(i int) (float64, bool) {
	if p.apart(i) || p.apart(i+1) {
		return 0, false
	}
	return p.off(i, func(at int) float64 { return p.z[at] }), true
}

// off is how far a look lies so by any figure of each.
func (p *past) off(i int, figure func(at int) float64) float64 {
	a := (p.looks[i].t - p.looks[i-1].t) / (p.looks[i+1].t - p.looks[i-1].t)
	return (figure(i) - (1-a)*figure(i-1) - a*figure(i+1)) / math.Sqrt(1+a*a+(1-a)*(1-a))
}

// restlessly is how many times the noise of its type the mean distance of a look is, from where it is worth asking
// whether a detector was unsteady all along: with a steady one the mean is 0.8 times.
const (
	restlessly = 1.6
	loudest    = 256 // of what is believed of an unsteady one: sixteen times the usual noise
)

// restless is by how much the variance of the looks at a point exceeds that of its type, where they jump about
// more than those: 0 where they do not.
func (p *past) restless() float64 {
	sum, n := 0.0, 0.0
	for i := 1; i+1 < len(p.looks); i++ {
		if e, ok := p.distance(i); ok {
			sum, n = sum+math.Abs(e), n+1
		}
	}
	times := sum / math.Sqrt(p.kin.noise) / max(1, n)
	if n < 2 || times <= restlessly {
		return 0
	}
	return min(loudest, max(loudly, times*times/(2/math.Pi)))
}

const (
	mostSampled = 4000   // looks that a figure is learned from: more make it no better worth the time
	ownWorth    = 6      // looks that each detector but one counts for, at most
	usualWorth  = 10     // how many looks the noise that was expected counts for
	madToSD     = 1.4826 // of a normal value
)

// learnQuantum finds the step in which values are written.
func (k *kin) learnQuantum() {
	at := 0
	for _, p := range k.members[:min(len(k.members), 200)] {
		at = p.finer(at)
	}
	k.quantum = written()[at] / math.Abs(k.scale.width)
	k.learnShown()
}

// learnShown finds the step of a display that is coarser than what is written of it.
func (k *kin) learnShown() {
	var values []float64
	for _, p := range k.members[:min(len(k.members), 200)] {
		for i := range p.looks {
			values = append(values, p.looks[i].y)
		}
	}
	slices.Sort(values)
	n := len(values)
	values = slices.Compact(values)
	if len(values) < leastSteps || n < seenOften*len(values) {
		return
	}
	for i := len(values) - 1; i > 0; i-- {
		values[i] -= values[i-1]
	}
	step, _ := robust.Median(values[1:])
	k.shown = step / math.Abs(k.scale.width)
}

// What a display shows tells its step where so many different values at least were each seen so often: ours.
const (
	leastSteps = 4
	seenOften  = 3
)

// written are the steps in which values are written.
func written() [5]float64 { return [...]float64{1, 0.5, 0.1, 0.01, 0.001} }

// finer is the first of the steps from one on that all looks of a point keep to.
func (p *past) finer(at int) int {
	steps := written()
	for l := range p.looks {
		for at < len(steps)-1 && math.Abs(p.looks[l].y/steps[at]-math.Round(p.looks[l].y/steps[at])) > 1e-6 {
			at++
		}
	}
	return at
}

// soon is how long after a reset a look still shows about where a unit rests, in years: about one visit.
const soon = 0.6

// learnRest finds where units lie after a reset, by the first look after each dated one.
func (k *kin) learnRest() {
	var all []float64
	for _, p := range k.members {
		for i, c := range p.cuts {
			at := p.after[i]
			if !c.known || at >= len(p.looks) || i+1 < len(p.after) && p.after[i+1] == at || p.looks[at].t-c.t > soon {
				continue
			}
			all = append(all, p.z[at])
		}
		if len(all) > mostSampled {
			break
		}
	}
	prior, spread := -0.7, 0.2 // a clean unit lies a third up from its low limit, give or take a fifth: a guess
	if k.sheet != nil && k.sheet.FactoryRest != nil {
		prior, spread = k.scale.of(*k.sheet.FactoryRest), 0.1
	}
	n := float64(len(all))
	centre, ok := robust.Median(all)
	if !ok {
		k.rest, k.restVar = prior, spread*spread+0.01
		return
	}
	for i := range all {
		all[i] = math.Abs(all[i] - centre)
	}
	mad, _ := robust.MedianInPlace(all)
	v := max(0, madToSD*mad*madToSD*mad-k.noise)
	k.rest = (n*centre + prior) / (n + 1)
	k.restVar = max((n*v+3*0.01)/(n+3)+(spread*spread)/(n+1), 1e-5)
}

// longGap is the longest time between looks, in years, that the bound below allows for.
const longGap = 5

// findUnsurprising bounds how likely a look can be from any other explanation.
func (k *kin) findUnsurprising() {
	most := max(slipChance*0.5/k.quantum, slipChance*2,
		(longGap*cleanedYearly+0.5)*normal(0, k.restVar+k.noise),
		longGap*unsteadyYearly*normal(0, loudly*k.noise), longGap*worksYearly*2)
	k.unsurprising = most / surprising
}

// others is how many other points with looks teach of the type of a point, and how many of those hang in its area.
func (p *past) others() (all, here int) {
	all, here = p.kin.read, p.area.read[p.kin]
	if len(p.looks) > 0 {
		all, here = all-1, here-1
	}
	if p.area.name == "" {
		here = 0
	}
	return max(0, all), max(0, here)
}

// learnEqual finds how often looks show the same as the one before: coarse displays do so often. Of a row of equal
// ones the first two count, so that what is stuck teaches no more than others.
func (k *kin) learnEqual() {
	equal, all := 0.5, 3.0
	for _, p := range k.members {
		for i := 2; i < len(p.looks); i++ {
			if p.apart(i) || p.apart(i-1) || p.looks[i-1].y == p.looks[i-2].y {
				continue
			}
			all++
			equal += isTrue(p.looks[i].y == p.looks[i-1].y)
		}
	}
	k.equal = equal / all
}
