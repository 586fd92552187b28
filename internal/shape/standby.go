package shape

import "sootline/internal/app"

// The shapes of `standby --json` and `standby wear --json`.

// Standby is the answer of `standby --json`.
type Standby struct {
	Loads   []Load   `json:"loads"`
	Sizes   []Size   `json:"sizes"`
	Entry   string   `json:"entry"` // that states the load list of the panel; withdrawn, the one before holds again
	Lacks   string   `json:"lacks"`
	Assumed []string `json:"assumed"`
	Caution string   `json:"caution"`
}

// Load is one line of a load list.
type Load struct {
	Name    string  `json:"name"`
	Count   int     `json:"count"`
	RestMA  float64 `json:"rest_ma"`
	AlarmMA float64 `json:"alarm_ma"`
}

// Size is a battery by one set of rules.
type Size struct {
	Rule      int      `json:"rule"`
	Name      string   `json:"name"`
	Clause    string   `json:"clause"`
	Required  float64  `json:"required_ah"`
	Chosen    *float64 `json:"chosen_ah"`
	Spare     *float64 `json:"spare_ah"`
	Longer    *float64 `json:"longer_hours"`
	ChargeMA  float64  `json:"charge_ma"`
	Charges   bool     `json:"charges"`
	Reasoning []string `json:"reasoning"`
}

// OfStandby sizes a battery by all sets of rules, or by one alone (from 1).
func OfStandby(battery app.Battery, only int, assumed []string) (Standby, error) {
	shape := Standby{Lacks: battery.Lacks(), Loads: []Load{}, Sizes: []Size{}, Assumed: orEmpty(assumed), Caution: app.CircuitCaution}
	for _, d := range battery.Drains {
		shape.Loads = append(shape.Loads, Load{d.Name, d.Count, Milli(float64(d.Rest)), Milli(float64(d.Alarm))})
	}
	if battery.Kept != nil {
		shape.Entry = battery.Kept.Entry.String()
	}
	first, last := 1, len(app.StandbyRules())
	if only != 0 {
		first, last = only, only
	}
	for rule := first; rule <= last; rule++ {
		size, err := battery.Size(rule)
		if err != nil {
			return shape, err
		}
		shape.Sizes = append(shape.Sizes, shapeSize(rule, size))
	}
	return shape, nil
}

func shapeSize(rule int, size *app.Sizing) Size {
	set := app.StandbyRules()[rule-1]
	r := func(x float64) *float64 { return rounded(&x) }
	s := Size{
		Rule: rule, Name: set.Name, Clause: set.Clause, Required: *r(float64(size.Required)),
		ChargeMA: Milli(float64(size.Charge)), Charges: size.Charges, Reasoning: size.Steps,
	}
	if size.Chosen > 0 {
		s.Chosen, s.Spare, s.Longer = r(float64(size.Chosen)), r(float64(size.Spare)), r(float64(size.Longer))
	}
	return s
}

// StandbyRule is a set of rules.
type StandbyRule struct {
	Rule    int    `json:"rule"`
	Name    string `json:"name"`
	Clause  string `json:"clause"`
	Standby Figure `json:"standby_hours"`
	Alarm   Figure `json:"alarm_hours"`
	Factor  Figure `json:"factor"`
}

// Figure is a figure of a rule with its origin.
type Figure struct {
	Value  float64 `json:"value"`
	Source string  `json:"source"`
	Note   string  `json:"note,omitempty"`
}

// OfStandbyRules lists the sets of rules.
func OfStandbyRules() []StandbyRule {
	var shapes []StandbyRule
	for i, rule := range app.StandbyRules() {
		shapes = append(shapes, StandbyRule{
			i + 1, rule.Name, rule.Clause,
			Figure{rule.Standby.Value, string(rule.Standby.Source), rule.Standby.Note},
			Figure{rule.Alarm.Value, string(rule.Alarm.Source), rule.Alarm.Note},
			Figure{rule.Margin.Value, string(rule.Margin.Source), rule.Margin.Note},
		})
	}
	return shapes
}

// Wear is the answer of `standby wear --json`.
type Wear struct {
	Capacity float64  `json:"capacity_ah"`
	Share    float64  `json:"share"`
	Replace  bool     `json:"replace"`
	Left     *float64 `json:"years_left"`
	Reason   string   `json:"reason"`
	Caution  string   `json:"caution"`
}

// OfWear shapes what a discharge test says.
func OfWear(w *app.Wear) Wear {
	capacity, share := float64(w.Capacity), w.Share
	shape := Wear{Capacity: *rounded(&capacity), Share: *rounded(&share), Replace: w.Replace, Reason: w.Reason, Caution: app.CircuitCaution}
	if w.Left > 0 {
		shape.Left = rounded(&w.Left)
	}
	return shape
}
