package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
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

// lastTest is when a point last passed or failed a test, until then; zero: never.
func (p *paperwork) lastTest(point *sootline.Point, on time.Time) (last time.Time) {
	for _, e := range point.Events {
		if p.tested(&e) && !e.At.After(on) {
			last = e.At
		}
	}
	return last
}

// tested reports whether an event is a test: one written down as such, or an alarm
// that was raised for one.
func (p *paperwork) tested(e *sootline.Event) bool {
	return e.Kind == sootline.TestedKind || e.Kind == sootline.AlarmKind && p.raised().Tests[e.Entry.ID]
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

// workDays lists when points were tested, cleaned, replaced, re-based or read.
func (p *paperwork) workDays(until time.Time) []time.Time {
	var days []time.Time
	for _, point := range p.r.Points() {
		for _, e := range point.Events {
			if (worked(e.Kind) || p.tested(&e)) && !e.At.After(until) {
				days = append(days, e.At)
			}
		}
		for i := range point.Readings {
			if at := point.Readings[i].At; !at.After(until) {
				days = append(days, at)
			}
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	return days
}

func worked(k sootline.Kind) bool {
	return slices.Contains([]sootline.Kind{sootline.TestedKind, sootline.CleanedKind, sootline.ReplacedKind, sootline.RebasedKind}, k)
}

// fillVisit reports on a visit.
func fillVisit(p *paperwork, d *paper.Document) error {
	d.Title = "Visit report"
	from, to := p.visitSpan()
	v := p.visit()
	part := paper.Part{Blocks: []paper.Block{
		paper.Fields{Rows: []paper.Field{
			{Name: "visit", Value: p.day(from) + " to " + p.day(to)},
			{Name: "people who wrote entries", Value: strings.Join(v.people, ", ")},
			{Name: "tested at this visit", Value: fmt.Sprintf("%d of %d points (%s)", v.tested, v.points, percentOf(v.tested, v.points))},
			{Name: "tested in the twelve months to its end", Value: fmt.Sprintf("%d of %d points (%s of the year's hundred per cent)", v.year, v.points, percentOf(v.year, v.points))},
			{Name: "tests not passed", Value: fmt.Sprint(v.failed)},
			{Name: "read", Value: fmt.Sprint(v.read)},
			{Name: "cleaned", Value: fmt.Sprint(v.cleaned)},
			{Name: "replaced", Value: fmt.Sprint(v.replaced)},
		}},
		v.work, v.faults,
	}}
	part.Blocks = append(part.Blocks, p.alarmSummary()...)
	part.Blocks = append(part.Blocks, p.advised(), p.disabled())
	part.Blocks = append(part.Blocks, paper.Heading{Text: "How it was left"}, p.left(), paper.Signatures{Roles: []string{"technician", "responsible person"}})
	d.Parts = []paper.Part{part}
	return nil
}

// left tells how the site was left, as far as the visit's closing says.
func (p *paperwork) left() paper.Fields {
	said := p.closing()
	return paper.Fields{Rows: []paper.Field{
		{Name: "left in normal operation, yes or no", Value: cmp.Or(p.wish.Fields["left in normal operation, yes or no"], leftWords(p))},
		{Name: "of the round, not done", Value: strings.Join(p.undone(), ", ")},
		{Name: "next due", Value: cmp.Or(said.Next, nextDue(p))},
		{Name: "remarks", Value: cmp.Or(p.wish.Fields["remarks"], said.Text)},
	}}
}

// undone lists the points of the visit's round at which something planned was not
// done, with the work; where only the end of the visit was written down, the points
// that its closing names.
func (p *paperwork) undone() []string {
	var all []string
	v := p.attendance()
	if v == nil || !p.wish.From.IsZero() {
		return nil
	}
	for _, left := range visit.Undone(v, p.raised(), p.zone) {
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
	points, tested, failed, year, read, cleaned, replaced int
	people                                                []string
	work, faults                                          paper.Table
}

func (p *paperwork) attended(from, to time.Time) visitWork {
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
	within := func(at time.Time) bool { return !at.Before(from) && !at.After(to) }
	since := to.AddDate(-1, 0, 0)
	before := from.AddDate(0, -p.r.Site.Rules.VisitMonths, 0)
	for _, point := range alongCable(p.r.Points()) {
		v.points++
		if last := p.lastTest(point, to); last.After(since) {
			v.year++
		}
		tested := false
		for _, e := range point.Events {
			if e.Kind == sootline.FaultKind && e.At.After(before) && !e.At.After(to) {
				v.faults.Rows = append(v.faults.Rows, []paper.Cell{paper.Text(point.Ref().String()), paper.Text(placeOf(point)), p.date(e.At), paper.Text(e.Cause), paper.Text(e.Text)})
			}
			if within(e.At) && (worked(e.Kind) || p.tested(&e)) {
				v.event(p, point, e, &tested)
			}
		}
		for i := range point.Readings {
			if r := &point.Readings[i]; within(r.At) {
				v.read++
				v.row(p, point, r.At, "read", "", paper.Text(samples(r.Samples)), "", r.Entry)
			}
		}
		if tested {
			v.tested++
		}
	}
	return v
}

func (v *visitWork) event(p *paperwork, point *sootline.Point, e sootline.Event, tested *bool) {
	result, done, remark := "", string(e.Kind), e.Text
	switch e.Kind {
	case sootline.TestedKind:
		*tested = true
		result = "passed"
		if e.Failed {
			v.failed++
			result = "NOT PASSED"
		}
	case sootline.AlarmKind: // only those that were tests come here
		*tested = true
		done, result, remark = string(sootline.TestedKind), "passed", strings.TrimSpace("alarm raised for the test "+e.Text)
	case sootline.CleanedKind:
		v.cleaned++
	case sootline.ReplacedKind:
		v.replaced++
	}
	v.row(p, point, e.At, done, result, paper.Cell{}, remark, e.Entry)
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

func percentOf(n, of int) string {
	if of == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f %%", 100*float64(n)/float64(of))
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
				because = j.Reasons[0]
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
