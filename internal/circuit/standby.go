package circuit

import (
	"fmt"
	"math"
	"slices"
)

// Drain is one line of a load list.
type Drain struct {
	Name        string
	Count       int
	Rest, Alarm Amps // of one
}

// Conditions are what the battery lives under. The zero value leaves temperature and design margin alone.
type Conditions struct {
	Coldest *Celsius // temperature of the battery when it is needed; nil: no correction
	Design  float64  // factor for load added later; 0: 1
	Ageing  float64  // factor where the rule has none; 0: 1.25, replacement at 80 %
	Sizes   []AmpHours
	Charger Amps    // what it gives on average beside the load; 0: not known
	Accepts float64 // share of the charge that the battery keeps; 0: 1

	Standby, Alarm Hours    // the site's own, in place of the rule's; 0: the rule's
	Margin         float64  // the site's own, in place of the rule's; 0: the rule's
	Largest        AmpHours // the largest battery that the panel takes; 0: not known
}

// Owned puts the site's hours and factor in the place of a rule's.
func (c *Conditions) Owned(rule StandbyRule) StandbyRule {
	for _, x := range []struct {
		of  *Figure
		own float64
	}{{&rule.Standby, float64(c.Standby)}, {&rule.Alarm, float64(c.Alarm)}, {&rule.Margin, c.Margin}} {
		if x.own != 0 {
			*x.of = Figure{x.own, Own, fmt.Sprintf("in place of the rule's %.3g", x.of.Value)}
		}
	}
	if c.Margin != 0 && c.Ageing > 1 {
		rule.Aged = false // what the rule's margin held is gone with it
	}
	return rule
}

// Sizing is the battery that a rule asks for, with the reasoning.
type Sizing struct {
	Rest, Alarm Amps
	Raw         AmpHours // T1 I1 + D I2 T2
	Factor      float64  // D
	Required    AmpHours
	Chosen      AmpHours // the next usual size; 0: none is large enough
	Largest     AmpHours // that the panel takes; 0: not known
	Spare       AmpHours
	Longer      Hours // standby that the spare gives beyond what the rule asks for
	Charge      Amps  // least mean current that brings it to 80 % within 24 h
	Charges     bool  // the charger gives that; true too where it is not known
	Steps       []string
}

// Size works out the battery for a load list.
func Size(drains []Drain, rule *StandbyRule, under Conditions) (*Sizing, error) {
	s := &Sizing{}
	for _, d := range drains {
		if d.Count < 0 || !notNegative(float64(d.Rest)) || !notNegative(float64(d.Alarm)) {
			return nil, invalid("%s: its number and currents are from 0, found %d, %g and %g", d.Name, d.Count, d.Rest, d.Alarm)
		}
		s.Rest += Amps(d.Count) * d.Rest
		s.Alarm += Amps(d.Count) * d.Alarm
	}
	if s.Rest+s.Alarm == 0 {
		return nil, invalid("the load list draws nothing")
	}
	if under.Largest != 0 && !positive(float64(under.Largest)) {
		return nil, invalid("the largest battery is a number of Ah above 0, found %g", under.Largest)
	}
	owned := under.Owned(*rule)
	rule = &owned
	if err := rule.check(); err != nil {
		return nil, err
	}
	factor, err := s.factors(rule, &under)
	if err != nil {
		return nil, err
	}
	s.require(rule, factor)
	s.choose(rule, factor, &under)
	s.charge(&under)
	return s, nil
}

func (r *StandbyRule) check() error {
	for _, f := range []Figure{r.Standby, r.Alarm} {
		if !notNegative(f.Value) {
			return invalid("%s: its hours are a number from 0, found %g", r.Name, f.Value)
		}
	}
	if !(r.Margin.Value >= 1) || math.IsInf(r.Margin.Value, 1) {
		return invalid("%s: its margin is a factor from 1, found %g", r.Name, r.Margin.Value)
	}
	if r.HighRate.Value != 0 && (!positive(r.HighRate.Value) || !(r.HighFactor.Value >= 1)) {
		return invalid("%s: its fast-discharge rule needs a rate above 0 and a factor from 1", r.Name)
	}
	return nil
}

func (s *Sizing) step(format string, args ...any) {
	s.Steps = append(s.Steps, fmt.Sprintf(format, args...))
}

// stepOwn tells of a figure that is the site's own, and reports whether it is.
func (s *Sizing) stepOwn(what string, f Figure) bool {
	if f.Source == Own {
		s.step("%s: %.3g, the site's own, %s", what, f.Value, f.Note)
	}
	return f.Source == Own
}

// factors multiplies what does not depend on the battery: the rule's margin, temperature, design, and ageing once.
func (s *Sizing) factors(rule *StandbyRule, under *Conditions) (float64, error) {
	s.step("%s at rest for %s and %s in alarm for %s, by %s", s.Rest, Hours(rule.Standby.Value), s.Alarm, Hours(rule.Alarm.Value), rule.Clause)
	product := rule.Margin.Value
	s.stepOwn("hours at rest", rule.Standby)
	s.stepOwn("hours in alarm", rule.Alarm)
	if !s.stepOwn("margin", rule.Margin) {
		s.step("margin of the rule: %g (%s)", rule.Margin.Value, rule.Margin.Source)
	}
	ageing := under.Ageing
	switch {
	case rule.Aged:
		if ageing > 1 {
			s.step("the margin of the rule contains ageing already, so %g was not put on top", ageing)
		}
	case ageing == 0:
		ageing = 1.25
		fallthrough
	default:
		product *= ageing
		s.step("ageing: %g", ageing)
	}
	if under.Coldest != nil {
		cold, err := ColdFactor(*under.Coldest)
		if err != nil {
			return 0, err
		}
		product *= cold
		s.step("at %s a battery must be %.3f times as large (IEEE 485, not checked; no credit above 25 C)", *under.Coldest, cold)
	}
	if under.Design != 0 {
		product *= under.Design
		s.step("load to come: %g", under.Design)
	}
	if !positive(product) || ageing != 0 && ageing < 1 || under.Design != 0 && under.Design < 1 {
		return 0, invalid("the factors of a battery are from 1, found ageing %g and design %g", under.Ageing, under.Design)
	}
	return product, nil
}

// need is the capacity asked for with a factor d on the alarm term.
func (s *Sizing) need(rule *StandbyRule, factor, d float64) (raw, required AmpHours) {
	raw = AmpHours(rule.Standby.Value*float64(s.Rest) + d*float64(s.Alarm)*rule.Alarm.Value)
	return raw, AmpHours(factor) * raw
}

// fast reports whether the alarm current empties a capacity faster than the rule lets pass.
func (r *StandbyRule) fast(alarm Amps, of AmpHours) bool {
	return r.HighRate.Value > 0 && float64(alarm) > r.HighRate.Value*float64(of)
}

// require is circular: D depends on the capacity, which depends on D. It starts from D = 1.
func (s *Sizing) require(rule *StandbyRule, factor float64) {
	s.Factor = 1
	s.Raw, s.Required = s.need(rule, factor, 1)
	if rule.fast(s.Alarm, s.Required) {
		s.Factor = rule.HighFactor.Value
		slow := s.Required
		s.Raw, s.Required = s.need(rule, factor, s.Factor)
		s.step("%s is more than %.3g of %s per hour, so the alarm term counts %g times", s.Alarm, rule.HighRate.Value, slow, s.Factor)
	}
	s.step("required: %s", s.Required)
}

// choose takes the smallest size that passes with the D that holds for that very size.
func (s *Sizing) choose(rule *StandbyRule, factor float64, under *Conditions) {
	sizes := under.Sizes
	if sizes == nil {
		sizes = UsualSizes()
	}
	s.Largest = under.Largest
	for _, size := range slices.Sorted(slices.Values(sizes)) {
		if under.Largest > 0 && size > under.Largest {
			break
		}
		d := 1.0
		if rule.fast(s.Alarm, size) {
			d = rule.HighFactor.Value
		}
		raw, required := s.need(rule, factor, d)
		if size < required {
			continue
		}
		if d != s.Factor {
			s.Raw, s.Required, s.Factor = raw, required, d
			s.step("tested against %s itself the alarm term counts %g times, which makes %s", size, d, required)
		}
		s.Chosen, s.Spare = size, size-required
		if s.Rest > 0 {
			s.Longer = Hours(float64(s.Spare) / factor / float64(s.Rest))
		}
		s.step("next usual size: %s, which leaves %s, or %s more at rest", size, s.Spare, s.Longer)
		return
	}
	if under.Largest > 0 {
		s.step("no size up to %s, the largest that the panel takes, is large enough; lighten the load, or ask for another supply", under.Largest)
		return
	}
	s.step("none of the sizes is large enough; take two in parallel if the instructions of the panel allow it, or another size")
}

// charge is EN 54-4:1997 5.3.1 (from memory): 80 % of the rated capacity within 24 h.
func (s *Sizing) charge(under *Conditions) {
	accepts := under.Accepts
	if !(accepts > 0 && accepts <= 1) {
		accepts = 1
	}
	of := s.Chosen
	if of == 0 {
		of = s.Required
	}
	s.Charge = ChargeCurrent(of, accepts)
	s.Charges = under.Charger == 0 || under.Charger >= s.Charge
	s.step("to bring %s to 80 %% in 24 h the charger must give %s on average (EN 54-4:1997 5.3.1, not checked)", of, s.Charge)
	if !s.Charges {
		s.step("the charger gives %s, which is too little", under.Charger)
	}
}
