package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// What is assumed of a loop where neither its supply nor its type sheets say.
// Judgements of ours, no source; each use is said and counted.
const (
	assumedVolts   = 24
	assumedMM2     = 1.5
	assumedMetres  = 10
	assumedCelsius = 40 // warmer than most cables are: more resistance, the safe side
	assumedRestMA  = 0.5
	assumedAlarmMA = 5
)

// WhatIf changes a loop before it is solved; nothing is written down.
type WhatIf struct {
	Volts float64 // 0: as it is
	MM2   float64
	Add   int    // devices more, spread over the way back to the panel
	Type  string // of those devices
}

// Power is a loop as a circuit, and what came out of it.
type Power struct {
	Loop     sootline.Loop
	Circuit  *circuit.Circuit
	Survey   *circuit.Survey
	Healthy  string // sentences
	Worst    string
	Works    bool // every fed device works under every single fault
	Restart  circuit.Restart
	Breaches []circuit.Breach
	Assumed  []string // what nobody wrote down, and what was taken instead
	Profile  *circuit.Profile
}

// LoopPower solves a loop healthy and under every single open and short.
func LoopPower(r *sootline.Register, id sootline.LoopID, what WhatIf) (*Power, error) {
	b := &loopBuilder{r: r, id: id, what: what, short: map[string][]string{}}
	loop, alarms, err := b.build()
	if err != nil {
		return nil, err
	}
	c, err := circuit.New(loop)
	if err != nil {
		return nil, err
	}
	p := &Power{Loop: r.Loop(id), Circuit: c, Assumed: b.assumed(), Breaches: c.Breaches(circuit.Rules())}
	if p.Survey, err = c.Survey(alarms, false); err != nil {
		return nil, err
	}
	p.Healthy, p.Worst, p.Works = c.Sentence(&p.Survey.Healthy), c.Sentence(&p.Survey.Worst), p.Survey.Worst.Works(c.Loop())
	worst := circuit.State{Faults: p.Survey.Worst.Faults, Alarm: p.Survey.Worst.Alarm}
	if p.Restart, err = c.Restart(worst); err != nil {
		return nil, err
	}
	p.Profile, err = profile(c, p.Survey)
	return p, err
}

// profile draws the healthy loop and the worst fault.
func profile(c *circuit.Circuit, s *circuit.Survey) (*circuit.Profile, error) {
	names := []string{"healthy", c.Describe(s.Worst.Faults)}
	var states []*circuit.Solution
	for _, o := range []*circuit.Outcome{&s.Healthy, &s.Worst} {
		solution, err := c.Solve(circuit.State{Faults: o.Faults, Alarm: o.Alarm})
		if err != nil {
			return nil, err
		}
		states = append(states, solution)
	}
	if len(s.Worst.Faults) == 0 {
		names, states = names[:1], states[:1]
	}
	return c.Profile("volts along the loop, from OUT to IN", names, states), nil
}

// loopBuilder makes a circuit of what the register says of a loop, and keeps
// count of what it does not say.
type loopBuilder struct {
	r      *sootline.Register
	id     sootline.LoopID
	what   WhatIf
	supply sootline.Supply
	short  map[string][]string // what was assumed -> the points for which it was
}

func (b *loopBuilder) build() (circuit.Loop, circuit.Alarms, error) {
	var on []*sootline.Point
	for _, p := range b.r.Points() {
		if p.LoopID() == b.id {
			on = append(on, p)
		}
	}
	if len(on) == 0 {
		return circuit.Loop{}, circuit.Alarms{}, sootline.Errorf(sootline.NotFound, "`sootline site show` lists the loops", "there is no point on loop %s", b.id)
	}
	slices.SortStableFunc(on, func(x, y *sootline.Point) int { return x.Order - y.Order })
	b.readSupply()
	end := circuit.End{
		Volts: circuit.Volts(b.supply.Volts), Plus: circuit.Ohms(b.supply.SourceOhms), Minus: circuit.Ohms(b.supply.SourceOhms),
		Limit: circuit.Amps(b.supply.LimitMA / 1000),
	}
	loop := circuit.Loop{Name: b.id.String(), Out: end, In: end}
	for _, p := range on {
		b.add(&loop, p)
	}
	loop.Return = b.cable(b.supply.ReturnMetres, "the way back to the panel")
	if err := b.addMore(&loop); err != nil {
		return loop, circuit.Alarms{}, err
	}
	alarms := circuit.EveryAlarm()
	if b.supply.AlarmsAtOnce != nil {
		alarms = circuit.Alarms{Most: *b.supply.AlarmsAtOnce}
	}
	return loop, alarms, nil
}

func (b *loopBuilder) readSupply() {
	if s := b.r.Supply(b.id); s != nil {
		b.supply = *s
	} else {
		b.supply = sootline.Supply{Volts: assumedVolts}
		b.miss(fmt.Sprintf("nobody wrote down what feeds the loop: %d V at the panel, no resistance and no limit there, all devices in alarm at once", assumedVolts), "")
	}
	if b.supply.MM2 == 0 && b.supply.AWG == 0 {
		b.supply.MM2 = assumedMM2
		b.miss(fmt.Sprintf("the cable is not known: copper of %v mm2", assumedMM2), "")
	}
	if b.supply.Celsius == nil {
		celsius := float64(assumedCelsius)
		b.supply.Celsius = &celsius
		b.miss(fmt.Sprintf("the cable's temperature is not known: %d C", assumedCelsius), "")
	}
	if b.what.Volts != 0 {
		b.supply.Volts = b.what.Volts
	}
	if b.what.MM2 != 0 {
		b.supply.MM2, b.supply.AWG = b.what.MM2, 0
	}
}

func (b *loopBuilder) miss(what, point string) { b.short[what] = append(b.short[what], point) }

// assumed says what was taken where nobody wrote it down.
func (b *loopBuilder) assumed() []string {
	var all []string
	for what, points := range b.short {
		switch {
		case points[0] == "":
		case len(points) == 1:
			what += " (at " + points[0] + ")"
		default:
			what += fmt.Sprintf(" (at %d points, the first is %s)", len(points), points[0])
		}
		all = append(all, what)
	}
	slices.Sort(all)
	return all
}

func (b *loopBuilder) cable(metres *float64, where string) circuit.Cable {
	length := b.supply.UsualMetres
	switch {
	case metres != nil:
		length = *metres
	case length == 0:
		length = assumedMetres
		fallthrough
	default:
		b.miss(fmt.Sprintf("metres of cable are not known: %v m", length), where)
	}
	return circuit.Cable{
		Metres: circuit.Metres(length), Celsius: circuit.Celsius(*b.supply.Celsius),
		Conductor: circuit.Conductor{MM2: b.supply.MM2, AWG: b.supply.AWG},
	}
}

// add adds a point, with its isolator, which opens towards a short on either side.
func (b *loopBuilder) add(loop *circuit.Loop, p *sootline.Point) {
	name := p.Ref().String()
	if slices.ContainsFunc(loop.Points, func(q circuit.Point) bool { return q.Name == name }) {
		name += " " + p.ID.String()[24:] // two devices on one number
	}
	device := b.device(name, p.Type, b.r.Sheet(p.Type))
	device.Cable = b.cable(p.Metres, name)
	device.Zone = p.Zone // a register has no floors of its own: what a fault takes of a floor is not counted
	loop.Points = append(loop.Points, device)
	if isolates(b.r, p) {
		loop.Isolators = append(loop.Isolators, circuit.Isolator{Point: name, Side: circuit.Base, Plus: circuit.Ohms(b.supply.IsolatorOhms)})
	}
}

// device gives what a device of a type draws and needs.
func (b *loopBuilder) device(name, typeName string, sheet *sootline.TypeSheet) circuit.Point {
	d := circuit.Point{Name: name, Counted: true, Least: circuit.Volts(b.supply.LeastVolts)}
	if sheet == nil {
		sheet = &sootline.TypeSheet{Name: typeName}
	}
	switch sheet.Kind {
	case sootline.Sounder, sootline.Beacon, sootline.Module, sootline.Isolator, sootline.Other:
		d.Counted = false
	}
	d.Rest = b.load(sheet.StandbyMA, assumedRestMA, "at rest", name)
	d.Alarm = b.load(sheet.AlarmMA, assumedAlarmMA, "in alarm", name)
	if sheet.MinVolts != nil {
		d.Least = circuit.Volts(*sheet.MinVolts)
	}
	if d.Least == 0 {
		b.miss("least working volts are not known: the device is not judged", name)
	}
	return d
}

func (b *loopBuilder) load(ma *float64, assumed float64, when, name string) circuit.Load {
	if ma == nil {
		b.miss(fmt.Sprintf("what the device draws %s is not known: %v mA", when, assumed), name)
		ma = &assumed
	}
	return circuit.In(circuit.Amps(*ma / 1000))
}

// addMore puts the devices of a what-if evenly into the way back to the panel,
// whose length stays the same.
func (b *loopBuilder) addMore(loop *circuit.Loop) error {
	if b.what.Add == 0 {
		return nil
	}
	if b.r.Sheet(b.what.Type) == nil {
		return sootline.Errorf(sootline.NotFound, "name a type that has a sheet, with --type", "there is no type sheet named %q", b.what.Type)
	}
	part := loop.Return
	part.Metres /= circuit.Metres(b.what.Add + 1)
	for n := range b.what.Add {
		more := b.device(fmt.Sprintf("added %d", n+1), b.what.Type, b.r.Sheet(b.what.Type))
		more.Cable = part
		loop.Points = append(loop.Points, more)
	}
	loop.Return = part
	return nil
}

// SetSupply writes down what feeds a loop.
func (a *App) SetSupply(ctx context.Context, site sootline.ID, supply sootline.Supply) error {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return err
	}
	at := a.Now()
	if r.Supply(sootline.LoopID{Panel: supply.Panel, Name: supply.Loop}) == nil {
		at = sootline.LongAgo
	}
	return a.add(ctx, site, a.entry(site, at, sootline.ID{}, supply))
}
