package app

import (
	"sootline"
	"sootline/internal/visit"
)

// The words of the visit room that faces show.
type (
	Obligation = visit.Obligation
	Attendance = visit.Attendance
	Day        = visit.Day
	RuleSet    = visit.Set
	Task       = visit.Task
	LeftOut    = visit.Left
	Tick       = visit.Tick
	LeftUndone = visit.LeftUndone
)

// Does lists, for each work that is planned in a visit, the kinds of entry that do
// it; under "" those that count where nobody wrote down what was planned.
func Does() map[string][]sootline.Kind {
	all := map[string][]sootline.Kind{}
	for _, work := range []string{"", visit.Test, visit.Read, visit.Look, visit.Clean, visit.Replace} {
		all[work] = visit.Does(work)
	}
	return all
}

// RuleSets is the table of sets of rules that can be chosen for a site.
func RuleSets() []RuleSet { return visit.Sets() }

// RulesOf gives the rules that hold on a site.
func RulesOf(r *sootline.Register) []sootline.ServiceRule { return visit.Rules(r) }

// RuleSource names where a rule comes from and how its figures are known.
func RuleSource(rule *sootline.ServiceRule) string { return visit.Source(rule) }

// ParseDay reads a day as [sootline.ParseDate] does; empty gives the day that is not known.
func ParseDay(text string) (Day, error) {
	if text == "" {
		return 0, nil
	}
	year, month, day, err := sootline.ParseDate(text)
	if err != nil {
		return 0, err
	}
	return visit.Date(year, month, day), nil
}
