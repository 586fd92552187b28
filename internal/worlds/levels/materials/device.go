package materials

import (
	"math"
	"time"

	"sootline"
)

// device is a type of detector.
type device struct {
	name        string
	kind        sootline.DeviceKind
	unit        string
	worse       sootline.Direction
	scale       scale
	compensated bool
	cell        bool // no chamber: nothing settles in it, it only ages
}

// scale is how a type shows its level.
type scale struct {
	full, rest, low, high float64
	step                  float64 // values are rounded to it
	noise                 float64 // standard deviation of a look in dry air, in its unit
	floor                 float64 // the least that it shows
}

// made is a type as it is used at a site.
type made struct {
	device
	after   scale     // since the change; as before where there was none
	changed time.Time // when firmware changed its scale; zero: never
	told    *scale    // of the sheet that holds at the end
}

// shown is the scale on which it shows at a time.
func (m *made) shown(t time.Time) *scale {
	if m.changed.IsZero() || t.Before(m.changed) {
		return &m.scale
	}
	return &m.after
}

// devices lists the types of this world: scales of several widths, rising and falling. All are invented.
func devices() []device {
	up, down := sootline.Upwards, sootline.Downwards
	return []device{
		{name: "MT counts", kind: sootline.Smoke, unit: "counts", worse: up, scale: scale{1023, 236, 170, 430, 1, 4, 0}},
		{name: "MT percent", kind: sootline.Smoke, unit: "%", worse: up, scale: scale{100, 24, 14, 48, 1, 0.8, 0}},
		{name: "MT falling", kind: sootline.Smoke, unit: "counts", worse: down, scale: scale{255, 168, 96, 190, 1, 1.6, 0}},
		{name: "MT pair", kind: sootline.Multi, unit: "counts", worse: down, scale: scale{1023, 702, 480, 770, 1, 5, 0}},
		{name: "MT volts", kind: sootline.Smoke, unit: "V", worse: up, scale: scale{5, 1.1, 0.7, 2.3, 0.01, 0.025, 0}},
		{name: "MT levelled", kind: sootline.Smoke, unit: "%", worse: up, scale: scale{100, 30, 22, 50, 1, 0.6, 0}, compensated: true},
		{name: "MT cell", kind: sootline.Gas, unit: "counts", worse: down, scale: scale{200, 120, 84, 138, 1, 1.2, 0}, cell: true},
	}
}

// value shows a share of the way to the worse edge.
func (s *scale) value(worse sootline.Direction, share float64) float64 {
	return min(s.full, max(s.floor, s.rest+share*s.way(worse)))
}

// share is how much of the way to the worse edge a value is.
func (s *scale) share(worse sootline.Direction, value float64) float64 {
	return (value - s.rest) / s.way(worse)
}

// way leads from rest to the worse edge.
func (s *scale) way(worse sootline.Direction) float64 {
	if worse == sootline.Downwards {
		return s.low - s.rest
	}
	return s.high - s.rest
}

// round gives a value as a panel shows it.
func (s *scale) round(value float64) float64 {
	perStep := math.Round(1 / s.step)
	return math.Round(min(s.full, max(s.floor, value))*perStep) / perStep
}

func (s *scale) outside(value float64) bool { return value < s.low || value > s.high }

// rescaled is the scale after firmware that shows m times the value and c more.
func (s *scale) rescaled(m, c float64) scale {
	return scale{s.full*m + c, s.rest*m + c, s.low*m + c, s.high*m + c, s.step, s.noise * m, c}
}

func (d *device) sheet(on *scale) sootline.Sheet {
	rest, low, high := on.rest, on.low, on.high
	return sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: d.name, Kind: d.kind, Unit: d.unit, Worse: d.worse, Compensated: d.compensated, FactoryRest: &rest,
		Bands: []sootline.Band{{Low: &low, High: &high}},
	}}
}
