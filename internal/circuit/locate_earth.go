package circuit

import (
	"math"

	"sootline"
)

// EarthTest says how an earth fault was measured.
type EarthTest uint8

// The tests for an earth fault on one core.
const (
	MurrayTest  EarthTest = iota // two arms at balance
	VarleyTest                   // two arms, and two balances of the variable
	BlavierTest                  // two readings from OUT, with the IN end open and earthed
)

// EarthReading is what was measured of an earth fault on one core, from the panel's terminals, with the devices out and the
// isolators bridged.
type EarthReading struct {
	Test EarthTest
	Core Core // the faulty one; BothCores counts as the plus core
	// Companion: the way back is the sound core, joined to the faulty one at IN. Without it the bridge is joined to both
	// ends of the faulty core itself, which come back to the panel anyway.
	Companion     bool
	P, Q          float64 // the arms, Q on the side of OUT
	S1, S2        float64 // of Varley
	Open, Earthed Ohms    // of Blavier
	Whole         Ohms    // of the core from end to end, of Blavier, as measured; 0: from the cable's table
	Arms          float64 // largest error of an arm or of the variable, as a share
	Meter         Ohms    // largest error of one reading
	Cable         float64 // largest error of the tabulated resistance, as a share
	Kelvin        float64 // largest error of the assumed temperature
}

// LocateEarth finds an earth fault along the ring. Bridges give a share of the way around, so that temperature and the
// tolerance of the cable cancel; Blavier's test gives ohms, and they do not. The limits are the extremes over the errors
// given. Every cable needs its metres.
func (c *Circuit) LocateEarth(reading EarthReading) (Location, error) {
	for _, r := range []float64{reading.Arms, float64(reading.Meter), reading.Cable, reading.Kelvin, float64(reading.Whole)} {
		if !notNegative(r) {
			return Location{}, invalid("a reading and its error are numbers from 0, found %g", r)
		}
	}
	if !(reading.Arms < 1) {
		return Location{}, invalid("the error of an arm is a share below 1, found %g", reading.Arms)
	}
	if reading.Core == BothCores {
		reading.Core = PlusCore
	}
	way, err := c.way(reading.Core)
	if err != nil {
		return Location{}, err
	}
	at, low, high, err := c.earth(&reading, way.ohms[len(way.ohms)-1])
	if err != nil {
		return Location{}, err
	}
	loc := c.location(way, at, low, high)
	loc.Sentence = c.locationText(&loc)
	return loc, nil
}

// earth gives the ohms of the faulty core from OUT to the fault, and their extremes.
func (c *Circuit) earth(r *EarthReading, core float64) (at, low, high float64, err error) {
	if r.Test == BlavierTest {
		return r.blavier(core)
	}
	around := core
	if r.Companion {
		other, err := c.way(PlusCore + MinusCore - r.Core)
		if err != nil {
			return 0, 0, 0, err
		}
		around += other.ohms[len(other.ohms)-1]
	}
	share := func(p, q, s1, s2 float64) (float64, error) {
		if r.Test == MurrayTest {
			return Murray(1, p, q)
		}
		whole, distance, err := Varley(p, q, s1, s2)
		if err == nil && whole == 0 {
			err = invalid("a Varley test of a loop needs a balance above 0 for the way around")
		}
		return float64(distance / whole), err
	}
	if at, err = share(r.P, r.Q, r.S1, r.S2); err != nil {
		return 0, 0, 0, err
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, e := range corners(4, r.Arms) {
		x, err := share(r.P*(1+e[0]), r.Q*(1+e[1]), r.S1*(1+e[2]), max(r.S1*(1+e[2]), r.S2*(1+e[3])))
		if err != nil {
			return 0, 0, 0, err
		}
		low, high = min(low, x), max(high, x)
	}
	if at*around > core*(1+1e-9) {
		return 0, 0, 0, sootline.Errorf(sootline.Invalid, "exchange the two arms, or test from the other end", "the balance lies %.0f %% of the way around, beyond IN, where the faulty core ends", 100*at)
	}
	return at * around, low * around, high * around, nil
}

func (r *EarthReading) blavier(core float64) (at, low, high float64, err error) {
	whole, spread := float64(r.Whole), 0.0
	if whole == 0 {
		whole, spread = core, r.Cable+alpha20*r.Kelvin
	}
	x, err := Blavier(r.Open, r.Earthed, Ohms(whole))
	if err != nil {
		return 0, 0, 0, err
	}
	low, high = math.Inf(1), math.Inf(-1)
	scale := core / whole // of the table, by which the way is measured
	for _, e := range corners(3, 1) {
		l := whole * (1 + spread*e[2])
		if r.Whole > 0 {
			l += float64(r.Meter) * e[2]
		}
		// An error may make a fault that is near look as if it were nowhere: then it is at an end.
		earthed := min(float64(r.Earthed)+e[1]*float64(r.Meter), l)
		earthed = max(earthed, 0)
		open := max(float64(r.Open)+e[0]*float64(r.Meter), earthed)
		y, err := Blavier(Ohms(open), Ohms(earthed), Ohms(l))
		if err != nil {
			return 0, 0, 0, err
		}
		y = Ohms(float64(y) * core / l)
		low, high = min(low, float64(y)), max(high, float64(y))
	}
	return float64(x) * scale, low, high, nil
}

// corners lists every choice of plus and minus for n errors of a size.
func corners(n int, size float64) [][]float64 {
	var all [][]float64
	for bits := range 1 << n {
		errors := make([]float64, n)
		for i := range errors {
			errors[i] = size * float64(2*(bits>>i&1)-1)
		}
		all = append(all, errors)
	}
	return all
}
