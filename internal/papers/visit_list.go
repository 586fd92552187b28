package papers

import (
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/judge"
	"sootline/internal/paper"
	"sootline/internal/visit"
)

// fillVisitList lists what to see: what the rules of the site ask for and what the
// readings call for, loop by loop along the cable.
func fillVisitList(p *paperwork, d *paper.Document) error {
	d.Title = "Visit list"
	points, err := p.points()
	if err != nil {
		return err
	}
	d.Cautions = append(d.Cautions, "Take only the outputs that must be kept still out of use, note each, and restore each. No live flame, no improvised smoke.")
	asked, others := p.asked()
	t := paper.Table{
		Columns: []paper.Column{
			{Name: "point"},
			{Name: "location"},
			{Name: "type"},
			{Name: "last tested"},
			{Name: "last value", Right: true},
			{Name: "band"},
			{Name: "do"},
			{Name: "tested"},
			{Name: "cleaned"},
			{Name: "value found"},
		},
		None: "Nothing is due at a point of its own.",
	}
	for _, point := range alongCable(points) {
		wants := asked[point]
		j := p.survey().Judgement(point)
		if j != nil && j.Action != judge.Leave && !slices.Contains(wants, string(j.Action)) {
			wants = append(wants, string(j.Action))
		}
		if point.Disabled != nil {
			wants = append(wants, "out of use since "+p.day(point.Disabled.At))
		}
		if len(wants) == 0 {
			continue
		}
		value, band := reading(j)
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Text(point.Ref().String()), paper.Text(placeOf(point)), paper.Text(point.Type), p.lastTested(point), value, paper.Text(band),
			paper.Text(strings.Join(wants, ", ")), paper.Tick(), paper.Tick(), paper.Blank(),
		})
	}
	intro := fmt.Sprintf("%s of %s: what the rules of the site ask for by %s, and what the readings call for.",
		howMany(len(t.Rows), "point", "points"), howMany(len(points), "point", "points"), p.day(p.wish.On))
	d.Parts = []paper.Part{{Blocks: []paper.Block{
		paper.Paragraph{Text: intro}, t, others, paper.Heading{Text: "Before leaving"}, beforeLeaving(), paper.Signatures{Roles: []string{"technician", "responsible person"}},
	}}}
	return nil
}

// asked gives what the rules ask for and is not met: for single points, and, as a
// table, of several points together or of the site.
func (p *paperwork) asked() (map[*sootline.Point][]string, paper.Table) {
	single := map[*sootline.Point][]string{}
	t := paper.Table{
		Title:   "app.Asked for by the rules besides",
		Columns: []paper.Column{{Name: "what"}, {Name: "points still to see", Right: true}, {Name: "by"}, {Name: "because"}, {Name: "rule"}, {Name: "done"}},
		None:    "Nothing.",
	}
	on := visit.DayOf(p.wish.On, p.zone)
	for _, o := range app.Obligations(p.r, p.survey().Signals(), on, 0, p.zone) {
		switch {
		case o.State == visit.Met || o.Work == visit.Press:
		case len(o.Points) == 1:
			if point := o.Points[0]; !slices.Contains(single[point], o.Work) {
				single[point] = append(single[point], o.Work)
			}
		default:
			need := paper.Cell{}
			if o.Need > 0 {
				need = paper.Count(o.Need)
			}
			t.Rows = append(t.Rows, []paper.Cell{
				paper.Text(strings.TrimSpace(o.Work + " " + o.Of)), need, paper.Text(o.Until.String()), paper.Text(o.Why), paper.Text(visit.Source(&o.Rule)), paper.Tick(),
			})
		}
	}
	return single, t
}

func beforeLeaving() paper.Table {
	t := paper.Table{Columns: []paper.Column{{Name: "done"}, {Name: "what"}}}
	for _, what := range []string{
		"nothing is out of use that was not before, or it is written down with who agreed",
		"the panel shows no fault, no disablement and no test",
		"the monitoring centre, the fire service and the people there were told that it is over",
		"the log book on site is written up",
	} {
		t.Rows = append(t.Rows, []paper.Cell{paper.Tick(), paper.Text(what)})
	}
	return t
}

// alongCable orders points loop by loop, along the cable.
func alongCable(points []*sootline.Point) []*sootline.Point {
	sorted := slices.Clone(points)
	slices.SortStableFunc(sorted, func(a, b *sootline.Point) int {
		if a.LoopID() != b.LoopID() {
			return 0 // the register has them loop by loop already
		}
		return a.Order - b.Order
	})
	return sorted
}
