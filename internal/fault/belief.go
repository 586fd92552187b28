package fault

import "math"

// What nobody knows exactly, carried for each cause.
const (
	ofCable  = iota // factor on the ohms of the cable
	ofLoads         // factor on the currents of the devices
	ofPlace         // along the stretch, 0 at its beginning
	ofFault         // ohms of a short, an earth fault or a contact; amperes of a leakage or an overload
	ofMeter         // factor on what the meter shows
	ofSupply        // volts of the panel beside those that are written down
	unknowns
)

// vector is a value, or a change, of each unknown.
type vector [unknowns]float64

// believed is the normal distribution of the unknowns of one cause.
type believed struct {
	mean vector
	cov  [unknowns]vector
}

// How far what is written down may be off, as a standard deviation and a share: tables, temperature and lengths of the
// cable; currents on type sheets; a common multimeter. Common practice, no source.
const (
	cableShare = 0.04
	loadShare  = 0.04
	meterShare = 0.005
)

// strength is what is expected of a fault before it is measured: mean and standard deviation, in the unit of ofFault.
// Common practice, no source; wide, so that the first reading decides.
var strength = [...][2]float64{
	Short: {1, 2}, StuckShut: {1, 2}, Earth: {100, 1000}, Leakage: {0.03, 0.05}, Overload: {0.03, 0.05},
}

// contacts are the same of a bad contact, in steps: what it does to the currents of a closed ring is far from a line.
var contacts = [...][2]float64{{2, 1.5}, {6, 3}, {15, 6}, {35, 15}, {90, 40}, {250, 120}}

// believe is what is believed before anything is read.
func (r *Ring) believe(kind Kind) believed {
	var fault [2]float64
	if int(kind) < len(strength) {
		fault = strength[kind]
	}
	b := believed{mean: vector{ofCable: 1, ofLoads: 1, ofPlace: 0.5, ofFault: fault[0], ofMeter: 1}}
	for i, sd := range (vector{ofCable: cableShare, ofLoads: loadShare, ofPlace: 0.29, ofFault: fault[1], ofMeter: meterShare, ofSupply: r.VoltsOff}) {
		b.cov[i][i] = sd * sd
	}
	return b
}

// spread is the variance of a quantity with a slope by each unknown, and its covariance with each.
func (b *believed) spread(slope *vector) (variance float64, with vector) {
	for i := range with {
		for j, s := range slope {
			with[i] += b.cov[i][j] * s
		}
		variance += with[i] * slope[i]
	}
	return variance, with
}

// learn narrows the belief by a reading that lies off by so much, with a noise of so large a variance.
func (b *believed) learn(off float64, slope *vector, noise float64) {
	variance, with := b.spread(slope)
	total := variance + noise
	for i := range with {
		b.mean[i] += with[i] * off / total
		for j := range with {
			b.cov[i][j] -= with[i] * with[j] / total
		}
	}
	b.mean[ofPlace] = min(max(b.mean[ofPlace], 0), 1)
	if b.mean[ofFault] < 0 {
		b.mean[ofFault] = 0
	}
}

// density is that of a normal distribution.
func density(off, variance float64) float64 {
	return math.Exp(-off*off/(2*variance)) / math.Sqrt(2*math.Pi*variance)
}
