package sootline

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// RadialKind is the kind of [Radial].
const RadialKind Kind = "radial"

// Radial states a circuit that leaves a panel and does not come back: its devices in the order of the cable, and the
// end-of-line resistor by whose current the panel sees that it is whole. A later one of the same name replaces it whole.
// Fields that are zero or nil are not known.
type Radial struct {
	Panel      string         `json:"panel" form:"panel"`
	Circuit    string         `json:"circuit" form:"name of the circuit"`
	Serves     RadialUse      `json:"serves,omitempty" form:"what hangs on it"`
	Volts      float64        `json:"volts" form:"volts at the panel in alarm, as a rule"`
	LowVolts   float64        `json:"low_volts,omitempty" form:"there with the battery at its lowest"`
	HighVolts  float64        `json:"high_volts,omitempty" form:"there at the highest charge"`
	RestVolts  float64        `json:"rest_volts,omitempty" form:"volts at rest, where they differ"`
	SourceOhms *float64       `json:"source_ohms,omitempty" form:"resistance of each core inside the panel, in ohm"`
	LimitMA    float64        `json:"limit_ma,omitempty" form:"what the circuit can give, in mA"`
	EndOhms    float64        `json:"end_ohms,omitempty" form:"end-of-line resistor, in ohm"`
	EndPercent float64        `json:"end_percent,omitempty" form:"error of the resistor, in per cent"`
	BandLowMA  float64        `json:"band_low_ma,omitempty" form:"below so many mA at rest the panel tells of a break"`
	BandHighMA float64        `json:"band_high_ma,omitempty" form:"above so many mA it tells of a short"`
	MM2        float64        `json:"mm2,omitempty" form:"cross-section of a core, in mm²"`
	AWG        int            `json:"awg,omitempty" form:"or its American wire gauge"`
	Celsius    *float64       `json:"celsius,omitempty" form:"temperature of the cable, in °C"`
	LeastVolts float64        `json:"least_volts,omitempty" form:"least working volts of devices that have none of their own"`
	Devices    []RadialDevice `json:"devices" form:"devices, in the order of the cable"`
}

// RadialDevice is one device of a radial circuit.
type RadialDevice struct {
	Name       string   `json:"name"`
	From       string   `json:"from,omitempty"` // the device of the trunk that its spur hangs from; empty: on the trunk
	Metres     float64  `json:"metres"`         // of the cable that leads to it
	RestMA     *float64 `json:"rest_ma,omitempty"`
	AlarmMA    *float64 `json:"alarm_ma,omitempty"`
	LeastVolts float64  `json:"least_volts,omitempty"`
}

// RadialUse says what hangs on a radial circuit.
type RadialUse string

// The uses (common practice, no source).
const (
	SounderCircuit RadialUse = "sounders"
	ZoneCircuit    RadialUse = "zone" // conventional detectors and call points
	OutputCircuit  RadialUse = "outputs"
)

func (RadialUse) choices() []Choice {
	return []Choice{
		{string(SounderCircuit), "sounders"},
		{string(ZoneCircuit), "a conventional zone"},
		{string(OutputCircuit), "outputs"},
	}
}

// Kind is RadialKind.
func (Radial) Kind() Kind { return RadialKind }

// ID names the circuit as a loop is named.
func (c Radial) ID() LoopID { return LoopID{CleanName(c.Panel), CleanName(c.Circuit)} }

func (c Radial) say() string {
	parts := []string{"radial circuit " + c.Panel + "." + c.Circuit, string(c.Serves), figure(c.Volts, "V")}
	for _, d := range c.Devices {
		parts = append(parts, d.String())
	}
	return Joined(append(parts, rest(c, "panel", "circuit", "serves", "volts", "devices"))...)
}

// String writes a device as it is typed.
func (d RadialDevice) String() string {
	text := d.Name
	if d.From != "" {
		text += " from " + d.From
	}
	text += " = " + figureText(d.Metres) + " m"
	if d.RestMA != nil && d.AlarmMA != nil {
		text += ", " + figureText(*d.RestMA) + " / " + figureText(*d.AlarmMA) + " mA"
	}
	return text + labelledFigure(", from ", d.LeastVolts, "V")
}

func labelledFigure(label string, x float64, unit string) string {
	if x == 0 {
		return ""
	}
	return label + figure(x, unit)
}

func (c Radial) check() error {
	if c.Panel == "" || c.Circuit == "" {
		return Errorf(Invalid, "", "a radial circuit needs the name of its panel and its own")
	}
	if !finite(c.Volts) || c.Volts <= 0 {
		return Errorf(Invalid, "", "the volts at the panel are a number above 0, found %v", c.Volts)
	}
	figures := []float64{c.LowVolts, c.HighVolts, c.RestVolts, c.LimitMA, c.EndOhms, c.EndPercent, c.BandLowMA, c.BandHighMA, c.MM2, float64(c.AWG), c.LeastVolts}
	for _, d := range c.Devices {
		figures = append(figures, d.Metres, d.LeastVolts)
		figures = append(figures, known(d.RestMA), known(d.AlarmMA))
	}
	for _, x := range append(figures, known(c.SourceOhms)) {
		if !finite(x) || x < 0 || x > 1e9 {
			return Errorf(Invalid, "", "a figure of a radial circuit is a number from 0 to 1000000000, found %v", x)
		}
	}
	if c.Celsius != nil && (!finite(*c.Celsius) || *c.Celsius < -60 || *c.Celsius > 150) {
		return Errorf(Invalid, "", "the temperature of a cable lies between -60 and 150 degrees, found %v", *c.Celsius)
	}
	return nil
}

func known(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}

// checkNew refuses what no reference could name, what contradicts itself, and what cannot be calculated.
func (c Radial) checkNew() error {
	if err := checkLoopNamed(c.Panel, c.Circuit); err != nil {
		return err
	}
	if err := CheckEndVolts(c.LowVolts, c.Volts, c.HighVolts); err != nil {
		return err
	}
	if err := checkLeastVolts(c.LeastVolts, c.Volts); err != nil {
		return err
	}
	switch {
	case c.Serves != "" && !slices.ContainsFunc(c.Serves.choices(), func(one Choice) bool { return one.Value == string(c.Serves) }):
		return Errorf(Invalid, "it is sounders, zone or outputs", "%q is nothing that hangs on a radial circuit", clip(string(c.Serves)))
	case c.MM2 == 0 && c.AWG == 0:
		return Errorf(Invalid, "for example 1.5 mm2 or 16 AWG", "the cross-section or the gauge of the circuit's cable is not known, and is needed")
	case c.MM2 > 0 && c.AWG > 0:
		return Errorf(Invalid, "give one of them", "the cable of a radial circuit has a cross-section or a gauge, and not both")
	case c.MM2 > 0 && !slices.Contains(MetricSizes(), c.MM2):
		return Errorf(Invalid, "the table holds "+numbered(MetricSizes())+" mm2", "no resistance is known for a cross-section of %v mm2", c.MM2)
	case c.AWG > 0 && !slices.Contains(GaugeSizes(), c.AWG):
		return Errorf(Invalid, "the table holds "+numbered(GaugeSizes())+" AWG", "no resistance is known for %d AWG", c.AWG)
	case c.BandHighMA > 0 && c.BandLowMA >= c.BandHighMA:
		return Errorf(Invalid, "a break draws less, a short more", "the panel tells of a break below %v mA and of a short above %v mA, which contradict each other", c.BandLowMA, c.BandHighMA)
	case c.EndPercent > 50:
		return Errorf(Invalid, "for example 5", "a resistor that is off by %v per cent tells nothing", c.EndPercent)
	case len(c.Devices) == 0 || len(c.Devices) > 250:
		return Errorf(Invalid, "", "a radial circuit has 1 to 250 devices, found %d", len(c.Devices))
	}
	return c.checkDevices()
}

// mostDeviceMA is more than any one device of a radial circuit draws: a judgement of ours, no source.
const mostDeviceMA = 3000

// checkDevices refuses two devices of one name, cable without metres, and a spur from nowhere or from a spur.
func (c Radial) checkDevices() error {
	trunk, names := []string{}, []string{}
	for _, d := range c.Devices {
		switch {
		case strings.TrimSpace(d.Name) == "" || slices.Contains(names, d.Name):
			return Errorf(Invalid, "", "each device of a circuit has a name of its own, found %q twice or empty", clip(d.Name))
		case d.Metres <= 0:
			return Errorf(Invalid, "give the metres of cable that lead to it", "the cable to %q has %v m", clip(d.Name), d.Metres)
		case (d.RestMA == nil) != (d.AlarmMA == nil):
			return Errorf(Invalid, "give both, at rest and in alarm", "what %q draws is half known", clip(d.Name))
		case d.RestMA != nil && *d.AlarmMA < *d.RestMA:
			return Errorf(Invalid, "they are typed at rest / in alarm", "%q draws %v mA at rest and only %v mA in alarm, which contradict each other", clip(d.Name), *d.RestMA, *d.AlarmMA)
		case d.AlarmMA != nil && *d.AlarmMA > mostDeviceMA:
			return Errorf(Invalid, "give it in milliamperes", "%q draws %v mA, more than a device of a circuit of signals", clip(d.Name), *d.AlarmMA)
		case d.LeastVolts > c.Volts:
			return checkLeastVolts(d.LeastVolts, c.Volts)
		case d.From != "" && !slices.Contains(trunk, d.From):
			return Errorf(Invalid, "a spur hangs from a device of the trunk that stands before it in the list", "the spur to %q comes from %q", clip(d.Name), clip(d.From))
		}
		if names = append(names, d.Name); d.From == "" {
			trunk = append(trunk, d.Name)
		}
	}
	return nil
}

// KeptRadial is a radial circuit with the entry that states it.
type KeptRadial struct {
	Radial
	Entry ID
}

// Radial gives a radial circuit, or nil when nobody stated it.
func (r *Register) Radial(id LoopID) *KeptRadial { return r.radials[id] }

// Radials lists the radial circuits by panel and name; of all panels where none is named.
func (r *Register) Radials(panel string) []*KeptRadial {
	all := slices.Collect(maps.Values(r.radials))
	all = slices.DeleteFunc(all, func(c *KeptRadial) bool { return panel != "" && c.ID().Panel != panel })
	slices.SortFunc(all, func(a, b *KeptRadial) int { return strings.Compare(fmt.Sprint(a.ID()), fmt.Sprint(b.ID())) })
	return all
}

func (c Radial) fold(r *Register, e *Entry) { r.radials[c.ID()] = &KeptRadial{c, e.ID} }

func (c Radial) facts() []FactSaid { return oneFact("the circuit "+c.Panel+"."+c.Circuit, c) }
