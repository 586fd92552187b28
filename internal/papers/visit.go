package papers

import (
	"fmt"
	"strings"

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

// fillVisit reports on a visit: a letter on one page, and behind it the annexes that it
// rests on.
func fillVisit(p *paperwork, d *paper.Document) error {
	d.Title = "Visit report"
	annexes := []paper.Block{}
	for _, annex := range annexList() {
		annexes = append(annexes, paper.Heading{Text: annex.name() + ": " + annex.title})
		annexes = append(annexes, annex.fill(p)...)
	}
	d.Parts = []paper.Part{{Blocks: []paper.Block{p.letter()}}, {Title: "Annexes", Blocks: annexes}}
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
			fields.Rows = append(fields.Rows, paper.Field{Name: x[0], Value: x[1], Known: string(recorded)})
		}
	}
	return fields
}

func closingText(p *paperwork) string { return p.closing().Text }

// undone lists the points of the visit's round at which something planned was not
// done, with the work; where only the end of the visit was written down, the points
// that its closing names.
func (p *paperwork) undone() []visit.LeftUndone {
	v := p.attendance()
	if v == nil {
		return nil
	}
	if len(v.Round) > 0 {
		return visit.Undone(v, app.RaisedOf(p.survey().Signals()), p.zone)
	}
	var all []visit.LeftUndone
	for _, id := range p.closing().Untested {
		if point := p.r.Point(id); point != nil {
			all = append(all, visit.LeftUndone{Point: point})
		}
	}
	return all
}

func undoneWords(p *paperwork) string {
	var all []string
	for _, left := range p.undone() {
		all = append(all, strings.Join(append([]string{left.Point.Ref().String()}, left.Work...), " "))
	}
	return strings.Join(all, ", ")
}

// leftWords says how the visit's closing says that the site was left.
func leftWords(p *paperwork) string {
	return map[sootline.LeftState]string{sootline.LeftNormal: "yes", sootline.LeftNotNormal: "no"}[p.closing().Left]
}

// advised lists what the readings call for, the most pressing first.
func (p *paperwork) advised() paper.Table {
	t := paper.Table{
		Title:   "What is advised",
		Columns: []paper.Column{{Name: "point"}, {Name: "location"}, {Name: "value", Right: true}, {Name: "band"}, {Name: "lies"}, {Name: "advised"}, {Name: "because"}},
		None:    "Nothing is called for by the readings.",
	}
	for _, group := range app.ByAction(p.judged().Judgements) {
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
			t.Rows = append(t.Rows, []paper.Cell{
				paper.Text(j.Point.Ref().String()), paper.Text(placeOf(j.Point)), value, paper.Text(band), paper.Text(lies(j)), paper.Text(string(j.Action)), paper.Text(because),
			})
		}
	}
	return t
}

// lies is the mark of a value outside its band, or on the way out of it.
func lies(j *judge.Judgement) string {
	switch {
	case outside(j):
		return "OUTSIDE, " + string(j.Verdict)
	case j.Verdict == judge.Inside && (j.Action == judge.CleanNow || j.Action == judge.CleanAtVisit || j.Action == judge.Replace):
		return "on the way out"
	}
	return ""
}

func outside(j *judge.Judgement) bool { return j.Verdict == judge.Above || j.Verdict == judge.Below }

// disabled lists what is still out of use at the end of the visit: points, and parts of
// the site.
func (p *paperwork) disabled() paper.Table {
	t := paper.Table{
		Title:   "Still out of use",
		Columns: []paper.Column{{Name: "what"}, {Name: "location"}, {Name: "since"}, {Name: "cause"}, {Name: "text"}, {Name: "by"}},
		None:    "Nothing is out of use by the log book.",
	}
	add := func(what, location string, e *sootline.Event) {
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(what), paper.Text(location), p.date(e.At), paper.Text(e.Cause), paper.Text(e.Text), paper.Text(e.Entry.By)})
	}
	r := p.ending().r
	for _, e := range visit.Standing(r) {
		add("part of the site", "-", &e)
	}
	for _, point := range r.Points() {
		if point.Disabled != nil {
			add(point.Ref().String(), placeOf(point), point.Disabled)
		}
	}
	return t
}
