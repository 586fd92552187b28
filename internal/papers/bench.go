package papers

import (
	"cmp"
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/bench"
	"sootline/internal/paper"
)

// fillBench is the record of a run at the bench, for the commissioning file: every
// device with its number, modes, serial, value, band and verdict, by whom and when;
// what was rejected, and what is left.
func fillBench(p *paperwork, d *paper.Document) error {
	d.Title = "Record of a run at the bench"
	if p.wish.Bench == "" && len(p.r.BenchRuns()) == 0 {
		d.Parts = []paper.Part{{Blocks: []paper.Block{paper.Table{Title: "Devices", Columns: benchColumns(), None: "There is no run at the bench yet."}}}}
		return nil
	}
	b, err := app.BenchOf(p.r, p.wish.Bench, p.wish.On)
	if err != nil {
		return err
	}
	d.Parts = []paper.Part{{Blocks: []paper.Block{
		paper.Fields{Rows: p.benchFields(b)},
		p.benchDevices(b),
		p.benchRejected(b),
		benchLeftTable(b),
		paper.Paragraph{Text: "Values were judged as they were read, against the band of the type and setting; how is in the method. A value at the bench says nothing of the place where the device goes."},
		paper.Signatures{Roles: []string{"set, and read back where it says so"}},
	}}}
	return nil
}

func (p *paperwork) benchFields(b *app.BenchRun) []paper.Field {
	pr := b.Progress()
	ended := "still open"
	if b.Closed != nil {
		ended = p.moment(b.Closed.At) + ", by " + cmp.Or(b.Closed.By, "nobody named")
	}
	var hands []string
	for _, h := range pr.Hands {
		hands = append(hands, fmt.Sprintf("%s (%s)", cmp.Or(h.By, "nobody named"), howMany(h.Done, "device", "devices")))
	}
	return []paper.Field{
		{Name: "run", Value: b.Title()},
		{Name: "begun", Value: p.moment(b.Opened.At) + ", by " + cmp.Or(b.Opened.By, "nobody named")},
		{Name: "ended", Value: ended},
		{Name: "places", Value: fmt.Sprintf("%d, of which %d have their device", pr.Places, pr.Done)},
		{Name: "set by", Value: cmp.Or(strings.Join(hands, ", "), "nobody yet")},
	}
}

// benchDevices is the table of the devices that were set, in the order of the run.
func (p *paperwork) benchDevices(b *app.BenchRun) paper.Table {
	t := paper.Table{Title: "Devices", Columns: benchColumns(), None: "No device was set."}
	for _, place := range b.Places {
		for i := range place.Done {
			t.Rows = append(t.Rows, p.benchRow(b, place, &place.Done[i]))
		}
	}
	return t
}

func benchColumns() []paper.Column {
	return []paper.Column{
		{Name: "number"},
		{Name: "read back"},
		{Name: "where"},
		{Name: "type"},
		{Name: "serial"},
		{Name: "modes"},
		{Name: "value", Right: true},
		{Name: "band"},
		{Name: "verdict"},
		{Name: "by"},
		{Name: "when"},
	}
}

func (p *paperwork) benchRow(b *app.BenchRun, place *app.BenchPlace, rec *sootline.BenchRecord) []paper.Cell {
	number := "not known"
	if n := b.Carries(place, rec); n > 0 {
		number = sootline.Ref{Panel: place.Loop.Panel, Loop: place.Loop.Name, Number: n}.String()
		if width := b.WidthAt(place); width > 1 {
			number += fmt.Sprintf(" to %d", n+width-1)
		}
	}
	back := "not read back"
	if n := b.ReadBack(place, rec); n > 0 {
		back = fmt.Sprint(n)
	}
	where := place.Where()
	if place.Gone {
		where += ", removed since"
	}
	value, band, verdict := paper.Cell{}, "", "not read"
	if place.ReadingOf(rec) != nil {
		v := b.ValueOf(place, rec)
		value, verdict = paper.Number(v.Value, -1), v.State
		if v.Low != nil && v.High != nil {
			band = fmt.Sprintf("%v..%v", *v.Low, *v.High)
		}
	}
	return []paper.Cell{
		paper.Text(number), paper.Text(back), paper.Text(where), paper.Text(cmp.Or(rec.Type, place.Point.Type)), paper.Text(rec.Serial), paper.Text(settings(place.Point.Settings())),
		value, paper.Text(band), paper.Text(verdict), paper.Text(rec.Entry.By), paper.Text(p.moment(rec.Entry.At)),
	}
}

// benchRejected is the pile of devices that were put aside.
func (p *paperwork) benchRejected(b *app.BenchRun) paper.Table {
	t := paper.Table{
		Title:   "Rejected devices",
		Columns: []paper.Column{{Name: "serial"}, {Name: "type"}, {Name: "why"}, {Name: "by"}, {Name: "when"}},
		None:    "No device was rejected.",
	}
	for _, rec := range b.Rejected {
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Text(rec.Serial), paper.Text(rec.Type), paper.Text(rec.Reason), paper.Text(rec.Entry.By), paper.Text(p.moment(rec.Entry.At)),
		})
	}
	return t
}

// benchLeftTable lists what is left, but for the rejected, which have a table of
// their own.
func benchLeftTable(b *app.BenchRun) paper.Table {
	t := paper.Table{
		Title:   "Left: places without device, and what is not as wanted",
		Columns: []paper.Column{{Name: "what"}, {Name: "in words"}},
		None:    strings.TrimSpace("Nothing is left. " + sootline.AsSentence(b.Gone())),
	}
	for _, l := range b.Left() {
		if l.Kind != bench.LeftRejected {
			t.Rows = append(t.Rows, []paper.Cell{paper.Text(string(l.Kind)), paper.Text(l.Text)})
		}
	}
	return t
}

// benchOrder gives the points of a run that have their device, in its order, for
// labels; and how many have none yet.
func (p *paperwork) benchOrder() (points []*sootline.Point, without int, err error) {
	b, err := app.BenchOf(p.r, p.wish.Bench, p.wish.On)
	if err != nil {
		return nil, 0, err
	}
	for _, place := range b.Places {
		if place.Gone {
			continue // nothing is fitted there that could bear a label
		}
		if place.Open() {
			without++
			continue
		}
		points = append(points, place.Point)
	}
	return points, without, nil
}
