package papers

import (
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/count"
	"sootline/internal/paper"
	"sootline/internal/visit"
)

// ending is how the site stood at the end of the visit that a paper is about. What
// came later is for the next visit's papers.
type ending struct {
	app.Figures
	r *sootline.Register
}

func (p *paperwork) ending() *ending {
	if p.ended != nil {
		return p.ended
	}
	_, to := p.visitSpan()
	if to.Before(p.wish.On) {
		r := p.log.Fold(to)
		p.ended = &ending{app.FiguresOf(r, app.SignalsOf(r, p.zone), to, p.zone), r}
	} else {
		p.ended = &ending{*p.figures(), p.r}
	}
	return p.ended
}

// Of gives one of the figures of then.
func (e *ending) Of(key app.FigureKey) app.Figure { return e.Figures.Of(key) }

// smokeTested counts smoke detectors alone.
func smokeTested(p *paperwork) string {
	end := p.ending()
	share := count.Share{Of: end.Points.ByKind[sootline.Smoke]}
	for _, point := range end.Tested.Points {
		if count.KindOf(end.r, point) == sootline.Smoke {
			share.N++
		}
	}
	words := app.ShareWords(share)
	if end.Points.KindUnknown > 0 {
		words += fmt.Sprintf("; the kind of %s is not known", howMany(end.Points.KindUnknown, "other device", "other devices"))
	}
	return words
}

// problems lists the defects that are not closed, and those closed since the visit
// before. It is never blank while one is open.
func (p *paperwork) problems() []paper.Block { return p.problemTables(nil) }

// problemsShown lists them with their photos.
func (p *paperwork) problemsShown() []paper.Block {
	var shown []*sootline.DefectFacts
	blocks := p.problemTables(&shown)
	return append(blocks, p.photosOf(shown)...)
}

// problemTables makes the tables; where shown is given, they name the photos, and it gets the defects that have some.
func (p *paperwork) problemTables(shown *[]*sootline.DefectFacts) []paper.Block {
	span := p.defectSpan()
	table := func(title, none string) paper.Table {
		t := paper.Table{Title: title, None: none}
		for _, name := range []string{"where", "place", "since", "what", "state", "needs", "told", "agreed"} {
			t.Columns = append(t.Columns, paper.Column{Name: name})
		}
		if shown != nil {
			t.Columns = append(t.Columns, paper.Column{Name: "photo"})
		}
		return t
	}
	add := func(t *paper.Table, d *sootline.DefectFacts, state string) {
		row := p.defectRow(d, state)
		if shown != nil {
			row = append(row, paper.Text(p.photoNames(d)))
			*shown = append(*shown, d)
		}
		t.Rows = append(t.Rows, row)
	}
	waiting := table("Problems: defects not closed", "No defect is open by the log book.")
	for _, d := range span.Open {
		add(&waiting, d, string(d.State))
	}
	for _, d := range span.Mended {
		add(&waiting, d, "mended on "+p.day(d.MendedBy.At)+" by "+d.MendedBy.By+", not retested")
	}
	blocks := []paper.Block{waiting}
	if len(span.Closed) > 0 {
		closed := table("Defects closed since the visit before", "")
		for _, d := range span.Closed {
			add(&closed, d, closedWords(d)+" on "+p.day(d.ClosedBy.At)+" by "+d.ClosedBy.By)
		}
		blocks = append(blocks, closed)
	}
	return blocks
}

func (p *paperwork) defectRow(d *sootline.DefectFacts, state string) []paper.Cell {
	agreed := d.Agreed
	if d.ByDay != "" {
		agreed = sootline.Joined(agreed, "by "+d.ByDay)
	}
	place := ""
	if d.Point != nil {
		place = sootline.Joined(d.Point.Area, d.Point.Location)
	}
	return []paper.Cell{
		paper.Text(d.Where()), paper.Text(place), p.date(d.Since), paper.Text(d.What()), paper.Text(state), paper.Text(d.Needs), paper.Text(d.Told), paper.Text(agreed),
	}
}

// outstandingRows is the work that the record knows to be open: defects not closed.
func outstandingRows(p *paperwork) [][]paper.Cell {
	span := p.defectSpan()
	var rows [][]paper.Cell
	for _, d := range slices.Concat(span.Open, span.Mended) {
		rows = append(rows, []paper.Cell{paper.Text(placed(d) + ": " + d.What() + "; " + needs(d)), paper.Text(d.Agreed), paper.Text(d.ByDay)})
	}
	return rows
}

// problemRows is each problem that the record knows, with what became of it.
func problemRows(p *paperwork) [][]paper.Cell {
	span := p.defectSpan()
	var rows [][]paper.Cell
	for _, d := range slices.Concat(span.Open, span.Mended, span.Closed) {
		right := ""
		if d.ClosedBy != nil {
			right = p.day(d.ClosedBy.At)
		}
		rows = append(rows, []paper.Cell{paper.Text(placed(d) + ": " + d.What()), paper.Text(d.Told), paper.Text(right), {}})
	}
	return rows
}

// changed is a change of configuration in the twelve months, or in the span that
// was asked for.
func (p *paperwork) changed() []*sootline.Event {
	on := visit.DayOf(p.wish.On, p.zone)
	after := on.AddMonths(-12)
	var all []*sootline.Event
	for i := range p.r.Events {
		e := &p.r.Events[i]
		day := visit.DayOf(e.At, p.zone)
		asked := p.wish.From.IsZero() || !e.At.Before(p.wish.From)
		if e.Kind == sootline.ChangedKind && after < day && day <= on && asked {
			all = append(all, e)
		}
	}
	return all
}

func changedWords(p *paperwork) string {
	var all []string
	for _, e := range p.changed() {
		all = append(all, p.day(e.At)+": "+e.Text)
	}
	return strings.Join(all, "; ")
}

// touchedWords says how many of the points that changes are known to affect were
// tested after them.
func touchedWords(p *paperwork) string {
	share := count.Share{}
	for _, e := range p.changed() {
		for _, point := range p.touched(e) {
			share.Of++
			if p.testedSince(point, e) {
				share.N++
			}
		}
	}
	if !share.Known() {
		return ""
	}
	return app.ShareWords(share)
}

// touched lists the points in place that a change is known to affect.
func (p *paperwork) touched(e *sootline.Event) []*sootline.Point {
	said, _ := e.Entry.Body.(sootline.Changed)
	var points []*sootline.Point
	for _, id := range said.Points {
		if point := p.r.Point(id); point != nil && point.Removed == nil && point.Placed {
			points = append(points, point)
		}
	}
	return points
}

// testedSince reports whether the last test of a point was passed, after a change.
func (p *paperwork) testedSince(point *sootline.Point, e *sootline.Event) bool {
	last := count.Last(count.TestsOf(point, p.survey().Signals().Walks(), p.zone))
	return last != nil && !last.Failed && !last.At.Before(e.At)
}

// changes lists the changes of configuration, and their points.
func (p *paperwork) changes() []paper.Block {
	t := paper.Table{
		Title:   "Changes of configuration",
		Columns: []paper.Column{{Name: "day"}, {Name: "what was changed"}, {Name: "by"}, {Name: "points known to be affected"}, {Name: "not tested since"}},
		None:    "No change of configuration is written down.",
	}
	for _, e := range p.changed() {
		var affected, waiting []string
		for _, point := range p.touched(e) {
			affected = append(affected, point.Ref().String())
			if !p.testedSince(point, e) {
				waiting = append(waiting, point.Ref().String())
			}
		}
		t.Rows = append(t.Rows, []paper.Cell{
			p.date(e.At), paper.Text(e.Text), paper.Text(e.Entry.By), paper.Text(strings.Join(affected, ", ")), paper.Text(strings.Join(waiting, ", ")),
		})
	}
	return []paper.Block{t}
}
