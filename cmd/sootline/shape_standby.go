package main

import "sootline/internal/app"

// The shapes of `standby --json` and `standby wear --json`.

type standbyShape struct {
	Loads   []loadShape `json:"loads"`
	Sizes   []sizeShape `json:"sizes"`
	Assumed []string    `json:"assumed"`
	Caution string      `json:"caution"`
}

type loadShape struct {
	Name    string  `json:"name"`
	Count   int     `json:"count"`
	RestMA  float64 `json:"rest_ma"`
	AlarmMA float64 `json:"alarm_ma"`
}

type sizeShape struct {
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

func standbyJSON(battery app.Battery, only int, assumed []string) (standbyShape, error) {
	shape := standbyShape{Loads: []loadShape{}, Sizes: []sizeShape{}, Assumed: orEmpty(assumed), Caution: app.CircuitCaution}
	for _, d := range battery.Drains {
		shape.Loads = append(shape.Loads, loadShape{d.Name, d.Count, milli(float64(d.Rest)), milli(float64(d.Alarm))})
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

func shapeSize(rule int, size *app.Sizing) sizeShape {
	set := app.StandbyRules()[rule-1]
	r := func(x float64) *float64 { return rounded(&x) }
	s := sizeShape{
		Rule: rule, Name: set.Name, Clause: set.Clause, Required: *r(float64(size.Required)),
		ChargeMA: milli(float64(size.Charge)), Charges: size.Charges, Reasoning: size.Steps,
	}
	if size.Chosen > 0 {
		s.Chosen, s.Spare, s.Longer = r(float64(size.Chosen)), r(float64(size.Spare)), r(float64(size.Longer))
	}
	return s
}

type ruleShape struct {
	Rule    int         `json:"rule"`
	Name    string      `json:"name"`
	Clause  string      `json:"clause"`
	Standby figureShape `json:"standby_hours"`
	Alarm   figureShape `json:"alarm_hours"`
	Factor  figureShape `json:"factor"`
}

type figureShape struct {
	Value  float64 `json:"value"`
	Source string  `json:"source"`
	Note   string  `json:"note,omitempty"`
}

func rulesJSON() []ruleShape {
	var shapes []ruleShape
	for i, rule := range app.StandbyRules() {
		shapes = append(shapes, ruleShape{
			i + 1, rule.Name, rule.Clause,
			figureShape{rule.Standby.Value, string(rule.Standby.Source), rule.Standby.Note},
			figureShape{rule.Alarm.Value, string(rule.Alarm.Source), rule.Alarm.Note},
			figureShape{rule.Margin.Value, string(rule.Margin.Source), rule.Margin.Note},
		})
	}
	return shapes
}

type wearShape struct {
	Capacity float64  `json:"capacity_ah"`
	Share    float64  `json:"share"`
	Replace  bool     `json:"replace"`
	Left     *float64 `json:"years_left"`
	Reason   string   `json:"reason"`
	Caution  string   `json:"caution"`
}

func wearJSON(w *app.Wear) wearShape {
	capacity, share := float64(w.Capacity), w.Share
	shape := wearShape{Capacity: *rounded(&capacity), Share: *rounded(&share), Replace: w.Replace, Reason: w.Reason, Caution: app.CircuitCaution}
	if w.Left > 0 {
		shape.Left = rounded(&w.Left)
	}
	return shape
}
