package judge

import (
	"math"

	"sootline"
)

// scale turns values into shares of the band, turned so that what dirt does, or age where no dirt does it,
// leads upwards: 0 is the limit on that side, -1 the other one.
type scale struct {
	zero, width  float64 // width is negative where dirt lowers the value
	upper, lower bool    // which of the two limits are known
}

func (s scale) of(y float64) float64    { return (y - s.zero) / s.width }
func (s scale) value(z float64) float64 { return s.zero + z*s.width }

// noisesWide is how many times its noise a band is taken to be wide where nothing says how wide it is: a
// guess, which only sets the unit in which drifts are looked for over five decades.
const noisesWide = 20

// scaleOf makes the scale of a type with some settings. rest is where clean units lie, where that is known.
func scaleOf(sheet *sootline.TypeSheet, band *sootline.Band, noise float64, rest *float64) scale {
	s := scale{width: noisesWide * noise}
	if rest != nil {
		s.zero = *rest + 0.75*s.width
	}
	if band == nil {
		return s
	}
	up := worseLimit(sheet) == HighLimit
	worse, better := band.High, band.Low
	if !up {
		worse, better = band.Low, band.High
	}
	s.upper, s.lower = worse != nil, better != nil
	switch {
	case band.Complete():
		s.width = *band.High - *band.Low
	case worse != nil && rest != nil && math.Abs(*worse-*rest) > noise:
		s.width = math.Abs(*worse - *rest)
	}
	switch {
	case worse != nil:
		s.zero = *worse
	case better != nil && up:
		s.zero = *better + s.width
	case better != nil:
		s.zero = *better - s.width
	}
	if !up {
		s.width = -s.width
	}
	return s
}

// usable reports whether a band is wide enough to take shares of.
func (s scale) usable() bool {
	w := math.Abs(s.width)
	return w > 1e-9 && w < 1e12 && !math.IsInf(1/w, 0) && math.Abs(s.zero) < 1e12
}

// dirtSide is the limit that dirt drives a value beyond: as its sheet says, else
// the high one. A gas cell falls as it ages, and nobody cleans it: NoLimit.
func dirtSide(sheet *sootline.TypeSheet) Limit {
	switch {
	case sheet == nil || sheet.Worse == sootline.Upwards:
		return HighLimit
	case sheet.Kind == sootline.Gas:
		return NoLimit
	case sheet.Worse == sootline.Downwards:
		return LowLimit
	}
	return HighLimit
}

// worseLimit is the limit towards which a value goes as its device grows dirty or old.
func worseLimit(sheet *sootline.TypeSheet) Limit {
	if side := dirtSide(sheet); side != NoLimit {
		return side
	}
	return LowLimit
}
