package papers

import (
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/visit"
)

// visitGroups are the fields that the standards' lists ask a report of a visit to hold, in our own words: BS 5839-1
// 45 and annex F, CEN/TS 54-14 11, NFPA 72 14.6.2.4; which of them were read and which are from memory stands in
// internal/worlds/papers/fields.csv.
func visitGroups() []certificateGroup {
	return []certificateGroup{
		{"How it was left", []certificateField{filledBy(leftNormally, leftWords), filledBy("remarks", closingText)}},
		{"Who", []certificateField{
			filledBy("date of the visit", visitDay), filledBy("frequency of visits", frequencyWords), filledBy("tester", testerWords), filledBy("telephone of the firm", firmPhone),
			filledBy("address of the firm", firmPlace), open("approving agency"), filledBy("cautions confirmed", confirmedWords),
		}},
		{"Looked at besides the points", []certificateField{
			open("batteries and power supplies, load-tested"), open("indications and links of the panel"), open("siting changed by building works"),
			filledBy("faults of the log book since the visit before", faultsNow), open("sequence of operations, cause and effect"),
			filledBy("all smoke detectors checked in twelve months", smokeTested), open("loop resistance of line heat detectors"), open("other tests required"),
			filledBy("functional result, of the tests at this visit", resultWords), open("result expected, where another was found"), filledBy("problems: defects not closed", defectsNow),
		}},
	}
}

// frequencyWords says how often the rules of the site ask for a visit.
func frequencyWords(p *paperwork) string {
	var all []string
	for _, rule := range visit.Rules(p.r) {
		if rule.Form == sootline.VisitForm && rule.Months > 0 {
			all = append(all, fmt.Sprintf("every %d months (%s)", rule.Months, visit.Source(&rule)))
		}
	}
	return strings.Join(all, "; ")
}

// testerWords names who was here: whoever opened or closed the visit, else whoever wrote what was done.
func testerWords(p *paperwork) string {
	names := slices.Clone(p.visit().people)
	if a := p.attendance(); a != nil {
		for _, e := range []*sootline.Event{a.Opened, a.Closed} {
			if e != nil && e.Entry.By != "" && !slices.Contains(names, e.Entry.By) {
				names = append(names, e.Entry.By)
			}
		}
	}
	return strings.Join(names, ", ")
}

// confirmedWords lists the cautions that were confirmed at the opening.
func confirmedWords(p *paperwork) string {
	a := p.attendance()
	if a == nil {
		return ""
	}
	var all []string
	for _, c := range app.Cautions() {
		if slices.Contains(a.Said().Confirmed, c.Key) {
			all = append(all, c.Text)
		}
	}
	return strings.Join(all, "; ")
}
