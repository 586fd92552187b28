package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/circuit"
)

// RadialPower is a radial circuit, and how it stands.
type RadialPower struct {
	Kept    *sootline.KeptRadial
	Stands  *circuit.RadialVerdict
	Assumed []string
}

// Name is that of the panel and its own.
func (p *RadialPower) Name() string { return p.Kept.ID().String() }

// Shown reports whether the verdict is a proof that every limit is kept.
func (p *RadialPower) Shown() bool { return p.Stands.Says == circuit.Shown }

// Fails reports whether a state was found that does not keep a limit.
func (p *RadialPower) Fails() bool { return p.Stands.Says == circuit.Failing }

// Settles says what would settle a verdict that is not shown; empty otherwise.
func (p *RadialPower) Settles() string {
	if p.Stands.Says != circuit.NotShown || len(p.Stands.Missing) == 0 {
		return ""
	}
	return "write down " + listWords(p.Stands.Missing)
}

func listWords(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// RadialPowers solves the radial circuits of a panel, of all panels where none is named.
func RadialPowers(r *sootline.Register, panel string) ([]*RadialPower, error) {
	var list []*RadialPower
	for _, kept := range r.Radials(panel) {
		power, err := radialPower(kept)
		if err != nil {
			return nil, err
		}
		list = append(list, power)
	}
	return list, nil
}

// RadialNamed solves the radial circuit of a name such as 1.BELLS; nil where there is none.
func RadialNamed(r *sootline.Register, name string) (*RadialPower, error) {
	panel, circuit, _ := strings.Cut(name, ".")
	kept := r.Radial(sootline.LoopID{Panel: sootline.CleanName(panel), Name: sootline.CleanName(circuit)})
	if kept == nil {
		return nil, nil
	}
	return radialPower(kept)
}

func radialPower(kept *sootline.KeptRadial) (*RadialPower, error) {
	p := &RadialPower{Kept: kept}
	radial := radialOf(&kept.Radial)
	if kept.Celsius == nil {
		p.Assumed = append(p.Assumed, fmt.Sprintf("the temperature of the cable is not known: looked at from %s to %s", radial.Coldest, radial.Warmth))
	}
	if kept.EndOhms > 0 && kept.EndPercent == 0 {
		p.Assumed = append(p.Assumed, fmt.Sprintf("the error of the resistor is not known: %.0f %% (ours, no source)", 100*radial.EndShare))
	}
	var err error
	p.Stands, err = radial.Judge()
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "state the circuit anew", "radial circuit %s cannot be solved: %w", kept.ID(), err)
	}
	return p, nil
}

// resistorShare is by how much an end-of-line resistor may be off where nobody says: a judgement of ours, no source.
const resistorShare = 0.05

// radialOf gives the circuit of an entry.
func radialOf(c *sootline.Radial) *circuit.Radial {
	r := &circuit.Radial{
		Usual: circuit.Volts(c.Volts), Low: knownAs[circuit.Volts](c.LowVolts, 1), High: knownAs[circuit.Volts](c.HighVolts, 1), Rest: knownAs[circuit.Volts](c.RestVolts, 1),
		Limit: knownAs[circuit.Amps](c.LimitMA, 1000), End: knownAs[circuit.Ohms](c.EndOhms, 1), EndShare: resistorShare,
		BandLow: knownAs[circuit.Amps](c.BandLowMA, 1000), BandHigh: knownAs[circuit.Amps](c.BandHighMA, 1000), Coldest: circuit.Coldest, Warmth: circuit.Hottest,
	}
	if c.SourceOhms != nil {
		source := circuit.Ohms(*c.SourceOhms)
		r.Source = &source
	}
	if c.EndPercent > 0 {
		r.EndShare = c.EndPercent / 100
	}
	if c.Celsius != nil {
		r.Coldest, r.Warmth = circuit.Celsius(*c.Celsius), circuit.Celsius(*c.Celsius)
	}
	for i, d := range c.Devices {
		p := circuit.Point{Name: d.Name, Spur: d.From, Least: circuit.Volts(d.LeastVolts), Cable: circuit.Cable{Metres: circuit.Metres(d.Metres), Conductor: circuit.Conductor{MM2: c.MM2, AWG: c.AWG}}}
		if d.LeastVolts == 0 {
			p.Least = circuit.Volts(c.LeastVolts)
		}
		if d.RestMA == nil {
			r.NoRest = append(r.NoRest, i)
		} else {
			p.Rest = circuit.In(circuit.Amps(*d.RestMA / 1000))
		}
		if d.AlarmMA == nil {
			r.NoAlarm = append(r.NoAlarm, i)
		} else {
			p.Alarm = circuit.In(circuit.Amps(*d.AlarmMA / 1000))
		}
		r.Points = append(r.Points, p)
	}
	return r
}

// knownAs is nil for a figure of 0, which nobody said, and else the figure in another unit.
func knownAs[T ~float64](x, per float64) *T {
	if x == 0 {
		return nil
	}
	y := T(x / per)
	return &y
}

// radialDrains makes a line of each radial circuit of a panel: its devices, and its resistor at the usual volts. A line of the
// load list that has the circuit's name stands in its place.
func radialDrains(r *sootline.Register, panel string, beside []Drain) (drains []Drain, assumed []string) {
	for _, c := range r.Radials(panel) {
		named := func(d Drain) bool { return strings.EqualFold(d.Name, c.Circuit) }
		if slices.ContainsFunc(beside, named) {
			assumed = append(assumed, "radial circuit "+c.ID().String()+" is counted by the line of its name in the load list, and not by its devices")
			continue
		}
		line := Drain{Name: "circuit " + c.ID().String(), Count: 1}
		unknown := 0
		for _, d := range c.Devices {
			if d.RestMA == nil {
				unknown++
				continue
			}
			line.Rest, line.Alarm = line.Rest+circuit.Amps(*d.RestMA/1000), line.Alarm+circuit.Amps(*d.AlarmMA/1000)
		}
		if unknown > 0 {
			assumed = append(assumed, fmt.Sprintf("what %s of radial circuit %s draw is not known: taken as nothing", plural(unknown, "device"), c.ID()))
		}
		if c.EndOhms > 0 {
			rest := c.Volts
			if c.RestVolts > 0 {
				rest = c.RestVolts
			}
			line.Rest += circuit.Amps(rest / c.EndOhms)
			line.Alarm += circuit.Amps(c.Volts / c.EndOhms)
		}
		drains = append(drains, line)
	}
	return drains, assumed
}

// SetRadial states a radial circuit, in place of the one before.
func (a *App) SetRadial(ctx context.Context, site sootline.ID, c sootline.Radial) error {
	return a.state(ctx, site, c, func(r *sootline.Register) bool { return r.Radial(c.ID()) != nil })
}
