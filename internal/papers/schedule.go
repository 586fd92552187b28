package papers

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/app"
	"sootline/internal/count"
	"sootline/internal/paper"
)

// fillSchedule lists every point, loop by loop in the order of the cable.
func fillSchedule(p *paperwork, d *paper.Document) error {
	d.Title = "Point schedule"
	points, err := p.points()
	if err != nil {
		return err
	}
	part := paper.Part{Blocks: paragraphs(p.extent(points))}
	for _, loop := range p.r.Loops() {
		var on []*sootline.Point
		for _, point := range points {
			if point.LoopID() == loop.LoopID {
				on = append(on, point)
			}
		}
		if len(on) > 0 {
			part.Blocks = append(part.Blocks, p.scheduleTable(loop, on))
		}
	}
	if len(points) == 0 {
		part.Blocks = append(part.Blocks, paper.Paragraph{Text: "There is no point on the register yet."})
	}
	d.Parts = []paper.Part{part}
	return nil
}

// extent counts some points: each by its own kind.
func (p *paperwork) extent(points []*sootline.Point) string {
	n := count.PointsIn(p.r, points)
	text := fmt.Sprintf("%s on %s; %s", howMany(n.All, "point", "points"), howMany(len(p.r.Loops()), "loop", "loops"), howMany(n.Detectors-n.KindUnknown, "automatic detector", "automatic detectors"))
	if n.KindUnknown > 0 {
		text += ", and " + howMany(n.KindUnknown, "point", "points") + " of a kind that is not known"
	}
	return text + "."
}

func (p *paperwork) scheduleTable(loop sootline.Loop, on []*sootline.Point) paper.Table {
	slices.SortStableFunc(on, func(a, b *sootline.Point) int { return a.Order - b.Order })
	t := paper.Table{
		Title: fmt.Sprintf("Loop %s: %s, numbers %d to %d", loop.LoopID, howMany(len(on), "point", "points"), loop.First, loop.Last),
		Columns: []paper.Column{
			{Name: "point"},
			{Name: "stands"},
			{Name: "wanted", Right: true},
			{Name: "location"},
			{Name: "area"},
			{Name: "zone"},
			{Name: "type"},
			{Name: "device"},
			{Name: "settings"},
			{Name: "serial"},
			{Name: "fitted"},
		},
	}
	for _, point := range on {
		kind := string(count.KindOf(p.r, point))
		stands, wanted := paper.Cell{}, paper.Cell{}
		if point.Stands.Number != 0 {
			stands = paper.Text(fmt.Sprintf("%d %s", point.Stands.Number, point.Stands.As))
		}
		if point.Wanted != 0 {
			wanted = paper.Count(point.Wanted)
		}
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Text(point.Ref().String()), stands, wanted, paper.Text(point.Location), paper.Text(point.Area), paper.Text(point.Zone), paper.Text(point.Type), paper.Text(kind),
			paper.Text(settings(point.Settings())), paper.Text(point.Unit.Serial), p.date(point.UnitSince),
		})
	}
	return t
}

// fillCards draws the setting cards.
func fillCards(p *paperwork, d *paper.Document) error {
	d.Title = "Setting cards"
	loops, err := p.addressLoops()
	if err != nil {
		return err
	}
	d.Cautions = append(d.Cautions, "The device's own instructions come first. Nothing here sets a device or writes to a panel.")
	part := paper.Part{}
	for _, loop := range loops {
		var cards paper.Cards
		made := address.Cards(loop)
		for i := range made {
			cards.Cards = append(cards.Cards, app.CardToTick(&made[i]))
		}
		part.Blocks = append(part.Blocks, paper.Heading{Text: "Loop " + loop.Name}, cards)
	}
	if len(loops) == 0 {
		part.Blocks = paragraphs("There is no point on the register yet.")
	}
	d.Parts = []paper.Part{part}
	return nil
}

// addressLoops gives the loops that have points, or the one that was asked for.
func (p *paperwork) addressLoops() ([]address.Loop, error) {
	points, err := p.points()
	if err != nil {
		return nil, err
	}
	loops, err := app.LoopsOf(p.r)
	return slices.DeleteFunc(loops, func(l address.Loop) bool {
		return !slices.ContainsFunc(points, func(point *sootline.Point) bool { return point.LoopID().String() == l.Name })
	}), err
}

// fillOrder lists the settings to be changed, in the order in which no two devices
// ever share a number.
func fillOrder(p *paperwork, d *paper.Document) error {
	d.Title = "Order of address changes"
	loops, err := p.addressLoops()
	if err != nil {
		return err
	}
	part := paper.Part{Blocks: paragraphs("One device at a time, from the top. In this order no two devices ever come to share a number. Tick each when it answers at its new number.")}
	for _, loop := range loops {
		changes, err := loop.ChangeOrder()
		if err != nil {
			part.Blocks = append(part.Blocks, paper.Heading{Text: "Loop " + loop.Name}, paper.Paragraph{Text: "There is no order yet: " + err.Error() + "."})
			continue
		}
		order := app.NumberOrder{Loop: loop, LoopOrder: changes}
		t := paper.Table{
			Title:   fmt.Sprintf("Loop %s: %s, %s", loop.Name, howMany(order.Moved, "device moves", "devices move"), howMany(len(order.Steps), "setting", "settings")),
			Columns: []paper.Column{{Name: "step", Right: true}, {Name: "done"}, {Name: "do"}, {Name: "from", Right: true}, {Name: "to", Right: true}, {Name: "location"}, {Name: "type"}},
			None:    "Nothing is to be changed.",
		}
		for i, step := range order.Steps {
			device := loop.Devices[step.Device]
			t.Rows = append(t.Rows, []paper.Cell{
				paper.Count(i + 1), paper.Tick(), paper.Text(step.Kind.String()), numberCell(step.From), numberCell(step.To),
				paper.Text(device.Location), paper.Text(device.Type),
			})
		}
		for _, says := range order.Says() {
			part.Blocks = append(part.Blocks, paper.Paragraph{Text: "Loop " + loop.Name + ": " + says + "."})
		}
		part.Blocks = append(part.Blocks, t)
	}
	d.Parts = []paper.Part{part}
	return nil
}

func numberCell(n int) paper.Cell {
	if n == 0 {
		return paper.Text("-")
	}
	return paper.Count(n)
}

// LabelsKind is the name of the labels among the papers.
const LabelsKind = "labels"

// LabelWish says which labels to print, and on what.
type LabelWish struct {
	Paper   Wish
	Sheet   string // name of the sheet; empty: the first of the size
	Size    string // of the paper; empty: that of the sheet, or A4
	Skip    int    // labels of the first sheet that are used already
	Outline bool
}

// LabelPoint is what the square code of a point says: its id as a name of RFC
// 9562, in capitals, which take fewer squares.
func LabelPoint(id sootline.ID) string { return strings.ToUpper("urn:uuid:" + id.String()) }

// Labelled says how many labels were made.
type Labelled struct {
	Printed int
	Without int // places of the run that have no device yet: they get none
}

// Labels writes the labels of a site's points as PDF, and says how many.
func Labels(ctx context.Context, a *app.App, site sootline.ID, wish LabelWish, w io.Writer) (Labelled, error) {
	sheet, err := paper.FindLabelSheet(wish.Sheet, wish.Size)
	if err != nil {
		return Labelled{}, err
	}
	p, err := workOf(ctx, a, site, wish.Paper)
	if err != nil {
		return Labelled{}, err
	}
	points, without, err := p.labelled()
	if err != nil {
		return Labelled{}, err
	}
	d := p.document()
	d.Title = "Labels"
	labels := make([]paper.Label, len(points))
	for i, point := range points {
		labels[i] = paper.Label{Number: labelNumber(p.r, point), Code: LabelPoint(point.ID), Lines: labelLines(p.r, point)}
	}
	return Labelled{len(labels), without}, paper.WriteLabels(w, d, &sheet, labels, wish.Skip, wish.Outline)
}

// labelled lists the points that get a label: those of a run at the bench that have
// their device, in its order, the one that was asked for, those of the loop, or all;
// and how many places of the run get none.
func (p *paperwork) labelled() (points []*sootline.Point, without int, err error) {
	switch {
	case p.wish.Bench != "":
		return p.benchOrder()
	case p.wish.Point == "":
		points, err = p.points()
		return points, 0, err
	}
	point, err := app.PointNamed(p.r, p.wish.Point)
	return []*sootline.Point{point}, 0, err
}

// labelNumber is the number on a label; of a device that takes several, from the
// first to the last.
func labelNumber(r *sootline.Register, point *sootline.Point) string {
	ref, width := point.Ref(), r.Sheet(point.Type).Numbers()
	if ref.Number == 0 || width == 1 {
		return ref.String()
	}
	return fmt.Sprintf("%s to %03d", ref, ref.Number+width-1)
}

// labelLines are the lines under the number, those first without which a device is
// not told from another: a small label has no room for all.
func labelLines(r *sootline.Register, point *sootline.Point) []string {
	lines := []string{cmp.Or(point.Location, point.Area), sootline.Joined(point.Type, labelWord("serial ", point.Unit.Serial))}
	area := point.Area
	if area == lines[0] {
		area = ""
	}
	lines = append(lines, sootline.Joined(area, labelWord("floor ", r.Floor(point)), labelWord("zone ", point.Zone)), r.Site.Name)
	return slices.DeleteFunc(lines, func(line string) bool { return line == "" })
}

func labelWord(label, text string) string {
	if text == "" {
		return ""
	}
	return label + text
}
