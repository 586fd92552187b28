package app

import (
	"sootline"
	"sootline/internal/circuit"
)

// CircuitCaution is to be shown wherever a result of the circuit is.
const CircuitCaution = circuit.Caution

// Load is one line of a load list.
type Load struct {
	Name            string
	Count           int
	RestMA, AlarmMA float64 // of one
}

// Standby is a battery to be sized.
type Standby struct {
	Rule    int // number of the rule set, from 1
	Loads   []Load
	Coldest *float64 // degrees Celsius; nil: no correction
	Design  float64
	Ageing  float64
}

// StandbyRules lists the rule sets, by whose place in the list they are named.
func StandbyRules() []circuit.StandbyRule { return circuit.StandbyRules() }

// Size sizes the battery.
func (s Standby) Size() (*circuit.Sizing, error) {
	rules := circuit.StandbyRules()
	if s.Rule < 1 || s.Rule > len(rules) {
		return nil, sootline.Errorf(sootline.Invalid, "`sootline standby --rules` lists them", "there is no rule set %d", s.Rule)
	}
	var drains []circuit.Drain
	for _, load := range s.Loads {
		drains = append(drains, circuit.Drain{
			Name: load.Name, Count: load.Count, Rest: circuit.Amps(load.RestMA / 1000), Alarm: circuit.Amps(load.AlarmMA / 1000),
		})
	}
	under := circuit.Conditions{Design: s.Design, Ageing: s.Ageing}
	if s.Coldest != nil {
		celsius := circuit.Celsius(*s.Coldest)
		under.Coldest = &celsius
	}
	return circuit.Size(drains, &rules[s.Rule-1], under)
}
