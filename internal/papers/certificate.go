package papers

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/visit"
)

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
func (p *paperwork) visit() *visitWork {
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
	for _, group := range app.ByAction(p.assessment().Judgements) {
		if group.Action != app.Leave {
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
	for _, e := range p.log.Entries() {
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

// nextDue is the day that the visit's closing names, or else the one by the site's
// rules.
func nextDue(p *paperwork) string {
	if next := p.closing().Next; next != "" {
		return next
	}
	_, to := p.visitSpan()
	months := p.r.Site.Rules.VisitMonths
	return visit.DayOf(to, p.zone).AddMonths(months).String() + " by the site's rule of " + howMany(months, "month", "months")
}

func disabledWords(p *paperwork) string {
	var all []string
	for _, o := range (&app.DueList{Register: p.r, Zone: p.zone}).Standing() {
		all = append(all, o.String())
	}
	if len(all) == 0 {
		return "nothing by the log book"
	}
	return strings.Join(all, ", ")
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
