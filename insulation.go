package sootline

import (
	"fmt"
	"strings"
)

// InsulationRule is the least insulation that a code wants of a cable.
type InsulationRule struct {
	Name   string  // of the code
	MOhms  float64 // of each core to earth, at least
	Volts  float64 // of the test
	Source string
}

// InsulationRules lists the rules that are known.
func InsulationRules() []InsulationRule {
	return []InsulationRule{
		{"BS 5839-1", 2, 500, "an installer's guidance for it, read; for cables before devices are connected"},
	}
}

// InsulationRuleOf finds the rule of the site for a loop: the site's own figure where its supply has
// one, else that of the code that the site follows; nil where neither is known.
func (r *Register) InsulationRuleOf(id LoopID) *InsulationRule {
	if s := r.supplies[id]; s != nil && s.LeastMOhms > 0 {
		return &InsulationRule{Name: "the site", MOhms: s.LeastMOhms, Source: "the site's own, written with the supply"}
	}
	for _, rule := range InsulationRules() {
		if strings.Contains(strings.ToLower(r.Site.Follows), strings.ToLower(rule.Name)) {
			return &rule
		}
	}
	return nil
}

// ToEarth is the last insulation that was measured of a core of a loop.
type ToEarth struct {
	Core  string
	MOhms float64
	Over  bool // the tester was over its range: at least so much
	In    *Measuring
}

// ToEarth lists the last insulation of each core of a loop that was measured.
func (r *Register) ToEarth(id LoopID) []ToEarth {
	var last [2]*ToEarth
	all := r.measured[id]
	for i := range all {
		if x := all[i].PlusEarth; x != nil {
			last[0] = &ToEarth{"plus core", *x, all[i].PlusEarthOver, &all[i]}
		}
		if x := all[i].MinusEarth; x != nil {
			last[1] = &ToEarth{"minus core", *x, all[i].MinusEarthOver, &all[i]}
		}
	}
	var cores []ToEarth
	for _, one := range last {
		if one != nil {
			cores = append(cores, *one)
		}
	}
	return cores
}

// TestedBy says where the tester's volts were not those that the rule wants; empty where they were,
// and where the rule wants none.
func (rule *InsulationRule) TestedBy(volts *float64) string {
	switch {
	case rule == nil || rule.Volts == 0:
		return ""
	case volts == nil:
		return fmt.Sprintf("; by which volts it was tested is not written down, and %s wants %g", rule.Name, rule.Volts)
	case *volts != rule.Volts:
		return fmt.Sprintf("; tested by %g V, and %s wants %g", *volts, rule.Name, rule.Volts)
	}
	return ""
}
