package sootline

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"time"
)

// MeasuredKind is the kind of [Measured].
const MeasuredKind Kind = "measured"

// Measured is what meters showed of a loop on one occasion. It replaces nothing: what
// changes between two of them is what they are kept for. Fields that are nil were not measured.
type Measured struct {
	Panel          string   `json:"panel" form:"panel"`
	Loop           string   `json:"loop" form:"loop"`
	Occasion       Occasion `json:"occasion,omitempty" form:"on which occasion"`
	PlusOhms       *float64 `json:"plus_ohms,omitempty" form:"plus core end to end, unplugged at both ends, in ohm" unit:"ohm" over:"plus_over"`
	MinusOhms      *float64 `json:"minus_ohms,omitempty" form:"minus core end to end, unplugged at both ends, in ohm" unit:"ohm" over:"minus_over"`
	PlusEarth      *float64 `json:"plus_earth_mohm,omitempty" form:"insulation of the plus core to earth, devices disconnected, in megohm" unit:"Mohm" over:"plus_earth_over"`
	MinusEarth     *float64 `json:"minus_earth_mohm,omitempty" form:"insulation of the minus core to earth, devices disconnected, in megohm" unit:"Mohm" over:"minus_earth_over"`
	TestVolts      *float64 `json:"test_volts,omitempty" form:"volts of the insulation tester" unit:"V"`
	OutVolts       *float64 `json:"out_volts,omitempty" form:"volts at the OUT terminals, at rest" unit:"V" danger:""`
	FarVolts       *float64 `json:"far_volts,omitempty" form:"volts at the end of the cable to IN, unplugged there, at rest" unit:"V" danger:""`
	RestMA         *float64 `json:"rest_ma,omitempty" form:"current of the whole loop at rest, in mA" unit:"mA"`
	Celsius        *float64 `json:"celsius,omitempty" form:"temperature along the cable, in °C" unit:"°C"`
	MeterPercent   *float64 `json:"meter_percent,omitempty" form:"error of the meter, in per cent of a reading" unit:"%" seldom:""`
	PlusOver       bool     `json:"plus_over,omitempty" form:"-"` // the meter was over its range: the core has at least so much; so with those beside it
	MinusOver      bool     `json:"minus_over,omitempty" form:"-"`
	PlusEarthOver  bool     `json:"plus_earth_over,omitempty" form:"-"`
	MinusEarthOver bool     `json:"minus_earth_over,omitempty" form:"-"`
	MeterDigit     *float64 `json:"meter_digit,omitempty" form:"and in ohm, V or mA beside it" seldom:""`
	Text           string   `json:"text,omitempty" form:"in words"`
}

// Occasion says when in the life of a loop something was measured.
type Occasion string

// The occasions (common practice, no source).
const (
	Commissioning Occasion = "commissioning"
	AtService     Occasion = "service"
	AfterWork     Occasion = "work" // the loop was worked on
)

func (Occasion) choices() []Choice {
	return []Choice{
		{string(Commissioning), "commissioning"},
		{string(AtService), "a service"},
		{string(AfterWork), "after work on the loop"},
	}
}

// Kind is MeasuredKind.
func (Measured) Kind() Kind { return MeasuredKind }

// LoopID names the loop.
func (m Measured) LoopID() LoopID { return LoopID{CleanName(m.Panel), CleanName(m.Loop)} }

func (m Measured) say() string {
	parts := []string{"measured on loop " + m.Panel + "." + m.Loop, labelledText("at", string(m.Occasion))}
	for _, f := range m.figures() {
		if f.is != nil {
			parts = append(parts, fmt.Sprintf("%s %s%s %s", f.label, overMark(f.over), figureText(*f.is), f.unit))
		}
	}
	return Joined(append(parts, m.Text)...)
}

// overMark is written before a figure that is over the range of its meter.
func overMark(over bool) string {
	if over {
		return "more than "
	}
	return ""
}

// measuredFigure is a figure of a [Measured] as it is said.
type measuredFigure struct {
	label, unit string
	is          *float64
	result      bool // it is what was measured, and not what it was measured with
	over        bool // the meter was over its range: it is at least so much
}

func (m *Measured) figures() []measuredFigure {
	return []measuredFigure{
		{"plus core", "ohm", m.PlusOhms, true, m.PlusOver},
		{"minus core", "ohm", m.MinusOhms, true, m.MinusOver},
		{"plus core to earth", "Mohm", m.PlusEarth, true, m.PlusEarthOver},
		{"minus core to earth", "Mohm", m.MinusEarth, true, m.MinusEarthOver},
		{"by", "V", m.TestVolts, false, false},
		{"at OUT", "V", m.OutVolts, true, false},
		{"at the far end", "V", m.FarVolts, true, false},
		{"at rest", "mA", m.RestMA, true, false},
		{"at", "°C", m.Celsius, false, false},
		{"meter", "%", m.MeterPercent, false, false},
		{"and", "in the last digit", m.MeterDigit, false, false},
	}
}

func (m Measured) check() error {
	if m.Panel == "" || m.Loop == "" {
		return Errorf(Invalid, "", "what was measured needs the name of its panel and loop")
	}
	for _, f := range m.figures() {
		switch {
		case f.is == nil && f.over:
			return Errorf(Invalid, "give the range, as >500", "the meter was over its range at the %s, and up to how much it goes is not said", f.label)
		case f.is == nil:
		case f.unit == "°C":
			if !finite(*f.is) || *f.is < -60 || *f.is > 150 {
				return Errorf(Invalid, "", "the temperature of a cable lies between -60 and 150 degrees, found %v", *f.is)
			}
		case *f.is < 0 && f.result && f.unit == "V":
			return Errorf(Invalid, "hold the red lead to plus and the black one to minus, and read again; if it stands, plus and minus are changed over: find where, and mend it before anything is plugged in", "%v V %s is reversed polarity", *f.is, f.label)
		case *f.is < 0 && f.unit == "mA":
			return Errorf(Invalid, "turn the clamp round, or swap the leads, and read again", "%v mA %s is a current that flows the other way", *f.is, f.label)
		case !finite(*f.is) || *f.is < 0 || *f.is > 1e9:
			return Errorf(Invalid, "", "what a meter shows is a number from 0 to 1000000000, found %v", *f.is)
		}
	}
	return nil
}

// checkNew refuses a loop that no reference could name, what tells of nothing measured, and
// what contradicts itself.
func (m Measured) checkNew() error {
	some := false
	for _, f := range m.figures() {
		some = some || f.result && f.is != nil
	}
	switch {
	case !some:
		return Errorf(Invalid, "give at least one of ohms, insulation, volts and current", "nothing that was measured is said")
	case known(m.OutVolts) >= DangerousVolts || known(m.FarVolts) >= DangerousVolts:
		return Errorf(Invalid, "stop: hands off the cores, and find with the mains off what feeds them", "%v V on a loop are dangerous, and come from no panel", max(known(m.OutVolts), known(m.FarVolts)))
	case m.PlusOhms != nil && *m.PlusOhms == 0 || m.MinusOhms != nil && *m.MinusOhms == 0:
		return Errorf(Invalid, "unplug the core at both ends, and take the leads' own ohms off", "no core has 0 ohm from end to end: the leads touched, or were held to one end")
	case known(m.TestVolts) > 1000:
		return Errorf(Invalid, "for example 500", "no cable of a loop is tested by %v V", *m.TestVolts)
	case known(m.RestMA) > 1000:
		return Errorf(Invalid, "give it in milliamperes", "no loop draws %v mA at rest", *m.RestMA)
	case m.OutVolts != nil && m.FarVolts != nil && *m.FarVolts-*m.OutVolts > m.between(*m.OutVolts+*m.FarVolts):
		return Errorf(Invalid, "the far end is fed from OUT alone, so it has no more", "%v V at the far end are more than %v V at OUT, which contradict each other", *m.FarVolts, *m.OutVolts)
	case m.MeterPercent != nil && *m.MeterPercent > 50:
		return Errorf(Invalid, "for example 1", "a meter that errs by %v per cent tells nothing", *m.MeterPercent)
	case m.Occasion != "" && !slices.ContainsFunc(m.Occasion.choices(), func(c Choice) bool { return c.Value == string(m.Occasion) }):
		return Errorf(Invalid, "it is commissioning, service or work", "%q is no occasion of measuring", clip(string(m.Occasion)))
	}
	return checkLoopNamed(m.Panel, m.Loop)
}

// DangerousVolts are volts of direct current from which hands stay off bare cores: up to 60 V they may be touched where it is
// dry (IEC 60364-4-41, from memory).
const DangerousVolts = 60

// between is by how much two readings of volts may differ by the meter alone; 1 % and 0.1 V each where nobody says (ours).
func (m *Measured) between(sum float64) float64 {
	percent, digit := 1.0, 0.1
	if m.MeterPercent != nil {
		percent = *m.MeterPercent
	}
	if m.MeterDigit != nil {
		digit = *m.MeterDigit
	}
	return sum*percent/100 + 2*digit
}

// Measuring is what was measured of a loop, when, and on which cable.
type Measuring struct {
	Measured
	At    time.Time
	Entry ID
	On    WrittenCable
}

// WrittenCable is what the log said of a loop's cable at an instant: where it differs
// between two measurings, the two were not of the same cable.
type WrittenCable struct {
	Points       int     // on the loop
	Metres       float64 // of cable before them, where known
	MM2          float64 // 0: not known
	AWG          int     // 0: not known
	UsualMetres  float64 // where the schedule has none
	ReturnMetres float64 // 0: not known
}

// Changed reports whether what was known of a cable is written otherwise now. What was not known and was learned since is no change.
func (w WrittenCable) Changed(now WrittenCable) bool {
	of := func(c *WrittenCable) []float64 {
		return []float64{float64(c.Points), c.Metres, c.MM2, float64(c.AWG), c.UsualMetres, c.ReturnMetres}
	}
	is := of(&now)
	for i, was := range of(&w) {
		if was != 0 && was != is[i] {
			return true
		}
	}
	return false
}

// WrittenCable gives what was said of a loop's cable so far.
func (r *Register) WrittenCable(id LoopID) WrittenCable {
	var w WrittenCable
	var mm int64 // points are in no order: whole millimetres add up to the same in any
	for _, p := range r.points {
		if !p.Placed || p.Removed != nil || p.LoopID() != id {
			continue
		}
		w.Points++
		if p.Metres != nil {
			mm += int64(math.Round(1000 * *p.Metres))
		}
	}
	w.Metres = float64(mm) / 1000
	if s := r.supplies[id]; s != nil {
		w.MM2, w.AWG, w.UsualMetres = s.MM2, s.AWG, s.UsualMetres
		if s.ReturnMetres != nil {
			w.ReturnMetres = *s.ReturnMetres
		}
	}
	return w
}

// Measured lists what was measured of a loop, in order of time.
func (r *Register) Measured(id LoopID) []Measuring { return r.measured[id] }

// LoopsMeasured lists the loops of which something was measured, by panel and name.
func (r *Register) LoopsMeasured() []LoopID {
	return slices.SortedFunc(maps.Keys(r.measured), func(a, b LoopID) int {
		return cmp.Or(compareNames(a.Panel, b.Panel), compareNames(a.Name, b.Name))
	})
}

func (m Measured) fold(r *Register, e *Entry) {
	id := m.LoopID()
	r.measured[id] = append(r.measured[id], Measuring{m, e.At, e.ID, r.WrittenCable(id)})
	r.happened(e, Event{At: e.At, Kind: MeasuredKind, Text: m.Text, Entry: e})
}
