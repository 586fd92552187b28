package circuit

import "math"

// Murray gives the distance to an earth fault on one core, joined at the far end to a sound core of the same kind:
// around q/(p+q), with the arm q on the faulty core. Around is the way out and back, in metres or ohms; the answer is in
// the same unit. Temperature cancels. Source: Hawkins Electrical Guide, volume 3 (1917).
func Murray(around, p, q float64) (float64, error) {
	if !positive(around) || !positive(p) || !notNegative(q) {
		return 0, invalid("a Murray test needs the length around and both arms as numbers above 0, found %g, %g and %g", around, p, q)
	}
	return around * q / (p + q), nil
}

// Varley gives the resistance around and the resistance to an earth fault from fixed arms p and q and a variable s in
// series with the faulty core: s1 balances with the bridge at earth, s2 with it at the loop. Around is (p/q) s2 and the
// fault lies p (s2 - s1)/(p + q) ohms away along the faulty core.
func Varley(p, q, s1, s2 float64) (around, distance Ohms, err error) {
	if !positive(p) || !positive(q) || !notNegative(s1) || !(s2 >= s1) || math.IsInf(s2, 1) {
		return 0, 0, invalid("a Varley test needs two arms above 0 and 0 <= s1 <= s2, found %g, %g, %g and %g", p, q, s1, s2)
	}
	return Ohms(p / q * s2), Ohms(p * (s2 - s1) / (p + q)), nil
}

// Blavier gives the resistance to an earth fault on a core without a sound companion: open is read with the far end
// open, earthed with it earthed, and whole is the resistance of the core: earthed - sqrt((open - earthed)(whole -
// earthed)). The formula is from memory. The fault must not change between the readings.
func Blavier(open, earthed, whole Ohms) (Ohms, error) {
	if !(earthed >= 0 && earthed <= open && earthed <= whole) || math.IsInf(float64(open+whole), 1) {
		return 0, invalid("a Blavier test needs the reading with the far end earthed to be the least, found %g open, %g earthed and %g whole", open, earthed, whole)
	}
	return earthed - Ohms(math.Sqrt(float64((open-earthed)*(whole-earthed)))), nil
}
