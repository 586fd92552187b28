package app

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/paper"
)

// certificate is a form as data: its groups of fields, and who signs.
type certificate struct {
	key, title, says string
	after            string // the standard after whose model the fields were chosen, and how that is known
	groups           []certificateGroup
	lists            []certificateList // tables to fill in by hand
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
}

type certificateList struct {
	title   string
	columns []string
	rows    int
}

// The fields that the record can fill.
func siteName(p *paperwork) string  { return p.r.Site.Name }
func paperDate(p *paperwork) string { return p.day(p.wish.On) }
func firmName(p *paperwork) string  { return p.wish.Firm.Name }
func firmPhone(p *paperwork) string { return p.wish.Firm.Phone }
func firmPlace(p *paperwork) string { return strings.Join(p.wish.Firm.Address, ", ") }
func extentOf(p *paperwork) string  { return p.extent(p.r.Points()) }
func variations() certificateList {
	return certificateList{"Variations", []string{"what", "why", "agreed by"}, 4}
}
func outstanding() certificateList {
	return certificateList{"Outstanding work", []string{"what", "who", "by when"}, 4}
}
func open(n string) certificateField { return certificateField{name: n} }

func known(name string, fill func(*paperwork) string) certificateField {
	return certificateField{name, fill}
}

// certificates is the table of forms. The fields are those that BS 5839-1 annex G
// and NFPA 72 14.6.2.4 ask for, from memory and in our own words; where a standard
// was not to hand the fields are common practice, no source.
func certificates() []certificate {
	return []certificate{commissioning(), servicing(), modification(), acceptance(), inspectionRecord()}
}

func head() certificateGroup {
	return certificateGroup{"Site", []certificateField{
		known("site", siteName), open("address of the site"), open("responsible person"), open("system category"), known("extent covered", extentOf),
		open("standard and edition"),
	}}
}

func who() certificateGroup {
	return certificateGroup{"Who", []certificateField{
		known("firm", firmName), known("address of the firm", firmPlace), known("telephone of the firm", firmPhone), open("person"), open("competence"), known("date", paperDate),
	}}
}

func commissioning() certificate {
	return certificate{
		key: "commissioning", title: "Certificate of commissioning", says: "certificate of commissioning",
		after: "the model of BS 5839-1 annex G, from memory",
		groups: []certificateGroup{
			head(), who(),
			{"Checks", []certificateField{
				known("points tested of all", testedOfAll), known("numbers and types as on the register", registerState), known("resting values noted as first values", firstValues),
				open("checks done"), open("sound levels taken"), open("cause and effect proven"), open("wiring test results seen"),
				open("risk of false alarms considered"), open("soak test needed, and its length"),
			}},
			{"Handed over", []certificateField{
				open("documents handed over"), open("cause and effect, as matrix or text"), open("call point elements and tools supplied"), open("zone plan beside the panel"),
			}},
		},
		lists: []certificateList{variations(), outstanding()},
		roles: []string{"commissioning engineer", "responsible person"},
	}
}

func servicing() certificate {
	return certificate{
		key: "servicing", title: "Certificate of inspection and servicing", says: "certificate of inspection and servicing",
		after: "the model of BS 5839-1 annex G, from memory",
		groups: []certificateGroup{
			head(), who(),
			{"Visit", []certificateField{
				known("date of the visit", visitDay), known("previous visit", previousVisit),
				known("devices tested at this visit", testedNow), known("cumulative for twelve months", testedYear), known("faults", faultsNow),
			}},
			{"False alarms", []certificateField{
				known("false alarms in twelve months", falseAlarms), known("rate", func(p *paperwork) string { return rateWords(&p.alarmReport().Year) }), known("by category", byCategoryWords),
			}},
			{"Result", []certificateField{
				known("action advised", adviceWords), known("changes found", changesWords), open("battery results"), known("next due date", nextDue),
				known("still out of use", disabledWords), open("left in normal operation, yes or no"),
			}},
		},
		lists: []certificateList{variations()},
		roles: []string{"technician", "responsible person"},
	}
}

func modification() certificate {
	return certificate{
		key: "modification", title: "Certificate of modification", says: "certificate of modification",
		after: "common practice, no source; that a change calls for tests of all that it touches and a share of the rest is NFPA 72 14.4.2, read in a text of 2013",
		groups: []certificateGroup{
			head(), who(),
			{"Change", []certificateField{
				open("what was changed"), open("why"), open("asked for by"), known("changes on the register in twelve months", changesWords),
				open("configuration kept before the change"), open("drawings brought up to date"),
			}},
			{"Tests after it", []certificateField{
				open("devices touched by the change, all tested"), open("devices tested besides (NFPA 72: a tenth of the others, 50 at most)"), open("cause and effect proven again"),
				open("standby battery and loop still sufficient"), open("left in normal operation, yes or no"),
			}},
		},
		lists: []certificateList{variations(), outstanding()},
		roles: []string{"person responsible for the change", "responsible person"},
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
				known("still out of use", disabledWords), open("accepted, yes or no"),
			}},
		},
		lists: []certificateList{variations(), outstanding()},
		roles: []string{"for the user or purchaser", "for the firm"},
	}
}

func inspectionRecord() certificate {
	return certificate{
		key: "record", title: "Record of inspection and testing", says: "record of inspection and testing, after NFPA 72",
		after: "NFPA 72 14.6.2.4, from memory",
		groups: []certificateGroup{
			{"Property", []certificateField{known("date", visitDay), open("frequency of tests"), known("name of the property", siteName), open("address of the property")}},
			{"Tester", []certificateField{
				known("firm", firmName), known("address of the firm", firmPlace), known("telephone of the firm", firmPhone), open("tester"), open("approving agency"),
			}},
			{"Tests", []certificateField{
				known("devices tested", testedNow), known("functional result", resultWords), open("sequence of operations"), known("all smoke detectors checked", testedYear),
				open("resistance of line-type heat detectors"), open("other tests required"),
			}},
		},
		lists: []certificateList{{"Problems, and what happened to each", []string{"problem", "owner told on", "put right and tested again on", "abandoned, by whom"}, 5}},
		roles: []string{"tester", "for the owner"},
	}
}

// certificate fills a form from the record and from what was said of it.
func (p *paperwork) certificate(c *certificate, d *paper.Document) error {
	d.Title = c.title
	d.Cautions = append([]string{
		"This form was filled from the log book and certifies nothing until somebody competent, where the law says so licensed, has checked and signed it. Fields after " + c.after + ".",
	}, d.Cautions...)
	if p.wish.Kind == c.key { // a pack holds several forms
		if err := p.unknownFields(c); err != nil {
			return err
		}
	}
	part := paper.Part{}
	for _, group := range c.groups {
		fields := paper.Fields{}
		for _, f := range group.fields {
			value := p.wish.Fields[f.name]
			if value == "" && f.fill != nil {
				value = f.fill(p)
			}
			fields.Rows = append(fields.Rows, paper.Field{Name: f.name, Value: value})
		}
		part.Blocks = append(part.Blocks, paper.Heading{Text: group.title}, fields)
	}
	if c.key == "servicing" || c.key == "record" {
		part.Blocks = append(part.Blocks, p.testedDevices())
	}
	for _, list := range c.lists {
		part.Blocks = append(part.Blocks, list.table())
	}
	part.Blocks = append(part.Blocks, paper.Signatures{Roles: c.roles})
	d.Parts = []paper.Part{part}
	return nil
}

// unknownFields refuses what the form has no field for: dropping it would lose
// what somebody wrote.
func (p *paperwork) unknownFields(c *certificate) error {
	var names []string
	for _, group := range c.groups {
		for _, f := range group.fields {
			names = append(names, f.name)
		}
	}
	for _, given := range slices.Sorted(maps.Keys(p.wish.Fields)) {
		if !slices.Contains(names, given) {
			return sootline.Errorf(sootline.Invalid, "its fields: "+strings.Join(names, "; "), "the %s has no field %q", c.says, given)
		}
	}
	return nil
}

func (l certificateList) table() paper.Table {
	t := paper.Table{Title: l.title}
	for _, name := range l.columns {
		t.Columns = append(t.Columns, paper.Column{Name: name})
	}
	for range l.rows {
		row := make([]paper.Cell, len(l.columns))
		for i := range row {
			row[i] = paper.Blank()
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// visit says once, for all that need it, what the book says of the visit.
func (p *paperwork) visit() *attendance {
	if p.visited == nil {
		v := p.attended(p.visitSpan())
		p.visited = &v
	}
	return p.visited
}

func testedOfAll(p *paperwork) string {
	v := p.visit()
	return fmt.Sprintf("%d of %d", v.year, v.points)
}

func registerState(p *paperwork) string {
	wrong, unknown := 0, 0
	for _, point := range p.r.Points() {
		switch {
		case point.Found == 0:
			unknown++
		case point.Wanted != 0 && point.Found != point.Wanted:
			wrong++
		}
	}
	return fmt.Sprintf("%d of %d numbers looked at, %d not as wanted", len(p.r.Points())-unknown, len(p.r.Points()), wrong)
}

func firstValues(p *paperwork) string {
	with, of := 0, 0
	for _, point := range p.r.Points() {
		if sheet := p.r.Sheet(point.Type); sheet != nil && !sheet.Kind.Judged() {
			continue
		}
		of++
		if len(point.SinceReset()) > 0 {
			with++
		}
	}
	return fmt.Sprintf("%d of %d detectors", with, of)
}

func visitDay(p *paperwork) string {
	from, to := p.visitSpan()
	if p.day(from) == p.day(to) {
		return p.day(to)
	}
	return p.day(from) + " to " + p.day(to)
}

// previousVisit is the last day with work before this visit.
func previousVisit(p *paperwork) string {
	from, _ := p.visitSpan()
	days := p.workDays(from.Add(-time.Millisecond))
	if len(days) == 0 {
		return ""
	}
	return p.day(days[len(days)-1])
}

func testedNow(p *paperwork) string {
	v := p.visit()
	return fmt.Sprintf("%d of %d, %s", v.tested, v.points, percentOf(v.tested, v.points))
}

func testedYear(p *paperwork) string {
	v := p.visit()
	return fmt.Sprintf("%d of %d, %s", v.year, v.points, percentOf(v.year, v.points))
}

func resultWords(p *paperwork) string {
	v := p.visit()
	return fmt.Sprintf("%d of %d tested points had a test that was not passed", v.failed, v.tested)
}

func faultsNow(p *paperwork) string {
	return howMany(len(p.visit().faults.Rows), "fault", "faults") + " since the visit before"
}

func falseAlarms(p *paperwork) string {
	r := p.alarmReport()
	return fmt.Sprintf("%d in %s", r.Year.Alarms, howMany(r.Year.Incidents, "incident", "incidents"))
}

func byCategoryWords(p *paperwork) string {
	var parts []string
	for _, c := range p.alarmReport().ByCategory {
		parts = append(parts, fmt.Sprintf("%s %d", c.Category, c.Alarms))
	}
	return strings.Join(parts, ", ")
}

func adviceWords(p *paperwork) string {
	var parts []string
	for _, group := range ByAction(p.assessment().Judgements) {
		if group.Action != "leave" {
			parts = append(parts, fmt.Sprintf("%s: %s", group.Action, howMany(len(group.Judgements), "point", "points")))
		}
	}
	if len(parts) == 0 {
		return "none by the readings"
	}
	return strings.Join(parts, "; ")
}

// changesWords counts what changed on the register in twelve months.
func changesWords(p *paperwork) string {
	since := p.monthsAgo(12)
	counts := map[sootline.Kind]int{}
	for i := range p.entries {
		e := &p.entries[i]
		if e.At.After(since) && !e.At.After(p.wish.On) {
			counts[e.Body.Kind()]++
		}
	}
	var parts []string
	for _, kind := range []sootline.Kind{sootline.FittedKind, sootline.RemovedKind, sootline.MovedKind, sootline.ReplacedKind, sootline.AddressedKind, sootline.SetKind} {
		if counts[kind] > 0 {
			parts = append(parts, fmt.Sprintf("%s %d", kind, counts[kind]))
		}
	}
	if len(parts) == 0 {
		return "none written down in twelve months"
	}
	return strings.Join(parts, ", ")
}

func nextDue(p *paperwork) string {
	_, to := p.visitSpan()
	return p.day(to.In(p.zone).AddDate(0, p.r.Site.Rules.VisitMonths, 0)) + " by the site's rule of " + howMany(p.r.Site.Rules.VisitMonths, "month", "months")
}

func disabledWords(p *paperwork) string {
	rows := p.disabled().Rows
	if len(rows) == 0 {
		return "no point by the log book"
	}
	var refs []string
	for _, row := range rows {
		refs = append(refs, row[0].String())
	}
	return strings.Join(refs, ", ")
}

// testedDevices lists what was tested at the visit.
func (p *paperwork) testedDevices() paper.Table {
	t := paper.Table{
		Title:   "Devices tested",
		Columns: []paper.Column{{Name: "point"}, {Name: "location"}, {Name: "day"}, {Name: "result"}, {Name: "by"}},
		None:    "No test was written down.",
	}
	for _, row := range p.visit().work.Rows {
		if row[3].String() == string(sootline.TestedKind) {
			t.Rows = append(t.Rows, []paper.Cell{row[0], row[1], row[2], row[4], row[7]})
		}
	}
	return t
}
