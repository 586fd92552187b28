package robust

import "math"

// ScaleSource says what a [Scale] rests on.
type ScaleSource int

// The sources of a scale.
const (
	FromMAD     ScaleSource = iota + 1 // the median absolute deviation
	FromMeanDev                        // the mean absolute deviation, since more than half the values are equal
	FromFloor                          // the floor given by the caller, since the values lie closer than that
)

// Scale is a centre and a yardstick in the unit of the values; a value's z is its distance from the
// centre in yardsticks.
type Scale struct {
	Centre float64     // median
	Unit   float64     // estimate of the standard deviation, always above zero
	Source ScaleSource // where Unit came from
}

// Z returns the signed distance of v from the centre, in units of scale.
func (s Scale) Z(v float64) float64 { return (v - s.Centre) / s.Unit }

// OutlierZ is the distance beyond which Iglewicz & Hoaglin call a value a potential outlier.
const OutlierZ = 3.5

const (
	madToSD     = 1.4826   // 1/0.6745 to the digits in common use, for RobustScale
	modified    = 0.6745   // upper quartile of the normal distribution, as printed by Iglewicz & Hoaglin
	meanDevToSD = 1.253314 // sqrt(pi/2), as printed with the modified z of spreadsheets and handbooks
	leastUnit   = 1e-150   // a smaller unit counts as none, so that no z overflows
)

// ModifiedScale returns the scale of the modified z-score 0.6745*(x-median)/MAD. When the MAD is zero it
// falls back to 1.253314 times the mean absolute deviation from the median. ok is false when x is empty,
// holds an unusable value, or all its values are equal: then nothing can be said of how far is far.
//
// Source: Iglewicz & Hoaglin (1993), How to Detect and Handle Outliers, ASQC.
func ModifiedScale(x []float64) (s Scale, ok bool) {
	centre, mad, ok := MAD(x)
	if !ok {
		return Scale{}, false
	}
	if mad > leastUnit {
		return Scale{Centre: centre, Unit: mad / modified, Source: FromMAD}, true
	}
	sum := 0.0
	for _, v := range x {
		sum += math.Abs(v - centre)
	}
	unit := meanDevToSD * sum / float64(len(x))
	if unit <= leastUnit {
		return Scale{}, false
	}
	return Scale{Centre: centre, Unit: unit, Source: FromMeanDev}, true
}

// RobustScale returns the median of x with the scale max(1.4826*MAD, floor). The floor keeps values that
// were rounded, or few, from accusing one another: give it the noise known from elsewhere. ok is false
// when x is empty or holds an unusable value, or when floor is not above zero.
func RobustScale(x []float64, floor float64) (s Scale, ok bool) {
	centre, mad, ok := MAD(x)
	if !ok || !usable(floor) || floor <= leastUnit {
		return Scale{}, false
	}
	if unit := madToSD * mad; unit > floor {
		return Scale{Centre: centre, Unit: unit, Source: FromMAD}, true
	}
	return Scale{Centre: centre, Unit: floor, Source: FromFloor}, true
}
