package papers

import (
	"cmp"
	"strings"

	"sootline"
	"sootline/internal/paper"
)

// certificate is a form as data: its groups of fields, and who signs.
type certificate struct {
	key, title, says string
	after            string // the standard after whose model the fields were chosen, and how that is known
	groups           []certificateGroup
	blocks           []func(*paperwork) []paper.Block // what the record lists
	lists            []certificateList                // tables to fill in by hand
	roles            []string
}

type certificateGroup struct {
	title  string
	fields []certificateField
}

// certificateField is a name, and how the record fills it; nil: nobody but the
// signer can.
type certificateField struct {
	name string
	fill func(*paperwork) string
	fact bool // a fact of the site, which lives in its log
}

type certificateList struct {
	title   string
	columns []string
	rows    int
	fill    func(*paperwork) [][]paper.Cell // what the record knows of it stands first; nil: nothing
}

// The fields that the record can fill.
func siteName(p *paperwork) string  { return p.r.Site.Name }
func paperDate(p *paperwork) string { return p.day(p.wish.On) }
func firmName(p *paperwork) string  { return cmp.Or(p.r.Site.Firm, p.wish.Firm.Name) }
func firmPhone(p *paperwork) string { return cmp.Or(p.r.Site.FirmContact, p.wish.Firm.Phone) }
func firmPlace(p *paperwork) string { return strings.Join(p.wish.Firm.Address, ", ") }
func extentOf(p *paperwork) string  { return p.extent(p.r.Points()) }

// leftNormally is the field that says how the site was left.
const leftNormally = "left in normal operation, yes or no"

func variations() certificateList {
	return certificateList{"Variations", []string{"what", "why", "agreed by"}, 4, nil}
}

func outstanding() certificateList {
	return certificateList{"Outstanding work", []string{"what", "who", "by when"}, 4, outstandingRows}
}
func open(n string) certificateField { return certificateField{name: n} }

// fact is a field that a fact of the site fills.
func fact(name string, of func(*sootline.SiteFacts) string) certificateField {
	return certificateField{name: name, fact: true, fill: func(p *paperwork) string { return of(&p.r.Site.SiteFacts) }}
}

func addressFact(name string) certificateField {
	return fact(name, func(f *sootline.SiteFacts) string { return f.Address })
}

func filledBy(name string, fill func(*paperwork) string) certificateField {
	return certificateField{name: name, fill: fill}
}

// certificates is the table of forms. The fields are those that BS 5839-1 annex G
// and NFPA 72 14.6.2.4 ask for, from memory and in our own words; where a standard
// was not to hand the fields are common practice, no source.
func certificates() []certificate {
	return []certificate{installation(), commissioning(), servicing(), modification(), acceptance(), inspectionRecord()}
}

func head() certificateGroup {
	return certificateGroup{"Site", []certificateField{
		filledBy("site", siteName), addressFact("address of the site"),
		fact("customer", func(f *sootline.SiteFacts) string { return f.Customer }),
		fact("responsible person", func(f *sootline.SiteFacts) string { return sootline.Joined(f.Responsible, f.Contact) }),
		fact("system category", func(f *sootline.SiteFacts) string { return f.Category }), filledBy("extent covered", extentOf),
		fact("standard and edition", func(f *sootline.SiteFacts) string { return f.Follows }),
		fact("control equipment", func(f *sootline.SiteFacts) string { return f.Panels }),
		fact("monitoring centre", func(f *sootline.SiteFacts) string { return f.Monitoring }),
	}}
}

func who() certificateGroup {
	return certificateGroup{"Who", []certificateField{
		filledBy("firm", firmName), filledBy("address of the firm", firmPlace), filledBy("telephone of the firm", firmPhone), open("person"), open("competence"), filledBy("date", paperDate),
	}}
}

// installation: its fields are from memory, no list was to hand.
func installation() certificate {
	return certificate{
		key: "installation", title: "Certificate of installation", says: "certificate of installation",
		after: "the model of BS 5839-1 annex G, not checked",
		groups: []certificateGroup{
			head(), who(),
			{"Installed", []certificateField{
				open("position of the person"), open("design that it was installed by"), filledBy("numbers and types as on the register", registerState),
				open("wiring tested: insulation, continuity, earth, and the results"), open("drawings as fitted supplied"), filledBy("problems: defects not closed", defectsNow),
			}},
		},
		blocks: []func(*paperwork) []paper.Block{(*paperwork).byKind, (*paperwork).problems},
		lists:  []certificateList{variations(), outstanding()},
		roles:  []string{"installer", "responsible person"},
	}
}

func commissioning() certificate {
	return certificate{
		key: "commissioning", title: "Certificate of commissioning", says: "certificate of commissioning",
		after: "the model of BS 5839-1 annex G, not checked",
		groups: []certificateGroup{
			head(), who(),
			{"Checks", []certificateField{
				filledBy("points under test tested since they were put in place", testedEver), filledBy("points under test tested in twelve months", testedYear), filledBy("numbers and types as on the register", registerState), filledBy("resting values noted as first values", firstValues),
				open("checks done"), open("sound levels taken"), open("cause and effect proven"), open("wiring test results seen"),
				open("risk of false alarms considered"), open("soak test needed, and its length"), filledBy("problems: defects not closed", defectsNow),
			}},
			{"Handed over", []certificateField{
				open("documents handed over"), open("cause and effect, as matrix or text"), open("call point elements and tools supplied"), open("zone plan beside the panel"),
			}},
		},
		blocks: []func(*paperwork) []paper.Block{(*paperwork).byKind, (*paperwork).problems},
		lists:  []certificateList{variations(), outstanding()},
		roles:  []string{"commissioning engineer", "responsible person"},
	}
}

func servicing() certificate {
	return certificate{
		key: "servicing", title: "Certificate of inspection and servicing", says: "certificate of inspection and servicing",
		after: "the model of BS 5839-1 annex G, not checked",
		groups: []certificateGroup{
			head(), who(),
			{"Visit", []certificateField{
				filledBy("date of the visit", visitDay), filledBy("previous visit", previousVisit),
				filledBy("devices tested at this visit", testedNow), filledBy("tests not passed at this visit", notPassed),
				filledBy("cumulative for twelve months", testedYear), filledBy("faults", faultsNow), filledBy("problems: defects not closed", defectsNow),
			}},
			{"False alarms", []certificateField{
				filledBy("false alarms in twelve months", falseAlarms), filledBy("rate", func(p *paperwork) string { return rateWords(&p.alarmReport().Year) }), filledBy("by category", byCategoryWords),
			}},
			{"Result", []certificateField{
				filledBy("action advised", adviceWords), filledBy("changes found", changesWords), open("battery results"), filledBy("next due date", nextDue),
				filledBy("still out of use", disabledWords), filledBy(leftNormally, leftWords),
			}},
		},
		blocks: []func(*paperwork) []paper.Block{(*paperwork).testedDevices, (*paperwork).problems},
		lists:  []certificateList{variations()},
		roles:  []string{"technician", "responsible person"},
	}
}

func modification() certificate {
	return certificate{
		key: "modification", title: "Certificate of modification", says: "certificate of modification",
		after: "common practice, no source; that a change calls for tests of all that it touches and a share of the rest is NFPA 72 14.4.2, read in a text of 2013",
		groups: []certificateGroup{
			head(), who(),
			{"Change", []certificateField{
				filledBy("what was changed", changedWords), open("why"), open("asked for by"), filledBy("changes on the register in twelve months", changesWords),
				open("configuration kept before the change"), open("drawings brought up to date"),
			}},
			{"Tests after it", []certificateField{
				filledBy("devices touched by the change, all tested", touchedWords), open("devices tested besides (NFPA 72: a tenth of the others, 50 at most)"), open("cause and effect proven again"),
				open("standby battery and loop still sufficient"), open(leftNormally),
			}},
		},
		blocks: []func(*paperwork) []paper.Block{(*paperwork).changes, (*paperwork).problems},
		lists:  []certificateList{variations(), outstanding()},
		roles:  []string{"person responsible for the change", "responsible person"},
	}
}

func acceptance() certificate {
	return certificate{
		key: "acceptance", title: "Certificate of acceptance", says: "certificate of acceptance",
		after: "common practice, no source",
		groups: []certificateGroup{
			head(), who(),
			{"Accepted", []certificateField{
				open("certificates of design, installation and commissioning seen"), open("drawings as fitted received"), open("zone plan beside the panel"), open("log book received"),
				open("instructions received, and people shown what to do"), open("ways to keep false alarms few agreed"), open("maintenance agreed with, and call-out number"),
				filledBy("still out of use", disabledWords), filledBy("problems: defects not closed", defectsNow), open("accepted, yes or no"),
			}},
		},
		blocks: []func(*paperwork) []paper.Block{(*paperwork).byKind, (*paperwork).problems},
		lists:  []certificateList{variations(), outstanding()},
		roles:  []string{"for the user or purchaser", "for the firm"},
	}
}

func inspectionRecord() certificate {
	return certificate{
		key: "record", title: "Record of inspection and testing", says: "record of inspection and testing, after NFPA 72",
		after: "NFPA 72 14.6.2.4, not checked",
		groups: []certificateGroup{
			{"Property", []certificateField{filledBy("date", visitDay), open("frequency of tests"), filledBy("name of the property", siteName), addressFact("address of the property")}},
			{"Tester", []certificateField{
				filledBy("firm", firmName), filledBy("address of the firm", firmPlace), filledBy("telephone of the firm", firmPhone), open("tester"), open("approving agency"),
			}},
			{"Tests", []certificateField{
				filledBy("devices tested", testedNow), filledBy("functional result", resultWords), open("sequence of operations"), filledBy("all smoke detectors checked", smokeTested),
				open("resistance of line-type heat detectors"), open("other tests required"), filledBy("problems: defects not closed", defectsNow),
			}},
		},
		blocks: []func(*paperwork) []paper.Block{(*paperwork).testedDevices, (*paperwork).byKind, (*paperwork).problems},
		lists:  []certificateList{{"Problems, and what happened to each", []string{"problem", "owner told on", "put right and tested again on", "abandoned, by whom"}, 5, problemRows}},
		roles:  []string{"tester", "for the owner"},
	}
}
