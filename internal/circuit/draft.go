package circuit

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"sootline"
)

// Draft is a loop with gaps, as a register knows it or as a what-if file says it. What is nil is not known, and
// [Draft.Loop] fills it from Default and says so. The file is this structure as JSON.
type Draft struct {
	Name    string       `json:"name,omitempty"`
	Out     DraftEnd     `json:"out"`
	In      *DraftEnd    `json:"in,omitempty"` // nil: like Out
	Default Default      `json:"default"`
	Points  []DraftPoint `json:"points"`
	Return  DraftCable   `json:"return"`
}

// DraftEnd is a pair of the panel's terminals.
type DraftEnd struct {
	Volts     *float64 `json:"volts,omitempty"`
	PlusOhms  float64  `json:"plus_ohms,omitempty"`
	MinusOhms float64  `json:"minus_ohms,omitempty"`
	LimitMA   float64  `json:"limit_ma,omitempty"`
}

// Default is what a site takes where nothing is known; all of it is needed.
type Default struct {
	Volts       float64 `json:"volts"`
	Metres      float64 `json:"metres"`
	MM2         float64 `json:"mm2"`
	Celsius     float64 `json:"celsius"`
	RestMA      float64 `json:"rest_ma"`
	AlarmMA     float64 `json:"alarm_ma"`
	LeastVolts  float64 `json:"least_volts"`
	IsolatorOhm float64 `json:"isolator_ohm"`
}

// DraftCable is a cable, from the point before or back to the panel.
type DraftCable struct {
	Metres    *float64 `json:"metres,omitempty"`
	MM2       *float64 `json:"mm2,omitempty"`
	AWG       int      `json:"awg,omitempty"`
	OhmsPerKm float64  `json:"ohms_per_km,omitempty"`
	Tinned    bool     `json:"tinned,omitempty"`
	Flexible  bool     `json:"flexible,omitempty"`
	Stranded  bool     `json:"stranded,omitempty"`
	Celsius   *float64 `json:"celsius,omitempty"`
	PlusOhms  float64  `json:"plus_ohms,omitempty"`  // as measured
	MinusOhms float64  `json:"minus_ohms,omitempty"` // as measured
}

// DraftPoint is a point with its cable and its isolator.
type DraftPoint struct {
	Name string `json:"name"`
	Spur string `json:"spur,omitempty"`
	DraftCable
	Junction    bool       `json:"junction,omitempty"`
	Rest        *DraftLoad `json:"rest,omitempty"`
	Alarm       *DraftLoad `json:"alarm,omitempty"`
	LeastVolts  *float64   `json:"least_volts,omitempty"`
	Isolator    string     `json:"isolator,omitempty"` // after, before, base, branch; empty: none
	IsolatorOhm *float64   `json:"isolator_ohm,omitempty"`
	BothCores   bool       `json:"isolator_both_cores,omitempty"` // its resistance is in each core; else in plus only
	Zone        string     `json:"zone,omitempty"`
	Floor       string     `json:"floor,omitempty"`
	AreaM2      float64    `json:"area_m2,omitempty"`
	Counted     bool       `json:"counted,omitempty"`
}

// DraftLoad is one of milliamps, ohms and watts.
type DraftLoad struct {
	MA   float64 `json:"ma,omitempty"`
	Ohms float64 `json:"ohms,omitempty"`
	W    float64 `json:"w,omitempty"`
}

// Gap is something that was not known, with what was taken instead.
type Gap struct {
	Where string // the point, or OUT, IN, return
	What  string // such as "metres"
	Taken string // such as "10.0 m"
}

// mostDraft bounds a what-if file.
const mostDraft = 4 << 20

// ReadDraft reads a what-if file.
func ReadDraft(r io.Reader) (*Draft, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostDraft+1))
	if err != nil {
		return nil, fmt.Errorf("read the loop: %w", err)
	}
	if len(text) > mostDraft {
		return nil, invalid("a file for a loop has at most %d bytes", mostDraft)
	}
	var d Draft
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&d); err != nil {
		return nil, draftError(text, decoder.InputOffset(), err)
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return nil, draftError(text, decoder.InputOffset(), errors.New("something follows the loop"))
	}
	return &d, nil
}

// draftError says in which line reading stopped.
func draftError(text []byte, at int64, err error) error {
	if e, ok := errors.AsType[*json.SyntaxError](err); ok {
		at = e.Offset
	}
	if e, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		at = e.Offset
		err = fmt.Errorf("%s cannot be a %s", e.Field, e.Value)
	}
	line := 1 + bytes.Count(text[:min(at, int64(len(text)))], []byte("\n"))
	return sootline.Errorf(sootline.Invalid, "", "the loop, line %d: %s", line, strings.TrimPrefix(err.Error(), "json: "))
}

// filler fills a draft's gaps and keeps count.
type filler struct {
	Default
	gaps []Gap
}

func (f *filler) number(value *float64, otherwise float64, where, what, unit string) float64 {
	if value != nil {
		return *value
	}
	f.gaps = append(f.gaps, Gap{where, what, fmt.Sprintf("%g %s", otherwise, unit)})
	return otherwise
}

// Loop fills the gaps and gives the loop with the list of them.
func (d *Draft) Loop() (Loop, []Gap, error) {
	f := &filler{Default: d.Default}
	in := d.In
	if in == nil {
		in = &d.Out
	}
	l := Loop{Name: d.Name, Out: f.end(&d.Out, "OUT"), Return: f.cable(&d.Return, "return")}
	if l.In = f.end(in, "IN"); d.In == nil && d.Out.Volts == nil {
		f.gaps = f.gaps[:len(f.gaps)-1] // one gap, not two
	}
	for i := range d.Points {
		p := &d.Points[i]
		l.Points = append(l.Points, f.point(p))
		if p.Isolator == "" {
			continue
		}
		side, ok := map[string]Side{"after": After, "before": Before, "base": Base, "branch": Branch}[p.Isolator]
		if !ok {
			return l, nil, invalid("%s: its isolator is after, before, base or branch, found %q", p.Name, p.Isolator)
		}
		iso := Isolator{Point: p.Name, Side: side, Plus: Ohms(f.number(p.IsolatorOhm, f.IsolatorOhm, p.Name, "isolator resistance", "ohm"))}
		if p.BothCores {
			iso.Minus = iso.Plus
		}
		l.Isolators = append(l.Isolators, iso)
	}
	return l, f.gaps, nil
}

func (f *filler) end(e *DraftEnd, name string) End {
	return End{
		Volts: Volts(f.number(e.Volts, f.Volts, name, "volts", "V")),
		Plus:  Ohms(e.PlusOhms), Minus: Ohms(e.MinusOhms), Limit: Amps(e.LimitMA / 1000),
	}
}

func (f *filler) cable(c *DraftCable, where string) Cable {
	if c.PlusOhms != 0 || c.MinusOhms != 0 {
		cable := Cable{Plus: Ohms(c.PlusOhms), Minus: Ohms(c.MinusOhms)}
		if c.Metres != nil {
			cable.Metres = Metres(*c.Metres)
		}
		return cable
	}
	cable := Cable{Metres: Metres(f.number(c.Metres, f.Metres, where, "metres", "m")), Celsius: Celsius(f.Celsius)}
	cable.Conductor = Conductor{OhmsPerKm: c.OhmsPerKm, AWG: c.AWG, Tinned: c.Tinned, Flexible: c.Flexible, Stranded: c.Stranded}
	if c.OhmsPerKm == 0 && c.AWG == 0 {
		cable.Conductor.MM2 = f.number(c.MM2, f.MM2, where, "cross-section", "mm2")
	}
	if c.Celsius != nil { // a site's own temperature is a choice, not a gap
		cable.Celsius = Celsius(*c.Celsius)
	}
	return cable
}

func (f *filler) point(p *DraftPoint) Point {
	filled := Point{
		Name: p.Name, Spur: p.Spur, Cable: f.cable(&p.DraftCable, p.Name), Junction: p.Junction,
		Zone: p.Zone, Floor: p.Floor, Area: p.AreaM2, Counted: p.Counted,
	}
	if p.Junction {
		return filled
	}
	filled.Rest = f.load(p.Rest, f.RestMA, p.Name, "current at rest")
	filled.Alarm = f.load(p.Alarm, f.AlarmMA, p.Name, "current in alarm")
	filled.Least = Volts(f.number(p.LeastVolts, f.LeastVolts, p.Name, "least working volts", "V"))
	return filled
}

func (f *filler) load(l *DraftLoad, otherwise float64, where, what string) Load {
	switch {
	case l == nil:
		return In(Amps(f.number(nil, otherwise, where, what, "mA") / 1000))
	case l.W != 0:
		return Drawing(Watts(l.W))
	case l.Ohms != 0:
		return Across(Ohms(l.Ohms))
	}
	return In(Amps(l.MA / 1000))
}

// CountGaps sums gaps up, in the order in which they first appear: "7 without metres: 10 m taken".
func CountGaps(gaps []Gap) []string {
	type kind struct{ what, taken string }
	counts := map[kind]int{}
	var order []kind
	for _, g := range gaps {
		k := kind{g.What, g.Taken}
		if counts[k] == 0 {
			order = append(order, k)
		}
		counts[k]++
	}
	var lines []string
	for _, k := range order {
		lines = append(lines, fmt.Sprintf("%d without %s: %s taken", counts[k], k.what, k.taken))
	}
	return lines
}
