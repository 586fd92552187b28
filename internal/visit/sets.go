package visit

import "sootline"

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
	return []Set{plain(), bs2017(), bs2025(), is2013(), ts2004(), nfpa2019()}
}

// Editions that rules are quoted from.
const (
	bs02   = "BS 5839-1:2002"
	bs17   = "BS 5839-1:2017"
	bs25   = "BS 5839-1:2025"
	is3218 = "I.S. 3218:2013"
	ts54   = "CEN/TS 54-14:2004"
	nfpa13 = "NFPA 72-2013"
	nfpa19 = "NFPA 72-2019"
)

func plain() Set {
	visit := sootline.ServiceRule{
		Name: "visit", Form: sootline.VisitForm, Edition: bs17, Clause: "45.3", Known: sootline.KnownRead, Months: 6, Text: "not longer than six months from visit to visit",
	}
	return Set{
		Plain, "what holds where nobody chose: visits as the site says, every point in twelve months, one of each zone at each visit, units at the end of their life",
		[]sootline.ServiceRule{visit, yearly(), zones(), life()},
	}
}

func bs2017() Set {
	rules := plain().Rules
	return Set{
		"bs5839-1-2017", "BS 5839-1:2017, with what 2002 says where the later text was not read",
		[]sootline.ServiceRule{rules[0], yearly(), zones(), weekly(), life()},
	}
}

func bs2025() Set {
	visit := sootline.ServiceRule{
		Name: "visit", Form: sootline.VisitForm, Edition: bs25, Clause: "section 6", Known: sootline.KnownRead, Months: 6, From: 5, To: 7,
		Text: "six months nominally; from five to seven after the last stays compliant",
	}
	return Set{
		"bs5839-1-2025", "BS 5839-1:2025: the visit's window; the rest as in earlier editions, since its text was not read",
		[]sootline.ServiceRule{visit, yearly(), zones(), weekly(), life()},
	}
}

func yearly() sootline.ServiceRule {
	return sootline.ServiceRule{
		Name: "every point yearly", Form: sootline.EveryForm, Edition: bs02, Clause: "45.4", Known: sootline.KnownRestated, Months: 12, Visits: 2,
		Text: "every detector and call point tested in twelve months; may be split over the visits",
	}
}

func zones() sootline.ServiceRule {
	return sootline.ServiceRule{
		Name: "one of each zone", Form: sootline.ZoneForm, Edition: bs02, Known: sootline.KnownRestated,
		Text: "one detector or call point of each zone at each visit",
	}
}

func weekly() sootline.ServiceRule {
	return sootline.ServiceRule{
		Name: "weekly call point", Form: sootline.RotationForm, Edition: bs17, Clause: "44", Known: sootline.KnownRemembered, Days: 7,
		Devices: []sootline.DeviceKind{sootline.CallPoint},
		Text:    "the user operates one call point a week, a different one each week",
	}
}

func is2013() Set {
	return Set{"is3218-2013", "I.S. 3218:2013: a quarter at each quarterly visit", []sootline.ServiceRule{
		{Name: "visit", Form: sootline.VisitForm, Edition: is3218, Known: sootline.KnownRestated, Months: 3, Text: "quarterly"},
		{Name: "a quarter each visit", Form: sootline.EveryForm, Edition: is3218, Known: sootline.KnownRestated, Months: 12, Visits: 4, Text: "25 % at each quarterly visit, in turn"},
		life(),
	}}
}

func ts2004() Set {
	return Set{"ts54-14-2004", "CEN/TS 54-14:2004: quarterly visits, a user's test each month", []sootline.ServiceRule{
		{Name: "visit", Form: sootline.VisitForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Months: 3, Text: "quarterly"},
		{
			Name: "every point yearly", Form: sootline.EveryForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Months: 12, Visits: 4,
			Text: "every detector yearly; 25 % at each quarterly visit is an accepted way",
		},
		{Name: "one of each zone", Form: sootline.ZoneForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Text: "one detector or call point of each zone each quarter"},
		{
			Name: "monthly test", Form: sootline.RotationForm, Edition: ts54, Clause: "11", Known: sootline.KnownRemembered, Months: 1,
			Devices: []sootline.DeviceKind{sootline.CallPoint}, Text: "the user operates one device a month, another one each month",
		},
		life(),
	}}
}

func nfpa2019() Set {
	smoke := []sootline.DeviceKind{sootline.Smoke, sootline.Multi}
	others := []sootline.DeviceKind{sootline.Smoke, sootline.Multi, sootline.Gas, sootline.Flame, sootline.CallPoint}
	return Set{"nfpa72-2019", "NFPA 72-2019, chapter 14; a heat detector counts as restorable", []sootline.ServiceRule{
		{Name: "visit", Form: sootline.VisitForm, Edition: nfpa19, Clause: "Table 14.3.1", Known: sootline.KnownRestated, Months: 6, Text: "initiating devices are looked at twice a year"},
		{
			Name: "smoke yearly", Form: sootline.EveryForm, Edition: nfpa19, Clause: "Table 14.4.3.2", Known: sootline.KnownRestated, Months: 12, Devices: others,
			Text: "functional test of smoke detectors and manual boxes each year",
		},
		{
			Name: "heat in five years", Form: sootline.EveryForm, Edition: nfpa19, Clause: "Table 14.4.3.2", Known: sootline.KnownRemembered, Months: 60, PerLoop: 2,
			Devices: []sootline.DeviceKind{sootline.Heat}, Text: "restorable heat detectors: two of each circuit a year, different ones, all within five years",
		},
		{
			Name: "sensitivity", Form: sootline.SensitivityForm, Edition: nfpa19, Clause: "14.4.4.3", Known: sootline.KnownRemembered, Months: 12, Then: 24, Stretch: 60, Devices: smoke,
			Text: "within one year of installation and every second year; up to five years after two tests in range, while unwanted alarms do not rise",
		},
		{
			Name: "retest after change", Form: sootline.RetestForm, Edition: nfpa13, Clause: "14.4.2", Known: sootline.KnownRead, Percent: 10, Most: 50, Days: 7,
			Text: "all points known to be affected, and 10 % of the others, at most 50 (the seven days are ours, no source)",
		},
		life(),
	}}
}

// life: no standard read here sets a general service life; type sheets do.
func life() sootline.ServiceRule {
	return sootline.ServiceRule{Name: "service life", Form: sootline.LifeForm, Known: sootline.KnownOwn, Text: "units replaced at the end of the service life on their type sheet"}
}
