package instruments

import (
	"math"

	"sootline"
)

// scale is what a type shows, and where it should lie.
type scale struct {
	name           string
	kind           sootline.DeviceKind
	quantity, unit string
	top            float64 // what it can show: 0 to this
	rest           float64 // of a clean unit
	limit          float64 // of the band, on the side to which dirt moves the value
	other          float64 // limit of the band on the other side
	step           float64 // the finest that is shown
	compensated    bool
	telling        bool // the sheet says which way dirt moves the value, and where a clean unit rests
}

// scales are several widths, rising and falling. The figures are ours; that a sensor's share of its alarm
// level, converter counts, a current or a sensitivity may be shown is common practice, no source.
func scales() []scale {
	return []scale{
		{name: "SM-100", kind: sootline.Smoke, quantity: "level", unit: "%", top: 100, rest: 18, limit: 55, other: 5, step: 1},
		{name: "SM-255", kind: sootline.Smoke, top: 255, rest: 47, limit: 112, other: 22, step: 1},
		{name: "SM-1023", kind: sootline.Smoke, unit: "counts", top: 1023, rest: 190, limit: 610, other: 60, step: 1, telling: true},
		{name: "MA-20", kind: sootline.Multi, unit: "mA", top: 20, rest: 4.2, limit: 7.4, other: 3.5, step: 0.01},
		{name: "BEAM-1023", kind: sootline.Smoke, quantity: "received light", top: 1023, rest: 840, limit: 540, other: 960, step: 1, telling: true},
		{name: "SENS-6", kind: sootline.Smoke, quantity: "sensitivity", unit: "%/m", top: 9.99, rest: 3.3, limit: 1.9, other: 4.4, step: 0.01, telling: true},
		{name: "CO-100", kind: sootline.Gas, quantity: "cell output", unit: "%", top: 150, rest: 96, limit: 60, other: 115, step: 1},
		{name: "HEAT-255", kind: sootline.Heat, top: 255, rest: 88, limit: 130, other: 50, step: 1},
		{name: "COMP-255", kind: sootline.Smoke, top: 255, rest: 60, limit: 120, other: 35, step: 1, compensated: true},
		{name: "USED-100", kind: sootline.Smoke, quantity: sootline.CompensationUsed, unit: "%", top: 100, rest: 4, limit: 80, other: 0, step: 1, compensated: true},
	}
}

func scaleNamed(name string) *scale {
	for _, s := range scales() {
		if s.name == name {
			return &s
		}
	}
	panic("no scale " + name)
}

// span is the way from rest to limit; below zero where dirt lowers the value.
func (s *scale) span() float64 { return s.limit - s.rest }

// hides reports whether the device corrects its drift until it can no more. One that tells how much of its
// compensation is used hides nothing.
func (s *scale) hides() bool { return s.compensated && s.quantity != sootline.CompensationUsed }

// shows gives what a level in rooms looks like on the scale; it ends where the scale ends.
func (s *scale) shows(rooms float64) float64 {
	return math.Max(0, math.Min(s.top, s.rest+s.span()*rooms))
}

// rooms is the way back.
func (s *scale) rooms(value float64) float64 { return (value - s.rest) / s.span() }

// sheet is the type sheet, on the scale that a rescaling gives.
func (s *scale) sheet(to rescaling) sootline.Sheet {
	low, high := to.of(min(s.limit, s.other)), to.of(max(s.limit, s.other))
	sheet := sootline.TypeSheet{
		Name: s.name, Kind: s.kind, Quantity: s.quantity, Unit: s.unit, Compensated: s.compensated,
		Bands: []sootline.Band{{Low: &low, High: &high}}, Worse: sootline.Upwards,
	}
	if s.span() < 0 {
		sheet.Worse = sootline.Downwards
	}
	if s.telling {
		rest := to.of(s.rest)
		sheet.FactoryRest = &rest
	}
	return sootline.Sheet{TypeSheet: sheet}
}

// rescaling is what firmware makes of what it showed before: gain times the value, and an offset.
type rescaling struct{ gain, offset float64 }

var unscaled = rescaling{gain: 1}

func (r rescaling) of(value float64) float64 { return r.gain*value + r.offset }

func (r rescaling) back(value float64) float64 { return (value - r.offset) / r.gain }
