package visit

import (
	"cmp"

	"sootline"
)

// Rules gives the rules that hold on a site: those chosen, else the plain set
// with the site's own time between visits.
func Rules(r *sootline.Register) []sootline.ServiceRule {
	if len(r.Site.Service.Rules) > 0 {
		return r.Site.Service.Rules
	}
	rules := plain().Rules
	months := cmp.Or(r.Site.Rules.VisitMonths, 6)
	for i := range rules {
		switch rules[i].Form {
		case sootline.VisitForm:
			if months != rules[i].Months {
				rules[i].Months, rules[i].Known, rules[i].Edition, rules[i].Clause = months, sootline.KnownOwn, "", ""
				rules[i].Text = "as the site says"
			}
		case sootline.EveryForm:
			rules[i].Visits = max(1, rules[i].Months/months)
		}
	}
	return rules
}

// VisitMonths is the time from one visit to the next that the rules ask for; the
// shortest where several do, and six months where none does.
func VisitMonths(rules []sootline.ServiceRule) int {
	months := 0
	for _, rule := range rules {
		if rule.Form == sootline.VisitForm && (months == 0 || rule.Months < months) {
			months = rule.Months
		}
	}
	return cmp.Or(months, 6)
}

// applies reports whether a rule is about a point. A type nobody described
// counts as a smoke detector: too much is asked for rather than too little.
func applies(rule *sootline.ServiceRule, kind sootline.DeviceKind) bool {
	if kind == "" {
		kind = sootline.Smoke
	}
	if len(rule.Devices) > 0 {
		for _, device := range rule.Devices {
			if device == kind {
				return true
			}
		}
		return false
	}
	switch rule.Form {
	case sootline.RotationForm:
		return kind == sootline.CallPoint
	case sootline.SensitivityForm:
		return kind == sootline.Smoke || kind == sootline.Multi
	case sootline.LifeForm:
		return true
	}
	return kind.Judged() || kind == sootline.CallPoint
}

// Source names where a rule comes from and how its figures are known.
func Source(rule *sootline.ServiceRule) string {
	if rule.Edition == "" {
		return rule.SayKnown()
	}
	source := rule.Edition
	if rule.Clause != "" {
		source += " " + rule.Clause
	}
	return source + ", " + rule.SayKnown()
}
