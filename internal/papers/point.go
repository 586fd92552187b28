package papers

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/chart"
	"sootline/internal/judge"
	"sootline/internal/paper"
)

// fillPoint tells the history of one point.
func fillPoint(p *paperwork, d *paper.Document) error {
	if p.wish.Point == "" {
		return sootline.Errorf(sootline.Invalid, "for example point 73 of loop 2 at panel 1", "the history of a point needs the point").Do(sootline.Give, "point", "1.2.073")
	}
	point, err := app.PointNamed(p.r, p.wish.Point)
	if err != nil {
		return err
	}
	d.Title = "History of point " + point.Ref().String()
	part := paper.Part{Blocks: []paper.Block{paper.Fields{Rows: p.facts(point)}, paper.Picture{Drawing: p.history(point)}, paper.Heading{Text: "Judgement"}}}
	if j := p.survey().Judgement(point); j != nil {
		part.Blocks = append(part.Blocks, paper.Paragraph{Text: "To do: " + string(j.Action) + "."}, paper.List{Items: j.Sentences()})
	} else {
		part.Blocks = append(part.Blocks, paper.Paragraph{Text: "Devices of its kind have no resting value to judge."})
	}
	part.Blocks = append(part.Blocks, p.photosAt(point)...)
	part.Blocks = append(part.Blocks, p.happenings(point))
	d.Parts = []paper.Part{part}
	return nil
}

func (p *paperwork) facts(point *sootline.Point) []paper.Field {
	fields := []paper.Field{
		{Name: "location", Value: point.Location},
		{Name: "area", Value: point.Area},
		{Name: "zone", Value: point.Zone},
		{Name: "type", Value: point.Type},
		{Name: "settings", Value: settings(point.Settings())},
		{Name: "serial", Value: point.Unit.Serial},
		{Name: "batch", Value: point.Unit.Batch},
		{Name: "made", Value: point.Unit.Made},
		{Name: "unit fitted on", Value: p.day(point.UnitSince)},
		{Name: "number", Value: point.SayNumbers()},
		{Name: "id", Value: point.ID.String()},
	}
	for i := range fields {
		if fields[i].Value == "" {
			fields[i].Value = "not known"
		}
	}
	return fields
}

// history draws the readings of a point.
func (p *paperwork) history(point *sootline.Point) *chart.Picture {
	picture := p.survey().History(point)
	picture.ID = "history-" + point.ID.String()
	return picture
}

// happenings lists everything that the book says of a point, in order.
func (p *paperwork) happenings(point *sootline.Point) paper.Table {
	return p.logTable("Everything in the log book", func(e *sootline.Entry) bool { return e.Point == point.ID })
}

// fillDrift lists the points outside or leaving their band, and draws them.
func fillDrift(p *paperwork, d *paper.Document) error {
	d.Title = "Dirty and drifting points"
	d.Cautions = append(d.Cautions, "A value inside its band proves neither that smoke gets in nor that an alarm is given; a smoke test proves no sensitivity.")
	part := paper.Part{Blocks: []paper.Block{paper.Paragraph{Text: sootline.AsSentence(p.assessment().Overview.Reason)}}}
	t := paper.Table{
		Columns: []paper.Column{
			{Name: "point"},
			{Name: "location"},
			{Name: "type"},
			{Name: "value", Right: true},
			{Name: "band"},
			{Name: "a year", Right: true},
			{Name: "leaves, likely"},
			{Name: "not before"},
			{Name: "do"},
			{Name: "because"},
		},
		None: "No point is outside its band or on the way out of it.",
	}
	var drawn paper.Pictures
	for _, group := range app.ByAction(p.assessment().Judgements) {
		if group.Action == judge.Leave || group.Action == judge.Read {
			continue
		}
		for i := range group.Judgements {
			j := &group.Judgements[i]
			t.Rows = append(t.Rows, p.driftRow(j))
			if len(drawn.Drawings) < mostPictures {
				drawn.Drawings = append(drawn.Drawings, p.history(j.Point))
			}
		}
	}
	part.Blocks = append(part.Blocks, t, drawn)
	if rest := len(t.Rows) - len(drawn.Drawings); rest > 0 {
		part.Blocks = append(part.Blocks, paper.Paragraph{Text: fmt.Sprintf("Of %s more there is no picture here; the history of a point has one.", howMany(rest, "point", "points"))})
	}
	d.Parts = []paper.Part{part}
	return nil
}

// mostPictures is how many histories a paper draws: more make a book that nobody
// leafs through.
const mostPictures = 60

func (p *paperwork) driftRow(j *judge.Judgement) []paper.Cell {
	value, band := reading(j)
	because := ""
	if len(j.Reasons) > 0 {
		because = j.Sentences()[0]
	}
	day := func(t *time.Time) paper.Cell {
		if t == nil {
			return paper.Cell{}
		}
		return paper.Text(p.survey().DayAhead(*t))
	}
	return []paper.Cell{
		paper.Text(j.Point.Ref().String()), paper.Text(placeOf(j.Point)), paper.Text(j.Point.Type), value, paper.Text(band), paper.Maybe(j.DriftPerYear, 2),
		day(j.LeavesLikely), day(j.LeavesEarliest), paper.Text(string(j.Action)), paper.Text(because),
	}
}
