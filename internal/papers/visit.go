package papers

import (
	"fmt"
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

// reading writes a value and its band.
func reading(j *judge.Judgement) (value paper.Cell, band string) {
	if j == nil {
		return paper.Cell{}, ""
	}
	if !j.ReadAt.IsZero() {
		value = paper.Number(j.Value, -1)
	}
	if j.Band.Complete() {
		band = fmt.Sprintf("%v..%v", *j.Band.Low, *j.Band.High)
	}
	return value, band
}

// lastTested is the day of the last test of a point, and whether it was passed.
func (p *paperwork) lastTested(point *sootline.Point) paper.Cell {
	last := count.Last(count.TestsOf(point, p.survey().Signals().Walks(), p.zone))
	switch {
	case last == nil:
		return paper.Cell{}
	case last.Failed:
		return paper.Text(p.day(last.At) + ", not passed")
	}
	return p.date(last.At)
}

// visitSpan is the time that a visit report is about: what was asked for, or else
// the days of the last visit that was written down, or the last run of days with
// work.
func (p *paperwork) visitSpan() (from, to time.Time) {
	from, to = p.wish.From, p.wish.To
	if to.IsZero() {
		to = p.wish.On
	}
	if !from.IsZero() {
		return from, to
	}
	if v := p.attendance(); v != nil {
		end := v.To()
		if end.IsZero() {
			end = to
		}
		return p.midnight(v.From()), p.dayEnd(end)
	}
	return p.lastWork(to)
}

// attendance is the last visit that was written down until then, or nil.
func (p *paperwork) attendance() *visit.Attendance {
	limit := p.wish.To
	if limit.IsZero() {
		limit = p.wish.On
	}
	all := visit.Attendances(p.r)
	for i := len(all) - 1; i >= 0; i-- {
		if !all[i].From().After(limit) {
			return &all[i]
		}
	}
	return nil
}

// closing is what the end of that visit says; the zero Visit when it has none.
func (p *paperwork) closing() sootline.Visit {
	v := p.attendance()
	if v == nil || v.Closed == nil || !p.wish.From.IsZero() {
		return sootline.Visit{}
	}
	said, _ := v.Closed.Entry.Body.(sootline.Visit)
	return said
}

// pause is how long nothing is done between two visits, at least.
const pause = 14 * 24 * time.Hour

// lastWork finds the last run of days with work on points until then: days that
// are less than a pause apart belong together. Without any, it is that day.
func (p *paperwork) lastWork(until time.Time) (from, to time.Time) {
	days := p.workDays(until)
	if len(days) == 0 {
		return until, until
	}
	to = days[len(days)-1]
	from = to
	for i := len(days) - 1; i >= 0 && from.Sub(days[i]) <= pause; i-- {
		from = days[i]
	}
	return p.midnight(from), p.dayEnd(to)
}

func (p *paperwork) midnight(t time.Time) time.Time {
	year, month, day := t.In(p.zone).Date()
	return sootline.DayBegins(year, month, day, p.zone)
}

func (p *paperwork) dayEnd(t time.Time) time.Time {
	year, month, day := t.In(p.zone).Date()
	return sootline.DayEnds(year, month, day, p.zone)
}

// workDays lists when points were tested, cleaned, replaced, re-based or read, and
// defects mended or tried again.
func (p *paperwork) workDays(until time.Time) []time.Time {
	var days []time.Time
	see := func(at time.Time) {
		if !at.After(until) {
			days = append(days, at)
		}
	}
	walks := p.survey().Signals().Walks()
	for _, point := range p.r.Points() {
		for _, test := range count.TestsOf(point, walks, p.zone) {
			see(test.At)
		}
		for _, e := range point.Events {
			if worked(e.Kind) {
				see(e.At)
			}
		}
		for i := range point.Readings {
			see(point.Readings[i].At)
		}
	}
	for _, d := range p.r.Defects() {
		for _, e := range d.Story {
			if worked(e.Body.Kind()) {
				see(e.At)
			}
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	return days
}

// worked reports whether an entry tells of work, beside tests and readings.
func worked(k sootline.Kind) bool {
	return slices.Contains([]sootline.Kind{sootline.CleanedKind, sootline.ReplacedKind, sootline.RebasedKind, sootline.MendedKind, sootline.RetestedKind}, k)
}

// fillVisit reports on a visit.
func fillVisit(p *paperwork, d *paper.Document) error {
	d.Title = "Visit report"
	from, to := p.visitSpan()
	v, end := p.visit(), p.ending()
	fields := paper.Fields{Rows: []paper.Field{
		{Name: "visit", Value: p.day(from) + " to " + p.day(to)},
		{Name: "people who wrote entries", Value: strings.Join(v.people, ", ")},
		{Name: "tested at this visit", Value: testedNow(p)},
		{Name: "tests not passed at this visit", Value: notPassed(p)},
		{Name: "points read at this visit", Value: fmt.Sprint(v.during.Read)},
		{Name: "cleaned", Value: fmt.Sprint(v.cleaned)},
		{Name: "replaced", Value: fmt.Sprint(v.replaced)},
	}}
	for _, key := range []app.FigureKey{
		app.PointsFigure, app.DetectorsFigure, app.UnderTestFigure, app.TestedFigure, app.FailedFigure, app.DefectsFigure,
	} {
		f := end.Of(key)
		fields.Rows = append(fields.Rows, paper.Field{Name: f.Name, Value: f.Value})
	}
	part := paper.Part{Blocks: []paper.Block{p.siteFacts(), fields, v.work}}
	part.Blocks = append(part.Blocks, p.problems()...)
	part.Blocks = append(part.Blocks, v.faults)
	part.Blocks = append(part.Blocks, p.alarmSummary()...)
	part.Blocks = append(part.Blocks, p.advised(), p.disabled())
	part.Blocks = append(part.Blocks, paper.Heading{Text: "How it was left"}, p.left(), paper.Signatures{Roles: []string{"technician", "responsible person"}})
	d.Parts = []paper.Part{part}
	return nil
}

// siteFacts tells what the log says of the site; what nobody said is left out.
func (p *paperwork) siteFacts() paper.Fields {
	f := &p.r.Site.SiteFacts
	var fields paper.Fields
	for _, x := range [][2]string{
		{"address of the site", f.Address},
		{"customer", f.Customer},
		{"responsible person", sootline.Joined(f.Responsible, f.Contact)},
		{"system category", f.Category},
		{"standard and edition", f.Follows},
		{"control equipment", f.Panels},
		{"monitoring centre", f.Monitoring},
		{"firm", sootline.Joined(f.Firm, f.FirmContact)},
	} {
		if x[1] != "" {
			fields.Rows = append(fields.Rows, paper.Field{Name: x[0], Value: x[1]})
		}
	}
	return fields
}

// left tells how the site was left, as far as the visit's closing says.
func (p *paperwork) left() paper.Fields {
	next := p.ending().Of(app.NextDueFigure)
	fields := paper.Fields{Rows: []paper.Field{
		p.field(filledBy(leftNormally, leftWords)),
		{Name: "of the round, not done", Value: strings.Join(p.undone(), ", ")},
		{Name: next.Name, Value: next.Value},
	}}
	if said := p.closing().Next; said != "" && said != p.ending().Next.Day.String() {
		fields.Rows = append(fields.Rows, paper.Field{Name: "next day, as agreed at the closing", Value: said})
	}
	user := p.ending().Of(app.UserNextFigure)
	fields.Rows = append(fields.Rows, paper.Field{Name: user.Name, Value: user.Value}, p.field(filledBy("remarks", closingText)))
	return fields
}

func closingText(p *paperwork) string { return p.closing().Text }

// undone lists the points of the visit's round at which something planned was not
// done, with the work; where only the end of the visit was written down, the points
// that its closing names.
func (p *paperwork) undone() []string {
	var all []string
	v := p.attendance()
	if v == nil || !p.wish.From.IsZero() {
		return nil
	}
	for _, left := range visit.Undone(v, app.RaisedOf(p.survey().Signals()), p.zone) {
		all = append(all, strings.Join(append([]string{left.Point.Ref().String()}, left.Work...), " "))
	}
	if len(v.Round) > 0 {
		return all
	}
	for _, id := range p.closing().Untested {
		if point := p.r.Point(id); point != nil {
			all = append(all, point.Ref().String())
		}
	}
	return all
}

// leftWords says how the visit's closing says that the site was left.
func leftWords(p *paperwork) string {
	return map[sootline.LeftState]string{sootline.LeftNormal: "yes", sootline.LeftNotNormal: "no"}[p.closing().Left]
}

// visitWork is what the book says of a visit.
type visitWork struct {
	during            count.During
	passed            []*sootline.Point // at it
	cleaned, replaced int
	people            []string
	work, faults      paper.Table
	tests             [][]paper.Cell // point, location, device, day, result, by
}

// visit says once, for all that need it, what the book says of the visit.
func (p *paperwork) visit() *visitWork {
	if p.visited == nil {
		v := p.attended()
		p.visited = &v
	}
	return p.visited
}

// within tells what was done at the visit: by the day, where it was written down;
// else in the span that was asked for.
func (p *paperwork) within() func(*sootline.Entry) bool {
	if a := p.attendance(); a != nil && p.wish.From.IsZero() {
		return func(e *sootline.Entry) bool { return a.Holds(e, p.zone) }
	}
	from, to := p.visitSpan()
	return func(e *sootline.Entry) bool { return !e.At.Before(from) && !e.At.After(to) }
}

func (p *paperwork) attended() visitWork {
	v := visitWork{
		work: paper.Table{
			Title:   "What was done",
			Columns: []paper.Column{{Name: "point"}, {Name: "location"}, {Name: "day"}, {Name: "done"}, {Name: "result"}, {Name: "value", Right: true}, {Name: "remark"}, {Name: "by"}},
			None:    "Nothing was written down.",
		},
		faults: paper.Table{
			Title:   "Faults shown since the visit before",
			Columns: []paper.Column{{Name: "point"}, {Name: "location"}, {Name: "day"}, {Name: "cause"}, {Name: "text"}},
			None:    "No fault was written down.",
		},
	}
	within := p.within()
	walks := p.survey().Signals().Walks()
	v.during = count.DuringOf(p.r, walks, p.zone, within)
	from, to := p.visitSpan()
	since := previousOr(p, from)
	for _, point := range alongCable(p.r.Points()) {
		for _, e := range point.Events {
			if e.Kind == sootline.FaultKind && e.At.After(since) && !e.At.After(to) {
				v.faults.Rows = append(v.faults.Rows, []paper.Cell{paper.Text(point.Ref().String()), paper.Text(placeOf(point)), p.date(e.At), paper.Text(e.Cause), paper.Text(e.Text)})
			}
			if within(e.Entry) && (e.Kind == sootline.CleanedKind || e.Kind == sootline.ReplacedKind || e.Kind == sootline.RebasedKind) {
				v.event(p, point, e)
			}
		}
		v.testsAt(p, point, walks, within)
		for i := range point.Readings {
			if r := &point.Readings[i]; within(r.Entry) {
				v.row(p, point, r.At, "read", "", paper.Text(samples(r.Samples)), "", r.Entry)
			}
		}
	}
	return v
}

// testsAt lists the tests of a point at the visit; its last one decides whether it
// was passed.
func (v *visitWork) testsAt(p *paperwork, point *sootline.Point, walks map[sootline.ID]bool, within func(*sootline.Entry) bool) {
	var last *count.Test
	for _, t := range count.TestsOf(point, walks, p.zone) {
		if !within(t.Entry) {
			continue
		}
		last = &t
		result, remark := "passed", ""
		if t.Failed {
			result = "NOT PASSED"
		}
		switch said := t.Entry.Body.(type) {
		case sootline.Alarm:
			remark = strings.TrimSpace("alarm raised for the test " + said.Text)
		case sootline.Tested:
			remark = said.Text
		case sootline.Retested:
			remark = said.Text
		}
		v.row(p, point, t.At, string(sootline.TestedKind), result, paper.Cell{}, remark, t.Entry)
		v.tests = append(v.tests, []paper.Cell{
			paper.Text(point.Ref().String()), paper.Text(placeOf(point)), paper.Text(string(count.KindOf(p.r, point))), p.date(t.At), paper.Text(result), paper.Text(t.Entry.By),
		})
	}
	if last != nil && !last.Failed {
		v.passed = append(v.passed, point)
	}
}

// previousOr is the end of the visit before, else so long ago as visits are apart.
func previousOr(p *paperwork, from time.Time) time.Time {
	if days := p.workDays(from.Add(-time.Millisecond)); len(days) > 0 {
		return days[len(days)-1]
	}
	return from.AddDate(0, -p.r.Site.Rules.VisitMonths, 0)
}

func (v *visitWork) event(p *paperwork, point *sootline.Point, e sootline.Event) {
	switch e.Kind {
	case sootline.CleanedKind:
		v.cleaned++
	case sootline.ReplacedKind:
		v.replaced++
	}
	v.row(p, point, e.At, string(e.Kind), "", paper.Cell{}, e.Text, e.Entry)
}

func (v *visitWork) row(p *paperwork, point *sootline.Point, at time.Time, done, result string, value paper.Cell, remark string, e *sootline.Entry) {
	if remark == result {
		remark = ""
	}
	if e.By != "" && !slices.Contains(v.people, e.By) {
		v.people = append(v.people, e.By)
		slices.Sort(v.people)
	}
	v.work.Rows = append(v.work.Rows, []paper.Cell{
		paper.Text(point.Ref().String()), paper.Text(placeOf(point)), p.date(at), paper.Text(done), paper.Text(result), value, paper.Text(remark), paper.Text(e.By),
	})
}

func samples(values []float64) string {
	parts := make([]string, len(values))
	for i, x := range values {
		parts[i] = fmt.Sprint(x)
	}
	return strings.Join(parts, " ")
}

// advised lists what the readings call for, the most pressing first.
func (p *paperwork) advised() paper.Table {
	t := paper.Table{
		Title:   "What is advised",
		Columns: []paper.Column{{Name: "point"}, {Name: "location"}, {Name: "value", Right: true}, {Name: "band"}, {Name: "advised"}, {Name: "because"}},
		None:    "Nothing is called for by the readings.",
	}
	for _, group := range app.ByAction(p.assessment().Judgements) {
		if group.Action == judge.Leave {
			continue
		}
		for i := range group.Judgements {
			j := &group.Judgements[i]
			value, band := reading(j)
			because := ""
			if len(j.Reasons) > 0 {
				because = j.Sentences()[0]
			}
			t.Rows = append(t.Rows, []paper.Cell{paper.Text(j.Point.Ref().String()), paper.Text(placeOf(j.Point)), value, paper.Text(band), paper.Text(string(j.Action)), paper.Text(because)})
		}
	}
	return t
}

// disabled lists what is still out of use: points, and parts of the site.
func (p *paperwork) disabled() paper.Table {
	t := paper.Table{
		Title:   "Still out of use",
		Columns: []paper.Column{{Name: "what"}, {Name: "location"}, {Name: "since"}, {Name: "cause"}, {Name: "text"}, {Name: "by"}},
		None:    "Nothing is out of use by the log book.",
	}
	add := func(what, location string, e *sootline.Event) {
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(what), paper.Text(location), p.date(e.At), paper.Text(e.Cause), paper.Text(e.Text), paper.Text(e.Entry.By)})
	}
	for _, e := range visit.Standing(p.r) {
		add("part of the site", "-", &e)
	}
	for _, point := range p.r.Points() {
		if point.Disabled != nil {
			add(point.Ref().String(), placeOf(point), point.Disabled)
		}
	}
	return t
}
