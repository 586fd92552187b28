package papers

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/paper"
)

// visitWork is what the book says of a visit.
type visitWork struct {
	during            count.During
	passed, failed    []*sootline.Point // at it, by the last test of each
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
				v.row(p, point, r.At, string(sootline.ReadKind), p.readingLies(point, r), paper.Text(samples(r.Samples)), "", r.Entry)
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
	switch {
	case last == nil:
	case last.Failed:
		v.failed = append(v.failed, point)
	default:
		v.passed = append(v.passed, point)
	}
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

// readingLies is the mark of a reading that was judged: whether it lies outside its band. One that a later reading took
// the place of has none.
func (p *paperwork) readingLies(point *sootline.Point, r *sootline.Reading) string {
	j := p.survey().Judgement(point)
	if j == nil || !j.ReadAt.Equal(r.At) || r.Quantity != j.Quantity || !outside(j) {
		return ""
	}
	return lies(j)
}

func samples(values []float64) string {
	parts := make([]string, len(values))
	for i, x := range values {
		parts[i] = fmt.Sprint(x)
	}
	return strings.Join(parts, " ")
}
