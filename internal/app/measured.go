package app

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// How far a meter may be off where nobody wrote it down: judgements of ours, no source.
const (
	meterPercent = 1
	meterDigit   = 0.1 // ohm, volt or milliampere
)

// sheetPercent is how far the current of devices may be off what type sheets say, which are typical figures: ours, no source.
const sheetPercent = 10

// testerPercent is how far a tester of insulation may be off: the operating error that IEC 61557-2 allows (from memory).
const testerPercent = 30

// HeldFigure is one figure that was measured beside what is calculated.
type HeldFigure struct {
	Day        string // on which it was last measured, on the site's clock
	Entry      sootline.ID
	What, Unit string
	Measured   float64
	Over       bool     // the meter was over its range: it is at least so much
	Calculated *float64 // nil: it is not held against anything; Why says for want of what
	Low, High  float64  // between which it lies by the facts, their tolerances and the meter
	Core       bool     // it is of a core from end to end
	Why        string   // what the limits rest on, or what is missing
	Before     bool     // it was measured before what is written of the cable changed, and is held against what was written then
}

// Off is by how much what was measured lies outside the limits; 0 where it lies between them.
func (c *HeldFigure) Off() float64 {
	switch {
	case c.Calculated == nil:
		return 0
	case c.Over: // it may be as high as one likes
		return max(c.Measured-c.High, 0)
	}
	return max(c.Measured-c.High, 0) + min(c.Measured-c.Low, 0)
}

// MendMeasured is the way out of what was measured and contradicts the facts.
const MendMeasured = "write what was measured as the fact, or mend what is wrong, and measure again"

// LoopMeasured is what was measured of a loop, the last of each figure held against the calculated, and what changed.
type LoopMeasured struct {
	All        []sootline.Measuring // in order of time
	Days       []string             // of each, on the site's clock
	Last       []HeldFigure
	Insulation []string
	Changes    []string
}

// MeasuredOf holds what was measured of a loop against what its facts come to; nil where nothing was.
func MeasuredOf(r *sootline.Register, id sootline.LoopID) (*LoopMeasured, error) {
	all := r.Measured(id)
	if len(all) == 0 {
		return nil, nil
	}
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		zone = time.UTC
	}
	m := &LoopMeasured{All: all}
	for _, one := range all {
		m.Days = append(m.Days, one.At.In(zone).Format(time.DateOnly))
	}
	h, err := newHolder(r, id)
	if err != nil {
		return nil, err
	}
	if err := m.hold(r, id, h); err != nil {
		return nil, err
	}
	m.insulation(r, id)
	m.changes()
	return m, nil
}

// hold holds the last of each figure against the calculated: by the facts of its day where what is written of the cable
// changed since, for it was not measured on today's cable.
func (m *LoopMeasured) hold(r *sootline.Register, id sootline.LoopID, now *holder) error {
	is := r.WrittenCable(id)
	for i := len(m.All) - 1; i >= 0; i-- {
		h, before := now, m.All[i].On.Changed(is)
		if before {
			var err error
			if h, err = newHolder(r.Then(m.All[i].At), id); err != nil {
				return err
			}
		}
		held, err := h.hold(&m.All[i].Measured)
		if err != nil {
			return err
		}
		for _, one := range held {
			if !slices.ContainsFunc(m.Last, func(later HeldFigure) bool { return later.What == one.What }) {
				one.Day, one.Entry, one.Before = m.Days[i], m.All[i].Entry, before
				m.Last = append(m.Last, one)
			}
		}
	}
	return nil
}

func (m *LoopMeasured) dayOf(one *sootline.Measuring) string {
	return m.Days[slices.IndexFunc(m.All, func(o sootline.Measuring) bool { return o.Entry == one.Entry })]
}

// Against lists how what was measured contradicts the facts.
func (m *LoopMeasured) Against() []string {
	var list []string
	if m == nil {
		return nil
	}
	for i := range m.Last {
		if text := m.Last[i].Against(); text != "" {
			list = append(list, text)
		}
	}
	return list
}

// insulation holds the last readings to earth against the rule of the site.
func (m *LoopMeasured) insulation(r *sootline.Register, id sootline.LoopID) {
	rule := r.InsulationRuleOf(id)
	for _, core := range r.ToEarth(id) {
		text := fmt.Sprintf("%s to earth: %s%s Mohm on %s", core.Core, overSaid(core.Over), round3(core.MOhms), m.dayOf(core.In))
		switch {
		case rule != nil && core.Over && core.MOhms < rule.MOhms:
			text += fmt.Sprintf(", the range of the tester, which does not show the %s Mohm of %s (%s)", round3(rule.MOhms), rule.Name, rule.Source)
		case rule == nil:
			text += "; no least insulation is known for this site"
		case core.MOhms < rule.MOhms:
			text += fmt.Sprintf(", LESS than the %s Mohm of %s (%s)", round3(rule.MOhms), rule.Name, rule.Source)
		default:
			text += fmt.Sprintf(", not less than the %s Mohm of %s (%s)", round3(rule.MOhms), rule.Name, rule.Source)
		}
		m.Insulation = append(m.Insulation, text+rule.TestedBy(core.In.TestVolts))
	}
}

// holder holds what was measured against a loop as its facts give it.
type holder struct {
	d *drafted
	c *circuit.Circuit
}

func newHolder(r *sootline.Register, id sootline.LoopID) (*holder, error) {
	if !slices.ContainsFunc(r.Points(), func(p *sootline.Point) bool { return p.LoopID() == id }) {
		return &holder{}, nil
	}
	d, err := draftOf(r, id, WhatIf{})
	if err != nil {
		return nil, err
	}
	loop, _, err := d.loop()
	if err != nil {
		return nil, err
	}
	c, err := circuit.New(loop)
	return &holder{d, c}, err
}

// lacks says which of some kinds of fact nobody wrote down; empty where all are.
func (h *holder) lacks(kinds ...circuit.FactKind) string {
	var texts []string
	for i := range h.d.missing {
		f := &h.d.missing[i]
		if !slices.Contains(kinds, f.Kind) {
			continue
		}
		places := "at " + plural(len(f.At), "point")
		if f.OfCables() {
			places = "of " + plural(len(f.At), "cable")
		}
		texts = append(texts, fmt.Sprintf("%s %s", f.Kind, places))
	}
	if len(texts) == 0 {
		return ""
	}
	return strings.Join(texts, " and ") + " not written down"
}

// hold compares every figure of a measuring that something is calculated for.
func (h *holder) hold(m *sootline.Measured) ([]HeldFigure, error) {
	if h.c == nil {
		return nil, nil
	}
	warm := h.warmth(m)
	usual, err := h.c.Ends(warm.usual, 1)
	if err != nil {
		return nil, err
	}
	cold, err := h.c.Ends(warm.coldest, 1-cableTolerance)
	if err != nil {
		return nil, err
	}
	hot, err := h.c.Ends(warm.hottest, 1+cableTolerance)
	if err != nil {
		return nil, err
	}
	cable := fmt.Sprintf("the cable's table to %.0f %%, %s, %s", 100*cableTolerance, warm.says, meterSaid(m))
	meter := meterOf(m)
	cores := h.lacks(circuit.MetresFact, circuit.SectionFact)
	var list []HeldFigure
	add := func(what, unit string, is *float64, lacks, why string, low, at, high float64) {
		if is == nil {
			return
		}
		one := HeldFigure{What: what, Unit: unit, Measured: *is, Why: lacks, Core: unit == "ohm", Over: is == m.PlusOhms && m.PlusOver || is == m.MinusOhms && m.MinusOver}
		if lacks == "" {
			one.Calculated, one.Low, one.High, one.Why = &at, max(low-meter(low), 0), high+meter(high), why
		}
		list = append(list, one)
	}
	add("plus core, end to end", "ohm", m.PlusOhms, h.lacks(circuit.MetresFact, circuit.SectionFact, circuit.IsolatorOhmsFact), cable+h.isolatorsSaid(), float64(cold.Plus), float64(usual.Plus), float64(hot.Plus))
	add("minus core, end to end", "ohm", m.MinusOhms, cores, cable, float64(cold.Minus), float64(usual.Minus), float64(hot.Minus))
	h.holdVolts(m, add, usual, cold, hot, cable)
	rest := 1000 * float64(usual.Rest)
	sheets := fmt.Sprintf("what the type sheets say to %d %%, for they give no tolerance, and %s", sheetPercent, meterSaid(m))
	add("current at rest", "mA", m.RestMA, h.lacks(circuit.RestFact), sheets, rest*(1-sheetPercent/100.0), rest, rest*(1+sheetPercent/100.0))
	return list, nil
}

// holdVolts compares the volts at the ends. Where those at OUT were measured, the far end is counted from them.
func (h *holder) holdVolts(m *sootline.Measured, add func(what, unit string, is *float64, lacks, why string, low, at, high float64), usual, cold, hot circuit.Ends, cable string) {
	s := &h.d.supply
	at := s.Volts
	low, high := s.LowVolts, s.HighVolts
	lacks := ""
	if at == 0 || low == 0 || high == 0 {
		lacks = "the lowest and the highest volts of the supply not written down"
	}
	add("volts at OUT", "V", m.OutVolts, lacks, "from the low battery to the highest charge, "+meterSaid(m), low, at, high)
	lacks = h.lacks(circuit.MetresFact, circuit.SectionFact, circuit.IsolatorOhmsFact, circuit.RestFact)
	switch {
	case m.OutVolts == nil:
		lacks = "the volts at OUT were not measured beside it"
	case !usual.Exists || !cold.Exists || !hot.Exists:
		lacks = "fed from OUT alone the loop has no operating point"
	}
	out := 0.0
	if m.OutVolts != nil {
		out = *m.OutVolts
	}
	add("volts at the far end", "V", m.FarVolts, lacks, "from the volts measured at OUT, "+cable, out-float64(hot.Drop), out-float64(usual.Drop), out-float64(cold.Drop))
}

// isolatorsSaid tells that the plus core is calculated through closed isolators.
func (h *holder) isolatorsSaid() string {
	if len(h.c.Loop().Isolators) == 0 {
		return ""
	}
	return ", through closed isolators: without supply some stay open, and then no meter gets through"
}

// warmth is between which temperatures the cable lay when it was measured.
type warmth struct {
	coldest, usual, hottest circuit.Celsius
	says                    string
}

func (h *holder) warmth(m *sootline.Measured) warmth {
	about := func(at float64, says string) warmth {
		return warmth{circuit.Celsius(at - cableKelvin), circuit.Celsius(at), circuit.Celsius(at + cableKelvin), fmt.Sprintf("%s, give or take %d K", says, cableKelvin)}
	}
	switch {
	case m.Celsius != nil:
		return about(*m.Celsius, fmt.Sprintf("%g C as measured", *m.Celsius))
	case h.d.supply.Celsius != nil:
		return about(*h.d.supply.Celsius, fmt.Sprintf("%g C as written with the supply", *h.d.supply.Celsius))
	}
	return warmth{circuit.Coldest, 20, circuit.Hottest, fmt.Sprintf("a cable from %g to %g C, for nobody wrote it down", float64(circuit.Coldest), float64(circuit.Hottest))}
}

// meterOf gives how far the meter may be off at a figure.
func meterOf(m *sootline.Measured) func(x float64) float64 {
	percent, digit := meterFigures(m)
	return func(x float64) float64 { return math.Abs(x)*percent/100 + digit }
}

func meterFigures(m *sootline.Measured) (percent, digit float64) {
	percent, digit = meterPercent, meterDigit
	if m.MeterPercent != nil {
		percent = *m.MeterPercent
	}
	if m.MeterDigit != nil {
		digit = *m.MeterDigit
	}
	return percent, digit
}

func meterSaid(m *sootline.Measured) string {
	percent, digit := meterFigures(m)
	text := fmt.Sprintf("the meter to %g %% and %g", percent, digit)
	if m.MeterPercent == nil && m.MeterDigit == nil {
		text += " (ours)"
	}
	return text
}
