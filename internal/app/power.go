package app

import (
	"cmp"
	"context"
	"fmt"

	"sootline"
	"sootline/internal/circuit"
)

// WhatIf changes a loop before it is solved; nothing is written down.
type WhatIf struct {
	Volts   float64 // 0: as it is
	MM2     float64
	Add     int    // devices more, spread over the way back to the panel
	Type    string // of those devices
	Base    string // a point, by the name that the answer gives it, that gets an isolator in its base
	AtOnce  *int   // devices in alarm at once; nil: as it is
	InAlarm []string
	File    *circuit.Draft // laid over the loop; nil: nothing is
}

// Power is a loop as a circuit, and what came out of it.
type Power struct {
	Name    string
	Circuit *circuit.Circuit
	Survey  *circuit.Survey
	Stands  *circuit.Verdict
	Missing []circuit.Fact // facts that nobody wrote down, of a kind each
	Facts   int            // that the verdict rests on, in all
	Turns   []string       // how far each of those may be off; only where it was asked for
	Limit   circuit.Margin
	Restart circuit.Restart
	Broken  []Broken
	Kept    []string // clauses that no fault breaks
	Untold  []string // clauses of which that cannot be said, with what is not known
	Singles []State  // every single open, then every single short, by cable
	Most    *State   // of these, the one that takes most
	Pair    *State   // the worst two breaks; nil: not asked for
	Given   *State   // the state that was asked for; nil: none was
	Cable   []string
	Assumed []string // what nobody wrote down, and what was taken instead
	Profile *circuit.Profile
	Meters  *LoopMeasured // what was measured of it as it is; nil: nothing was
}

// LoopPower solves a loop healthy and under every single open and short, and
// what else is asked.
func LoopPower(r *sootline.Register, id sootline.LoopID, what WhatIf, ask Ask) (*Power, error) {
	d, err := draftOf(r, id, what)
	if err != nil {
		return nil, err
	}
	p, err := d.power(ask)
	if err != nil {
		return nil, err
	}
	if p.Meters, err = MeasuredOf(r, id); err != nil {
		return nil, err
	}
	p.hear()
	return p, nil
}

// FilePower solves the loop that a file holds whole.
func FilePower(what WhatIf, ask Ask) (*Power, error) {
	file := *what.File
	file.Default = file.Default.Over(assumed(sootline.Supply{}))
	d := &drafted{name: cmp.Or(file.Name, "of the file"), draft: &file, what: what}
	if what.Volts != 0 || what.MM2 != 0 || what.Add != 0 || what.Base != "" {
		return nil, sootline.Errorf(sootline.Invalid, "change the file", "a loop that is in a file whole is not changed by another voltage, cross-section, device or isolator beside it")
	}
	return d.power(ask)
}

func (d *drafted) power(ask Ask) (*Power, error) {
	loop, demand, err := d.loop()
	if err != nil {
		return nil, err
	}
	alarms := demand.Alarms
	c, err := circuit.New(loop)
	if err != nil {
		return nil, err
	}
	breaches := c.Breaches(circuit.Rules())
	p := &Power{Name: d.name, Circuit: c, Assumed: circuit.CountGaps(d.gaps), Broken: broken(breaches, demand.Rules), Missing: d.missing, Facts: d.facts}
	if p.Survey, err = c.Survey(alarms, ask.Pairs); err != nil {
		return nil, err
	}
	if err := p.judge(&loop, demand, p.cable(&d.supply), ask); err != nil {
		return nil, err
	}
	if err := p.worstOfVerdict(); err != nil {
		return nil, err
	}
	worst := circuit.State{Faults: p.Survey.Worst.Faults, Alarm: p.Survey.Worst.Alarm}
	if p.Restart, err = c.Restart(worst); err != nil {
		return nil, err
	}
	if p.Limit, err = c.Margin(worst); err != nil {
		return nil, err
	}
	if err := p.losses(); err != nil {
		return nil, err
	}
	if p.Survey.Pairs != nil {
		if p.Pair, err = stateOf(c, p.Survey.Pairs); err != nil {
			return nil, err
		}
	}
	if len(ask.Faults) > 0 {
		if p.Given, err = under(c, alarms, ask.Faults); err != nil {
			return nil, err
		}
	}
	p.Kept, p.Untold = kept(breaches, d.missing)
	p.Profile, err = profile(c, p.Survey)
	return p, err
}

// losses adds to every single fault what it takes, and finds the one that takes
// most detectors and call points, and of those the most devices.
func (p *Power) losses() error {
	for i := range p.Survey.Singles {
		state, err := stateOf(p.Circuit, &p.Survey.Singles[i])
		if err != nil {
			return err
		}
		p.Singles = append(p.Singles, *state)
		if p.Most == nil || state.Loss.Counted > p.Most.Loss.Counted || state.Loss.Counted == p.Most.Loss.Counted && len(state.Loss.Points) > len(p.Most.Loss.Points) {
			p.Most = state
		}
	}
	return nil
}

// Unjudged counts the devices whose least working volts are not known, of all.
func (p *Power) Unjudged() (unjudged, devices int) {
	for _, point := range p.Circuit.Loop().Points {
		if point.Junction {
			continue
		}
		devices++
		if point.Least == 0 {
			unjudged++
		}
	}
	return unjudged, devices
}

// Currents says what each end gives, healthy and at most under any single fault.
func (p *Power) Currents() string {
	healthy, loop := &p.Survey.Healthy, p.Circuit.Loop()
	out, in := healthy.Out, healthy.In
	for i := range p.Singles {
		out, in = max(out, p.Singles[i].Out), max(in, p.Singles[i].In)
	}
	of := func(limit circuit.Amps) string {
		if limit == 0 {
			return ""
		}
		return fmt.Sprintf(" of the %s that it can give", limit)
	}
	return fmt.Sprintf("healthy %s from OUT and %s from IN; under single faults at most %s from OUT%s and %s from IN%s",
		healthy.Out, healthy.In, out, of(loop.Out.Limit), in, of(loop.In.Limit))
}

// LimitSentence says how far the loop is from having no operating point.
func (p *Power) LimitSentence() string {
	switch {
	case !p.Limit.Bounded:
		return "no factor on all loads together leaves the loop without an operating point"
	case p.Limit.Factor < 1:
		return fmt.Sprintf("in the worst state there is an operating point only with all loads together at %s of what they are", sootline.Significant(p.Limit.Factor, 3))
	case p.Limit.Factor >= 100:
		return fmt.Sprintf("in the worst state there is an operating point still with %.0f times the loads", p.Limit.Factor)
	}
	return fmt.Sprintf("in the worst state all loads together may be %s times what they are before there is no operating point", sootline.Significant(p.Limit.Factor, 3))
}

// cable says how the cable stands to what the panel allows, as far as that was
// written down. Over is the first that is more; nil: none is.
func (p *Power) cable(s *sootline.Supply) (over *circuit.Failure) {
	sum := p.Circuit.Cabling()
	against := func(have, most float64, unit, what string) {
		verdict := "within"
		if have > most {
			verdict = "MORE than"
		}
		text := fmt.Sprintf("%s: %s %s, %s the %s %s that the panel allows", what, sootline.Significant(have, 4), unit, verdict, sootline.Significant(most, 4), unit)
		p.Cable = append(p.Cable, text)
		if have > most && over == nil {
			over = &circuit.Failure{Limit: circuit.PanelAllows, Point: -1, By: have - most, Is: have, Needs: most, Why: text}
		}
	}
	if s.MostOhms > 0 {
		against(float64(sum.EndToEnd), s.MostOhms, "ohm", "both cores in series, end to end")
	}
	switch {
	case s.MostNF == 0:
	case s.NFPerKm == 0:
		p.Cable = append(p.Cable, "what the cable has in nanofarads a kilometre is not known, so the panel's limit is not checked")
	default:
		against(s.NFPerKm*float64(sum.Metres)/1000, s.MostNF, "nF", fmt.Sprintf("capacitance of %s of cable", sum.Metres))
		if sum.Unknown > 0 {
			p.Cable = append(p.Cable, fmt.Sprintf("%d cables have no metres and are not in it", sum.Unknown))
		}
	}
	return over
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

// SetSupply writes down what feeds a loop.
func (a *App) SetSupply(ctx context.Context, site sootline.ID, supply sootline.Supply) error {
	return a.state(ctx, site, supply, func(r *sootline.Register) bool {
		return r.Supply(sootline.LoopID{Panel: supply.Panel, Name: supply.Loop}) != nil
	})
}
