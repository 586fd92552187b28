package sootline

import (
	"math"
	"strings"
)

// Obscuration is how much a smoke dims light over a metre, as an absorption
// coefficient in 1/m: of light I0, I0*exp(-k*d) is left after d metres. The zero
// Obscuration is clear air. Sensitivities are stated as %/ft, %/m or dB/m; all
// are ways of writing this one figure.
//
// Chambers sense scattered light or a current, not obscuration, so that a figure
// holds for the test smoke it was found with and no other.
//
// Source: the law of Bouguer; Gross, Loftus & Robertson (1967), ASTM STP 422.
type Obscuration float64

// foot is the length of one in metres, exactly.
const foot = 0.3048

// PercentPerMetre reads an obscuration of percent over a metre, from 0 to below
// 100; another figure is an error.
func PercentPerMetre(percent float64) (Obscuration, error) { return dimmed(percent, 1) }

// PercentPerFoot reads an obscuration of percent over a foot, from 0 to below
// 100; another figure is an error.
func PercentPerFoot(percent float64) (Obscuration, error) { return dimmed(percent, foot) }

func dimmed(percent, metres float64) (Obscuration, error) {
	if !(percent >= 0 && percent < 100) {
		return 0, Errorf(Invalid, "", "an obscuration lies from 0 %% to below 100 %%, found %v", percent)
	}
	return Obscuration(-math.Log1p(-percent/100) / metres), nil
}

// DecibelsPerMetre reads ten times an optical density per metre, from 0; another
// figure is an error.
func DecibelsPerMetre(decibels float64) (Obscuration, error) {
	if !(decibels >= 0) || math.IsInf(decibels, 1) {
		return 0, Errorf(Invalid, "", "an optical density is a number from 0, found %v", decibels)
	}
	return Obscuration(decibels / 10 * math.Ln10), nil
}

// PercentPerMetre writes the obscuration over a metre, in percent.
func (o Obscuration) PercentPerMetre() float64 { return o.percent(1) }

// PercentPerFoot writes the obscuration over a foot, in percent.
func (o Obscuration) PercentPerFoot() float64 { return o.percent(foot) }

func (o Obscuration) percent(metres float64) float64 {
	return -100 * math.Expm1(-float64(o)*metres)
}

// DecibelsPerMetre writes ten times the optical density of a metre.
func (o Obscuration) DecibelsPerMetre() float64 { return 10 * float64(o) / math.Ln10 }

// scale is one way of writing an obscuration.
type scale struct {
	read  func(float64) (Obscuration, error)
	write func(Obscuration) float64
}

// scaleOf finds the scale that a unit names, however it is spaced; false for the
// unit of anything else.
func scaleOf(unit string) (scale, bool) {
	switch strings.ToLower(strings.Join(strings.Fields(unit), "")) {
	case "%/ft":
		return scale{PercentPerFoot, Obscuration.PercentPerFoot}, true
	case "%/m":
		return scale{PercentPerMetre, Obscuration.PercentPerMetre}, true
	case "db/m":
		return scale{DecibelsPerMetre, Obscuration.DecibelsPerMetre}, true
	}
	return scale{}, false
}
