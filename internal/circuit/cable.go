package circuit

import (
	"math"

	"sootline"
)

// Source says where a figure of a table came from.
type Source string

// The sources of figures.
const (
	Read       Source = "read"       // read in a published source that quotes it
	Remembered Source = "remembered" // put down from memory: verify in a licensed copy
	Computed   Source = "computed"   // worked out from physical constants
	Own        Source = "own"        // entered by the user
)

// String says in plain words how a figure is known, as it stands in brackets beside it; [SourceWords] explains them once.
func (s Source) String() string {
	switch s {
	case Read:
		return "published"
	case Remembered:
		return "not checked"
	}
	return string(s)
}

// SourceWords explains, once at the foot, the words that stand beside clauses and figures.
const SourceWords = "Published: as a published source quotes the standard. Not checked: quoted without the standard at hand; look it up before relying on it."

// Cable is a length of two-core cable. Its resistance is what was measured, when Plus or Minus is given,
// else it follows from length, conductor and temperature.
type Cable struct {
	Metres      Metres
	Conductor   Conductor
	Celsius     Celsius // temperature of the conductor; the zero value means 0 C, not 20 C
	Plus, Minus Ohms    // as measured, each core end to end, joints included; both 0: not measured
}

// Conductor is what one core is made of. One of OhmsPerKm, MM2 and AWG is needed; the first that is given holds.
type Conductor struct {
	OhmsPerKm float64 // one core, direct current, at 20 C
	MM2       float64 // nominal cross-section in square millimetres
	AWG       int     // American wire gauge, 12 to 22
	Tinned    bool
	Flexible  bool // class 5; else class 1 or 2, solid or stranded
	Stranded  bool // only for AWG, where the table tells stranded from solid
}

// alpha20 is the temperature coefficient of copper's resistance at 20 C per kelvin (NBS Handbook 100 and
// IEC 60028, from memory).
const alpha20 = 0.00393

// Cores gives the resistance of each core of the cable.
func (c Cable) Cores() (plus, minus Ohms, err error) {
	if c.Plus != 0 || c.Minus != 0 {
		if !notNegative(float64(c.Plus)) || !notNegative(float64(c.Minus)) {
			return 0, 0, sootline.Errorf(sootline.Invalid, "", "a measured resistance is a number from 0 ohm, found %g and %g", c.Plus, c.Minus)
		}
		return c.Plus, c.Minus, nil
	}
	if !positive(float64(c.Metres)) {
		return 0, 0, sootline.Errorf(sootline.Invalid, "give the metres from the previous point, or the ohms as measured", "the length of a cable is a number above 0 m, found %g", c.Metres)
	}
	perKm, err := c.Conductor.PerKm(c.Celsius)
	if err != nil {
		return 0, 0, err
	}
	core := Ohms(float64(c.Metres) / 1000 * perKm)
	return core, core, nil
}

// PerKm gives the resistance of one core in ohms per kilometre at a temperature.
func (c Conductor) PerKm(at Celsius) (float64, error) {
	if !(at > -100 && at < 250) {
		return 0, sootline.Errorf(sootline.Invalid, "", "the temperature of a cable lies between -100 and 250 C, found %g", at)
	}
	warm := 1 + alpha20*(float64(at)-20)
	switch {
	case c.OhmsPerKm != 0:
		if !positive(c.OhmsPerKm) {
			return 0, sootline.Errorf(sootline.Invalid, "", "ohms per kilometre are a number above 0, found %g", c.OhmsPerKm)
		}
		return c.OhmsPerKm * warm, nil
	case c.MM2 != 0:
		for _, row := range Metric() {
			if math.Abs(row.MM2-c.MM2) < 1e-9 {
				return row.perKm(c) * warm, nil
			}
		}
		return 0, sootline.Errorf(sootline.Invalid, "the table holds 0.5, 0.75, 1, 1.5, 2.5 and 4 mm2; for others give ohms per kilometre", "no resistance is known for a cross-section of %g mm2", c.MM2)
	case c.AWG != 0:
		for _, row := range Gauges() {
			if row.AWG == c.AWG {
				return row.per1000Feet(c.Stranded) * perKft * (234.5 + float64(at)) / (234.5 + 75), nil
			}
		}
		return 0, sootline.Errorf(sootline.Invalid, "the table holds 12, 14, 16, 18, 20 and 22 AWG; for others give ohms per kilometre", "no resistance is known for %d AWG", c.AWG)
	}
	return 0, sootline.Errorf(sootline.Invalid, "give mm2, AWG, ohms per kilometre, or the ohms as measured", "a cable has no cross-section")
}

// MetricRow is a cross-section with the largest resistance that its standard allows, in ohms per kilometre of
// one core at 20 C.
type MetricRow struct {
	MM2                                          float64
	Plain, Tinned, FlexiblePlain, FlexibleTinned float64
}

func (r MetricRow) perKm(c Conductor) float64 {
	switch {
	case c.Flexible && c.Tinned:
		return r.FlexibleTinned
	case c.Flexible:
		return r.FlexiblePlain
	case c.Tinned:
		return r.Tinned
	}
	return r.Plain
}

// Metric is the table of IEC 60228:2004, tables 1 to 3, classes 1, 2 and 5, read in four restatements that
// agree. The values are maxima: a drop computed with them is on the safe side, a short-circuit current is not.
func Metric() []MetricRow {
	return []MetricRow{
		{0.5, 36.0, 36.7, 39.0, 40.1},
		{0.75, 24.5, 24.8, 26.0, 26.7},
		{1, 18.1, 18.2, 19.5, 20.0},
		{1.5, 12.1, 12.2, 13.3, 13.7},
		{2.5, 7.41, 7.56, 7.98, 8.21},
		{4, 4.61, 4.70, 4.95, 5.09},
	}
}

// perKft turns ohms per thousand feet into ohms per kilometre.
const perKft = 1 / 0.3048

// GaugeRow is a wire gauge with its resistance at 75 C in ohms per thousand feet of one uncoated copper core.
type GaugeRow struct {
	AWG             int
	Solid, Stranded float64 // Stranded 0: two per cent above Solid
	Source          Source
}

// Gauges is NFPA 70 chapter 9 table 8 for 12 to 18 AWG (solid read in restatements; stranded 16 read, the other
// stranded from memory); 20 and 22 AWG, which the table lacks, are computed from the diameters of ASTM B258 with
// 1/58 ohm mm2/m at 20 C (NBS Handbook 100).
func Gauges() []GaugeRow {
	return []GaugeRow{
		{12, 1.93, 1.98, Read},
		{14, 3.07, 3.14, Read},
		{16, 4.89, 4.99, Read},
		{18, 7.77, 7.95, Read},
		{20, gaugeAt75(20), 0, Computed},
		{22, gaugeAt75(22), 0, Computed},
	}
}

func (r GaugeRow) per1000Feet(stranded bool) float64 {
	switch {
	case !stranded:
		return r.Solid
	case r.Stranded > 0:
		return r.Stranded
	}
	return 1.02 * r.Solid
}

// gaugeAt75 computes ohms per thousand feet at 75 C: d = 0.127 mm x 92^((36-n)/39).
func gaugeAt75(awg int) float64 {
	d := 0.127 * math.Pow(92, float64(36-awg)/39)
	return 304.8 / 58 / (math.Pi * d * d / 4) * (234.5 + 75) / 254.5
}
