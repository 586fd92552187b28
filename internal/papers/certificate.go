package papers

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/count"
	"sootline/internal/judge"
	"sootline/internal/paper"
	"sootline/internal/visit"
)

// certificate fills a form from the record and from what was said of it.
func (p *paperwork) certificate(c *certificate, d *paper.Document) error {
	d.Title = c.title
	d.Cautions = append([]string{
		"This form was filled from the log book and certifies nothing until somebody competent, where the law says so licensed, has checked and signed it. Fields after " + c.after + ".",
	}, d.Cautions...)
	part := paper.Part{}
	for _, group := range c.groups {
		part.Blocks = append(part.Blocks, paper.Heading{Text: group.title}, p.group(group))
	}
	for _, block := range c.blocks {
		part.Blocks = append(part.Blocks, block(p)...)
	}
	for _, list := range c.lists {
		part.Blocks = append(part.Blocks, list.table(p))
	}
	part.Blocks = append(part.Blocks, paper.Signatures{Roles: c.roles})
	d.Parts = []paper.Part{part}
	return nil
}

func (l certificateList) table(p *paperwork) paper.Table {
	t := paper.Table{Title: l.title}
	for _, name := range l.columns {
		t.Columns = append(t.Columns, paper.Column{Name: name})
	}
	if l.fill != nil {
		t.Rows = l.fill(p)
	}
	for range max(2, l.rows-len(t.Rows)) {
		row := make([]paper.Cell, len(l.columns))
		for i := range row {
			row[i] = paper.Blank()
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func registerState(p *paperwork) string {
	wrong, unknown := 0, 0
	for _, point := range p.r.Points() {
		if point.Found == 0 {
			unknown++
		}
		if point.Wanted != 0 && point.Stands.Number != 0 && point.Stands.Number != point.Wanted {
			wrong++
		}
	}
	return fmt.Sprintf("%d of %d numbers looked at, %d not as wanted", len(p.r.Points())-unknown, len(p.r.Points()), wrong)
}

func firstValues(p *paperwork) string {
	with, of := 0, 0
	for _, point := range p.r.Points() {
		if !count.Detector(count.KindOf(p.r, point)) {
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
	switch {
	case p.nobodyCame():
		return ""
	case p.day(from) == p.day(to):
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

func testedNow(p *paperwork) string { return app.ShareWords(p.visit().during.Share) }

func testedYear(p *paperwork) string { return p.ending().Of(app.TestedFigure).Value }

func notPassed(p *paperwork) string { return fmt.Sprint(p.visit().during.NotPassed) }

func resultWords(p *paperwork) string {
	during := p.visit().during
	return fmt.Sprintf("%d passed, %d not passed", during.N, during.NotPassed)
}

func faultsNow(p *paperwork) string {
	return howMany(len(p.visit().faults.Rows), "fault", "faults") + " since the visit before"
}

func defectsNow(p *paperwork) string { return p.ending().Of(app.DefectsFigure).Value }

// falseAlarms is the figure of the year; where the log tells of none of that time, it says so.
func falseAlarms(p *paperwork) string {
	if !p.alarmsRecorded() {
		return "not recorded: no detectors, or no record of the time"
	}
	return p.figures().Of(app.FalseFigure).Value
}

func byCategoryWords(p *paperwork) string {
	if !p.alarmsRecorded() {
		return "not recorded"
	}
	var parts []string
	for _, c := range count.FalseCategories() {
		parts = append(parts, fmt.Sprintf("%s %d", c, p.figures().Signals.ByCategory[c]))
	}
	return strings.Join(parts, ", ")
}

func adviceWords(p *paperwork) string {
	var parts []string
	for _, group := range app.ByAction(p.assessment().Judgements) {
		if group.Action != app.Leave {
			says := fmt.Sprintf("%s: %s", group.Action, howMany(len(group.Judgements), "point", "points"))
			if group.Action == judge.CleanNow || group.Action == judge.Replace {
				says += ": " + refsOf(group.Judgements)
			}
			parts = append(parts, says)
		}
	}
	if len(parts) == 0 {
		return "none by the readings"
	}
	return strings.Join(parts, "; ")
}

// refsOf names the points of judgements, all of them.
func refsOf(judgements []judge.Judgement) string {
	refs := make([]string, len(judgements))
	for i := range judgements {
		refs[i] = judgements[i].Point.Ref().String()
	}
	return strings.Join(refs, ", ")
}

// testedEver counts the points whose last test was passed, however long ago: since each was put in place.
func testedEver(p *paperwork) string {
	share := count.Share{}
	walks := p.survey().Signals().Walks()
	for _, point := range count.UnderTest(p.r) {
		share.Of++
		if last := count.Last(count.TestsOf(point, walks, p.zone)); last != nil && !last.Failed {
			share.N++
		}
	}
	return app.ShareWords(share)
}

// changesWords counts what changed on the register and in the configuration in
// twelve months.
func changesWords(p *paperwork) string {
	on := visit.DayOf(p.wish.On, p.zone)
	after := on.AddMonths(-12)
	counts := map[sootline.Kind]int{}
	for _, e := range p.log.Holding() {
		if day := visit.DayOf(e.At, p.zone); after < day && day <= on {
			counts[e.Body.Kind()]++
		}
	}
	var parts []string
	for _, kind := range []sootline.Kind{
		sootline.ChangedKind, sootline.FittedKind, sootline.RemovedKind, sootline.MovedKind, sootline.ReplacedKind, sootline.AddressedKind, sootline.SetKind, sootline.WishKind,
	} {
		if counts[kind] > 0 {
			parts = append(parts, fmt.Sprintf("%s %d", kind, counts[kind]))
		}
	}
	if len(parts) == 0 {
		return "none written down in twelve months"
	}
	return strings.Join(parts, ", ")
}

// nextDue is the figure at the end of the visit.
func nextDue(p *paperwork) string { return p.ending().Of(app.NextDueFigure).Value }

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
func (p *paperwork) testedDevices() []paper.Block {
	t := paper.Table{
		Title:   "Devices tested",
		Columns: []paper.Column{{Name: "point"}, {Name: "location"}, {Name: "device"}, {Name: "day"}, {Name: "result"}, {Name: "by"}},
		None:    "No test was written down.",
	}
	t.Rows = append(t.Rows, p.visit().tests...)
	return []paper.Block{t}
}

// byKind counts the devices of the site, and those tested, each kind by itself.
func (p *paperwork) byKind() []paper.Block {
	t := paper.Table{
		Title:   "Devices by their kind",
		Columns: []paper.Column{{Name: "kind"}, {Name: "devices", Right: true}, {Name: "tested in twelve months", Right: true}, {Name: "tested at this visit", Right: true}},
		None:    "There is no device on the register.",
	}
	n, year, now := count.PointsOf(p.ending().r), map[sootline.DeviceKind]int{}, map[sootline.DeviceKind]int{}
	for _, point := range p.ending().Tested.Points {
		year[count.KindOf(p.ending().r, point)]++
	}
	for _, point := range p.visit().passed {
		now[count.KindOf(p.r, point)]++
	}
	for _, kind := range slices.Sorted(maps.Keys(n.ByKind)) {
		name := string(kind)
		if kind == "" {
			name = "kind not known"
		}
		row := []paper.Cell{paper.Text(name), paper.Count(n.ByKind[kind]), paper.Count(year[kind]), paper.Count(now[kind])}
		if !count.UnderTestKind(kind) {
			row[2], row[3] = paper.Text("not counted"), paper.Text("not counted")
		}
		t.Rows = append(t.Rows, row)
	}
	return []paper.Block{t}
}
