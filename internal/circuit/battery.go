package circuit

import (
	"fmt"
	"math"
)

// ChargeCurrent is the least mean current that brings an empty battery to 80 % of its capacity in 24 h, when it keeps
// the share accepts of it: 0.8 C/24/accepts.
func ChargeCurrent(capacity AmpHours, accepts float64) Amps {
	return Amps(0.8 * float64(capacity) / 24 / accepts)
}

// ColdFactor interpolates [WarmthFactors]. Above 25 C it gives 1: warm rooms earn no credit.
func ColdFactor(at Celsius) (float64, error) {
	table := WarmthFactors()
	last := table[len(table)-1]
	if !(at >= table[0].Celsius && at <= last.Celsius) {
		return 0, invalid("the table of temperatures goes from %g to %g C, and %g C is not in it", table[0].Celsius, last.Celsius, at)
	}
	for i, row := range table[1:] {
		if below := table[i]; at <= row.Celsius {
			share := float64((at - below.Celsius) / (row.Celsius - below.Celsius))
			return max(1, below.Factor+share*(row.Factor-below.Factor)), nil
		}
	}
	return 1, nil
}

// Peukert gives how long a battery lasts at a current: H (C/(I H))^k, with C its capacity at the H-hour rate. k is 1.1
// to 1.3 for lead-acid batteries (common practice, no source). The form t = C/I^k found in print holds only where C
// is the capacity at one ampere.
func Peukert(capacity AmpHours, rate Hours, k float64, current Amps) (Hours, error) {
	if !positive(float64(capacity)) || !positive(float64(rate)) || !positive(float64(current)) || !(k >= 1 && k < 3) {
		return 0, invalid("a discharge needs a capacity, its hours and a current above 0 and an exponent from 1, found %g, %g, %g and %g", capacity, rate, current, k)
	}
	return rate * Hours(math.Pow(float64(capacity)/(float64(current)*float64(rate)), k)), nil
}

// Discharge is a discharge test of a battery.
type Discharge struct {
	Rated   AmpHours // at the 20 h rate
	Current Amps     // held during the test
	Lasted  Hours    // until the end voltage
	K       float64  // Peukert's exponent
	Years   float64  // age of the battery; 0: not known
}

// Wear is what a discharge test says of a battery.
type Wear struct {
	Capacity AmpHours // at the 20 h rate
	Share    float64  // of the rated capacity
	Replace  bool     // below 80 %, where the ageing factor of 1.25 is used up
	Left     float64  // years until 80 %, if it goes on losing as much a year; 0 where not known, past, or hardly worn
	Reason   string
}

// Wear turns the test into a capacity at the 20 h rate, Peukert's law solved for C, and holds it against 80 % (IEEE 485,
// from memory). The years left are a straight line through new and now, a guess without a source; where a hundredth or less is lost
// there is no line to draw.
func (d *Discharge) Wear() (Wear, error) {
	const rate = 20
	if _, err := Peukert(d.Rated, rate, d.K, d.Current); err != nil {
		return Wear{}, err
	}
	if !positive(float64(d.Lasted)) || !notNegative(d.Years) {
		return Wear{}, invalid("a discharge test lasted a number of hours above 0 on a battery of an age from 0, found %g and %g", d.Lasted, d.Years)
	}
	w := Wear{Capacity: AmpHours(float64(d.Current) * rate * math.Pow(float64(d.Lasted)/rate, 1/d.K))}
	w.Share = float64(w.Capacity / d.Rated)
	w.Replace = w.Share < 0.8
	w.Reason = fmt.Sprintf("%s for %s comes to %s at the 20 h rate, %.0f %% of the rated %s", d.Current, d.Lasted, w.Capacity, 100*w.Share, d.Rated)
	switch {
	case w.Replace:
		w.Reason += ": replace it, the allowance for ageing is used up below 80 %"
	case w.Share > 0.99:
		w.Reason += ": as good as new"
	case d.Years > 0:
		w.Left = d.Years * (w.Share - 0.8) / (1 - w.Share)
		w.Reason += fmt.Sprintf(": sound; losing as much a year as so far, it reaches 80 %% in %.1f years", w.Left)
	default:
		w.Reason += ": sound"
	}
	return w, nil
}
