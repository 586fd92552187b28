package judge

import "math"

// shape is how the level goes on with the years since a reset.
type shape uint8

// The shapes. Each has slope 1 at about the age at which it is first seen to move, so that the rate of a path means
// about the same in all of them.
const (
	straight   shape = iota
	quickening       // dirt catches dirt: the level goes with the square of the age
	running          // and with its cube
	slackening       // what can settle has settled: it bends over within years
	easing           // the same within a few months
	settling2        // slow at first, then fast, then full, after about two years
	settling4        // after about four
	late1            // flat until what corrects it, or keeps the dirt away, is used up, after about a year
	late3
	late6
	shapes
)

// grown is how far a path of rate 1 has gone at an age in years.
func (s shape) grown(age float64) float64 {
	switch s {
	case quickening:
		return age * age / 2
	case running:
		return age * age * age / 12
	case slackening:
		return 2 * (1 - math.Exp(-age/2))
	case easing:
		return 0.6 * (1 - math.Exp(-age/0.6))
	case settling2:
		return 2 * (1 - math.Exp(-age*age/4))
	case settling4:
		return 4 * (1 - math.Exp(-age*age/16))
	case late1:
		return max(0, age-1)
	case late3:
		return max(0, age-3)
	case late6:
		return max(0, age-6)
	}
	return age
}

// rates are the yearly drifts of the bank, in bands: none; from one that never matters within a life to one
// that crosses the band in a month, each twice the one before; and some that fall, as by ageing.
var rates = [...]float64{0, 0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.28, 2.56, 5.12, 10.24, -0.02, -0.08, -0.32}

const (
	nRates   = len(rates)
	firstUp  = 1  // in rates
	firstOff = 12 // the falling ones
	nPaths   = int(shapes) * nRates
)

// rateSD is how far the drift of a detector lies from the rate of its path: rates twice apart leave no gap
// between them at a third of their size.
func rateSD(k int) float64 { return max(0.005, 0.35*math.Abs(rates[k])) }

// weights are the prior probabilities of the paths.
type weights [nPaths]float64

// path numbers a shape with a rate.
func path(s shape, rate int) int { return int(s)*nRates + rate }

// broad is what is believed before anything is read on a site: a detector takes years to cross its band, some
// eight, give or take a factor of four; few fall; most go straight. From memory of the trade, and soon
// outweighed by what the site itself shows.
func broad(compensated bool) *weights {
	byShape := [shapes]float64{straight: 0.47, quickening: 0.1, running: 0.04, slackening: 0.1, easing: 0.07, settling2: 0.07, settling4: 0.07, late1: 0.03, late3: 0.03, late6: 0.02}
	if compensated {
		byShape = [shapes]float64{straight: 0.26, quickening: 0.08, running: 0.04, slackening: 0.04, easing: 0.04, settling2: 0.04, settling4: 0.04, late1: 0.14, late3: 0.18, late6: 0.14}
	}
	var byRate [nRates]float64
	total := 0.0
	for k := firstUp; k < firstOff; k++ {
		off := math.Log(rates[k]*8) / math.Log(4)
		byRate[k] = math.Exp(-off * off / 2)
		total += byRate[k]
	}
	for k := range byRate {
		switch {
		case k == 0:
			byRate[k] = 0.05
		case k >= firstOff:
			byRate[k] = 0.02
		default:
			byRate[k] *= 0.89 / total
		}
	}
	w := new(weights)
	for s := range shapes {
		for k := range nRates {
			w[path(s, k)] = byShape[s] * byRate[k]
		}
	}
	return w
}

// paths are the shapes and rates of the bank, as the walk needs them.
type pathOf struct {
	shape          shape
	size, variance float64 // of the rate, and of what lies about it
	dead           float64 // share of its story below which it is let go: straight ones stay longer, lest a rare rate is lost
}

var bank = func() (all [nPaths]pathOf) {
	for p := range all {
		sd := rateSD(p % nRates)
		all[p] = pathOf{shape(p / nRates), math.Abs(rates[p%nRates]), sd * sd, deadLeaf}
		if all[p].shape == straight {
			all[p].dead /= 20
		}
	}
	return all
}()
