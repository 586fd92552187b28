package ducts

import "sootline"

// kind is a type of device: what its sheet says, and how it responds.
type kind struct {
	sheet      sootline.TypeSheet
	rest       float64 // of a clean unit, and how units differ
	restSD     float64
	low, high  float64 // its band
	up         bool    // dirt moves it up
	bottom     float64 // ends of its scale
	top        float64
	step       float64 // it is shown in steps of this
	noise      float64 // standard deviation of a reading about the level
	fills      float64 // where its response saturates; 0: never
	catches    float64 // how much faster it catches dust when it is full
	reserve    float64 // dust that compensation hides
	share      bool    // what is shown is the share of the reserve used
	limitShare float64 // of it, the limit of the band
	ages       float64 // rooms of the band a year that a cell loses
	rescale    *rescale
}

// rescale is a change of the scale that a type is shown on: value * times + plus.
type rescale struct {
	on          int // the week
	times, plus float64
	noted       bool
}

// The types of the world. Widths and directions of scales are those that panels commonly show (common
// practice, no source); bands and rests are invented.
func counts() kind {
	return kind{rest: 26, restSD: 1.5, low: 14, high: 62, up: true, top: 255, step: 1, noise: 0.9}
}

func falling() kind {
	return kind{rest: 880, restSD: 12, low: 620, high: 960, top: 1023, step: 1, noise: 7}
}

func percent() kind {
	return kind{rest: 12, restSD: 1.2, low: 4, high: 70, up: true, top: 100, step: 1, noise: 1.1}
}

// obscuration: the smoke that an alarm takes; dirt makes it less.
func obscuration() kind {
	return kind{rest: 3.3, restSD: 0.12, low: 1.6, high: 4.4, top: 10, step: 0.01, noise: 0.05}
}

func saturating() kind {
	k := falling()
	k.rest, k.low, k.high, k.noise, k.fills = 790, 410, 900, 6, 1.5
	return k
}

func saturatingShort() kind { // it ends just inside its band
	k := counts()
	k.fills = 0.95
	return k
}

func greedy() kind {
	k := percent()
	k.catches = 2.5
	return k
}

func compensated() kind {
	k := counts()
	k.rest, k.restSD, k.high, k.noise, k.reserve = 30, 0.8, 58, 0.7, 0.9
	return k
}

func compensatedFalling() kind {
	k := falling()
	k.restSD, k.reserve = 5, 0.6
	return k
}

func reserveUsed() kind {
	return kind{low: 0, high: 80, rest: 2, restSD: 0.5, up: true, top: 100, step: 1, noise: 0.6, reserve: 1.3, share: true, limitShare: 0.8}
}

func cell() kind {
	return kind{rest: 310, restSD: 8, low: 190, high: 380, top: 500, step: 1, noise: 4, ages: 0.13}
}

// named writes the sheet of a type.
func (k kind) named(d dice, name string) *kind {
	s := sootline.TypeSheet{Name: name, Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(k.low), High: new(k.high)}}}
	if !k.up {
		s.Worse = sootline.Downwards
	}
	switch {
	case k.ages > 0:
		s.Kind, s.Worse = sootline.Gas, sootline.AsKind
	case k.share:
		s.Quantity, s.Unit, s.Compensated = sootline.CompensationUsed, "%", true
	case k.step < 1:
		s.Quantity, s.Unit = "sensitivity", "%/m"
	case k.reserve > 0:
		s.Compensated = true
		s.Others = []sootline.Quantity{{Name: sootline.CompensationUsed, Unit: "%", Bands: []sootline.Band{{Low: new(0.0), High: new(80.0)}}}}
	}
	if d.chance(0.4) {
		s.PooledSD = new(k.noise)
	}
	if d.chance(0.5) {
		s.FactoryRest = new(k.rest)
	}
	k.sheet = s
	return &k
}

// room is what lies between rest and limit.
func (k *kind) room() float64 {
	if k.up {
		return k.high - k.rest
	}
	return k.rest - k.low
}

// shown gives the level for a response, of a unit that rests so.
func (k *kind) shown(rest, response float64) float64 {
	if !k.up {
		response = -response
	}
	return min(k.top, max(k.bottom, rest+response*k.room()))
}
