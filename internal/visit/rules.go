package visit

import (
	"cmp"

	"sootline"
)

// Set is the rules of one standard and edition, ready to be chosen for a site.
type Set struct {
	Name  string
	Says  string
	Rules []sootline.ServiceRule
}

// Plain is the name of the set that holds where nobody chose one.
const Plain = "plain"

// Sets is the whole table of sets. Each figure says how it is known; what is
// restated or remembered is to be checked against the edition in force. Sources
// are named in docs/methods/visit.md.
func Sets() []Set {
	type rule = sootline.ServiceRule
	heads := []sootline.DeviceKind{sootline.Smoke, sootline.Multi}
	const bs17, bs25, bs02 = "BS 5839-1:2017", "BS 5839-1:2025", "BS 5839-1:2002"
	const nfpa, ts54, is3218 = "NFPA 72-2019", "CEN/TS 54-14:2004", "I.S. 3218:2013"
	yearly := rule{
		Name: "every point yearly", Form: sootline.EveryForm, Edition: bs02, Clause: "45.4", Known: sootline.KnownRestated, Months: 12, Visits: 2,
		Text: "every detector and call point tested in twelve months; may be split over the visits",
	}
	zones := rule{
		Name: "one of each zone", Form: sootline.ZoneForm, Edition: bs02, Known: sootline.KnownRestated,
		Text: "one detector or call point of each zone at each visit",
	}
	weekly := rule{
		Name: "weekly call point", Form: sootline.RotationForm, Edition: bs17, Clause: "44", Known: sootline.KnownRemembered, Days: 7,
		Devices: []sootline.DeviceKind{sootline.CallPoint},
		Text:    "the user operates one call point a week, a different one each week",
	}
	return []Set{
		{Plain, "what holds where nobody chose: visits as the site says, every point in twelve months, one of each zone at each visit, units at the end of their life", []rule{
			{Name: "visit", Form: sootline.VisitForm, Edition: bs17, Clause: "45.3", Known: sootline.KnownRead, Months: 6, Text: "not longer from visit to visit"},
			yearly, zones, life(),
		}},
		{"bs5839-1-2017", "BS 5839-1:2017, with what 2002 says where the later text was not read", []rule{
			{Name: "visit", Form: sootline.VisitForm, Edition: bs17, Clause: "45.3", Known: sootline.KnownRead, Months: 6, Text: "not longer than six months from visit to visit"},
			yearly, zones, weekly, life(),
		}},
		{"bs5839-1-2025", "BS 5839-1:2025: the visit's window; the rest as in earlier editions, since its text was not read", []rule{
			{
				Name: "visit", Form: sootline.VisitForm, Edition: bs25, Clause: "section 6", Known: sootline.KnownRead, Months: 6, From: 5, To: 7,
				Text: "six months nominally; from five to seven after the last stays compliant",
			},
			yearly, zones, weekly, life(),
		}},
		{"is3218-2013", "I.S. 3218:2013: a quarter at each quarterly visit", []rule{
			{Name: "visit", Form: sootline.VisitForm, Edition: is3218, Known: sootline.KnownRestated, Months: 3, Text: "quarterly"},
			{Name: "a quarter each visit", Form: sootline.EveryForm, Edition: is3218, Known: sootline.KnownRestated, Months: 12, Visits: 4, Text: "25 % at each quarterly visit, in turn"},
			life(),
		}},
		{"ts54-14-2004", "CEN/TS 54-14:2004: quarterly visits, a user's test each month", []rule{
			{Name: "visit", Form: sootline.VisitForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Months: 3, Text: "quarterly"},
			{Name: "every point yearly", Form: sootline.EveryForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Months: 12, Visits: 4, Text: "every detector yearly; 25 % at each quarterly visit is an accepted way"},
			{Name: "one of each zone", Form: sootline.ZoneForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Text: "one detector or call point of each zone each quarter"},
			{
				Name: "monthly test", Form: sootline.RotationForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Months: 1,
				Devices: []sootline.DeviceKind{sootline.CallPoint}, Text: "the user operates one device a month, of another zone each month",
			},
			life(),
		}},
		{"nfpa72-2019", "NFPA 72-2019, chapter 14", []rule{
			{Name: "visit", Form: sootline.VisitForm, Edition: nfpa, Clause: "Table 14.3.1", Known: sootline.KnownRestated, Months: 6, Text: "initiating devices are looked at twice a year"},
			{
				Name: "smoke yearly", Form: sootline.EveryForm, Edition: nfpa, Clause: "Table 14.4.3.2", Known: sootline.KnownRestated, Months: 12,
				Devices: append([]sootline.DeviceKind{sootline.CallPoint, sootline.Gas, sootline.Flame}, heads...), Text: "functional test of smoke detectors and manual boxes each year",
			},
			{
				Name: "heat in five years", Form: sootline.EveryForm, Edition: nfpa, Clause: "Table 14.4.3.2", Known: sootline.KnownRemembered, Months: 60, PerLoop: 2,
				Devices: []sootline.DeviceKind{sootline.Heat}, Text: "restorable heat detectors: two of each circuit a year, different ones, all within five years",
			},
			{
				Name: "sensitivity", Form: sootline.SensitivityForm, Edition: nfpa, Clause: "14.4.4.3", Known: sootline.KnownRemembered, Months: 12, Then: 24, Stretch: 60,
				Devices: heads, Text: "within one year of installation and every second year; up to five years after two tests in range, while unwanted alarms do not rise",
			},
			{
				Name: "retest after change", Form: sootline.RetestForm, Edition: "NFPA 72-2013", Clause: "14.4.2", Known: sootline.KnownRead, Percent: 10, Most: 50, Days: 7,
				Text: "all points known to be affected, and 10 % of the others, at most 50 (the seven days are ours, no source)",
			},
			life(),
		}},
	}
}

// life: no standard read here sets a general service life; type sheets do.
func life() sootline.ServiceRule {
	return sootline.ServiceRule{Name: "service life", Form: sootline.LifeForm, Known: sootline.KnownOwn, Text: "units replaced at the end of the service life on their type sheet"}
}

// FindSet finds a set by name.
func FindSet(name string) (Set, bool) {
	for _, set := range Sets() {
		if set.Name == name {
			return set, true
		}
	}
	return Set{}, false
}

// Rules gives the rules that hold on a site: those chosen, else the plain set
// with the site's own time between visits.
func Rules(r *sootline.Register) []sootline.ServiceRule {
	if len(r.Site.Service.Rules) > 0 {
		return r.Site.Service.Rules
	}
	rules := Sets()[0].Rules
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
		return rule.Known
	}
	source := rule.Edition
	if rule.Clause != "" {
		source += " " + rule.Clause
	}
	return source + ", " + rule.Known
}
