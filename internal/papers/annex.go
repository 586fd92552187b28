package papers

import (
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/count"
	"sootline/internal/judge"
	"sootline/internal/paper"
	"sootline/internal/visit"
)

// annexKey names an annex of the visit report.
type annexKey int

// The annexes, in their order.
const (
	defectsAnnex annexKey = iota
	valuesAnnex
	unreachedAnnex
	zonesAnnex
	alarmsAnnex
	doneAnnex
)

// annex is a chapter behind the letter.
type annex struct {
	number, title string
	fill          func(*paperwork) []paper.Block
}

// name is how the letter points to it. The numbers are Roman, so that none is taken for an annex of a standard.
func (a annex) name() string { return "Annex " + a.number }

var annexes = map[annexKey]annex{
	defectsAnnex:   {number: "I"},
	valuesAnnex:    {number: "II"},
	unreachedAnnex: {number: "III"},
	zonesAnnex:     {number: "IV"},
	alarmsAnnex:    {number: "V"},
	doneAnnex:      {number: "VI"},
}

// annexList lists the annexes with what fills them.
func annexList() []annex {
	return []annex{
		{annexes[defectsAnnex].number, "what is wrong, and what was put right", (*paperwork).problemsShown},
		{annexes[valuesAnnex].number, "values outside their band, and on the way", func(p *paperwork) []paper.Block { return []paper.Block{p.advised()} }},
		{annexes[unreachedAnnex].number, "what was not reached, not done, or is late", (*paperwork).notSeen},
		{annexes[zonesAnnex].number, "tests by zone", func(p *paperwork) []paper.Block { return []paper.Block{p.byZone()} }},
		{annexes[alarmsAnnex].number, "false alarms", (*paperwork).annexAlarms},
		{annexes[doneAnnex].number, "the visit in full", (*paperwork).inFull},
	}
}

// judged is what the readings came to at the end of the visit.
func (p *paperwork) judged() *judge.Assessment {
	if p.judgedThen != nil {
		return p.judgedThen
	}
	to := p.endsOn()
	p.judgedThen = p.assessment()
	later := func(e *sootline.Entry) bool { return e.At.After(to) && !e.At.After(p.wish.On) }
	if slices.ContainsFunc(p.log.Holding(), later) {
		then := app.SurveyOf(p.ending().r, p.log, to, p.zone, p.now)
		if err := then.Judge(p.ctx); err != nil {
			return p.judgedThen // nobody waits for the paper any more, and whoever made it is told so
		}
		p.judgedThen = then.Judged()
	}
	return p.judgedThen
}

// notSeen lists what was not reached, what of the round was not done, and what is past its rule.
func (p *paperwork) notSeen() []paper.Block {
	unreached := paper.Table{
		Title:   "Not reached at the visit",
		Columns: []paper.Column{{Name: "point"}, {Name: "room"}, {Name: "location"}, {Name: "zone"}, {Name: "not reached on"}, {Name: "because"}, {Name: "last tested"}, {Name: "by"}},
		None:    "No point is written down as not reached.",
	}
	for _, e := range p.unreached() {
		unreached.Rows = append(unreached.Rows, []paper.Cell{
			paper.Text(e.point.Ref().String()), paper.Text(e.point.Area), paper.Text(e.point.Location), paper.Text(e.point.Zone), paper.Text(p.clockOf(e.Entry)),
			paper.Text(e.Text), p.lastTested(e.point), paper.Text(e.Entry.By),
		})
	}
	undone := paper.Table{
		Title:   "Planned on the round, and not done",
		Columns: []paper.Column{{Name: "point"}, {Name: "room"}, {Name: "location"}, {Name: "not done"}},
		None:    "Nothing that was planned on a round is known to be left.",
	}
	for _, left := range p.undone() {
		undone.Rows = append(undone.Rows, []paper.Cell{
			paper.Text(left.Point.Ref().String()), paper.Text(left.Point.Area), paper.Text(left.Point.Location), paper.Text(strings.Join(left.Work, ", ")),
		})
	}
	return []paper.Block{unreached, undone, p.lateTable()}
}

// lateTable lists the points whose test is past the last day of a rule.
func (p *paperwork) lateTable() paper.Table {
	t := paper.Table{
		Title:   "Not tested within the rules of the site",
		Columns: []paper.Column{{Name: "point"}, {Name: "room"}, {Name: "location"}, {Name: "by"}, {Name: "because"}, {Name: "rule"}},
		None:    "No point is past the last day of a rule for its test.",
	}
	for _, o := range p.pastRule() {
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Text(o.point.Ref().String()), paper.Text(o.point.Area), paper.Text(o.point.Location), paper.Text(o.Until.String()), paper.Text(o.Why), paper.Text(visit.Source(&o.Rule)),
		})
	}
	return t
}

// byZone counts the points under test of each zone, and those tested.
func (p *paperwork) byZone() paper.Table {
	t := paper.Table{
		Title: "Tests by zone",
		Columns: []paper.Column{
			{Name: "zone"},
			{Name: "points under test", Right: true},
			{Name: "passed at this visit", Right: true},
			{Name: "not passed", Right: true},
			{Name: "not tested", Right: true},
			{Name: "passed in twelve months", Right: true},
		},
		None: "There is no point under test on the register.",
	}
	type zone struct{ all, passed, failed, year int }
	zones := map[string]*zone{}
	var order []string
	of := func(point *sootline.Point) *zone {
		if zones[point.Zone] == nil {
			zones[point.Zone] = &zone{}
			order = append(order, point.Zone)
		}
		return zones[point.Zone]
	}
	r := p.ending().r
	for _, point := range count.UnderTest(r) {
		of(point).all++
	}
	for _, point := range p.ending().Tested.Points {
		of(point).year++
	}
	for _, point := range p.visit().passed {
		if count.UnderTestKind(count.KindOf(p.r, point)) {
			of(point).passed++
		}
	}
	for _, point := range p.visit().failed {
		if count.UnderTestKind(count.KindOf(p.r, point)) {
			of(point).failed++
		}
	}
	slices.Sort(order)
	for _, name := range order {
		z := zones[name]
		says := name
		if name == "" {
			says = "no zone written down"
		}
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(says), paper.Count(z.all), paper.Count(z.passed), paper.Count(z.failed), paper.Count(z.all - z.passed - z.failed), paper.Count(z.year)})
	}
	return t
}

// annexAlarms lists the false alarms since the visit before, and what they come to in the year.
func (p *paperwork) annexAlarms() []paper.Block {
	t := paper.Table{
		Title:   "False alarms since the visit before",
		Columns: []paper.Column{{Name: "day, time"}, {Name: "point"}, {Name: "location"}, {Name: "category"}, {Name: "cause"}, {Name: "text"}},
		None:    p.toldAlarms()[0],
	}
	for _, s := range p.falseSince() {
		ref, place := "", ""
		if s.Point != nil {
			ref, place = s.Point.Ref().String(), placeOf(s.Point)
		}
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(p.clockOf(s.Entry)), paper.Text(ref), paper.Text(place), paper.Text(string(s.Category)), paper.Text(s.Cause), paper.Text(s.Text)})
	}
	return append([]paper.Block{t}, p.alarmSummary()...)
}

// inFull is the visit as the fields of the standards' lists have it, and every row that was written down.
func (p *paperwork) inFull() []paper.Block {
	v := p.visit()
	blocks := []paper.Block{p.siteFacts(), p.visitFigures()}
	for _, group := range visitGroups() {
		blocks = append(blocks, paper.Heading{Text: group.title}, p.group(group))
	}
	return append(blocks, p.outOfUseThen(), p.disabled(), v.faults, v.work)
}

// visitFigures are the figures of the visit and of the year to it.
func (p *paperwork) visitFigures() paper.Fields {
	v, end := p.visit(), p.ending()
	fields := paper.Fields{}
	add := func(name, value string) {
		fields.Rows = append(fields.Rows, paper.Field{Name: name, Value: value, Known: string(knownBy(value))})
	}
	from, to := p.visitSpan()
	then := func(name, value string) { // what there was no visit for is not known
		if p.nobodyCame() {
			value = ""
		}
		add(name, value)
	}
	then("visit", p.day(from)+" to "+p.day(to))
	add("people who wrote entries", strings.Join(v.people, ", "))
	then("tested at this visit", testedNow(p))
	then("tests not passed at this visit", notPassed(p))
	then("points read at this visit", fmt.Sprint(v.during.Read))
	then("cleaned", fmt.Sprint(v.cleaned))
	then("replaced", fmt.Sprint(v.replaced))
	for _, key := range []app.FigureKey{
		app.PointsFigure, app.DetectorsFigure, app.UnderTestFigure, app.TestedFigure, app.FailedFigure, app.DefectsFigure, app.NextDueFigure, app.UserNextFigure,
	} {
		f := end.Of(key)
		add(f.Name, f.Value)
	}
	add("of the round, not done", undoneWords(p))
	if said := p.closing().Next; said != "" && said != end.Next.Day.String() {
		add("next day, as agreed at the closing", said)
	}
	return fields
}

// outOfUseThen lists what the opening took out of use, and what became of it.
func (p *paperwork) outOfUseThen() paper.Table {
	t := paper.Table{
		Title:   "Taken out of use for the visit",
		Columns: []paper.Column{{Name: "what"}, {Name: "at the end of the visit"}},
		None:    "Nothing is written down as taken out of use for the visit.",
	}
	a := p.attendance()
	if a == nil {
		return t
	}
	back := p.backInUse()
	for _, what := range a.Said().Disabled {
		state := "STILL OUT OF USE"
		if slices.Contains(back, what) {
			state = "back in use"
		}
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(what), paper.Text(state)})
	}
	return t
}
