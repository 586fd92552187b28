package chart

import (
	"fmt"
	"math"
)

// Intervals is rates with the interval in which each lies, against limits.
type Intervals struct {
	Title  string
	Unit   string // of the rates, as "a year for 100 detectors"
	Rows   []Interval
	Limits []RateLimit
}

// Interval is a rate and between what it lies.
type Interval struct {
	Name              string
	Low, Likely, High float64 // High may be infinite: not known
	Note              string  // as "5 in 2.1 years"
	Href              string  // of its page; nothing: no link
}

// RateLimit is a rate that should not be exceeded.
type RateLimit struct {
	Name string
	At   float64
}

// Picture draws a row an interval.
func (n Intervals) Picture() *Picture {
	var values span
	values.include(0)
	for _, r := range n.Rows {
		values.include(r.Low, r.Likely, r.High)
	}
	for _, l := range n.Limits {
		values.include(l.At)
	}
	if len(n.Rows) == 0 {
		return blank(n.Title, "Nothing to show yet.", n.table())
	}
	d := intervalsDrawing{n, values}
	return newPicture(n.Title, n.describe(), n.table(), sketch{
		lines: func(m Medium) int { return len(n.Rows) + 4 + len(keyRows(m, d.key())) },
		draw:  d.draw,
	})
}

// against tells how an interval stands to a limit.
func (r Interval) against(l RateLimit) string {
	switch {
	case r.Low > l.At:
		return "above"
	case r.High < l.At:
		return "below"
	}
	return "cannot be told apart from"
}

func (n Intervals) describe() string {
	words := ""
	for _, l := range n.Limits {
		above := 0
		for _, r := range n.Rows {
			if r.against(l) == "above" {
				above++
			}
		}
		words += fmt.Sprintf(" The whole interval is above %s (%s %s): %d of %d.", l.Name, plain(l.At), n.Unit, above, len(n.Rows))
	}
	return counted(len(n.Rows), "rate", "rates") + " with its interval, " + n.Unit + "." + words
}

func (n Intervals) table() Table {
	t := Table{Head: []string{"what", "low", "likely", "high", "note"}}
	for _, l := range n.Limits {
		t.Head = append(t.Head, l.Name+" "+plain(l.At))
	}
	for _, r := range n.Rows {
		row := []string{r.Name, plain(r.Low), plain(r.Likely), plain(r.High), r.Note}
		for _, l := range n.Limits {
			row = append(row, r.against(l))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

type intervalsDrawing struct {
	Intervals
	values span
}

func (d intervalsDrawing) draw(c *canvas) {
	key := d.key()
	rows := len(keyRows(c.Medium, key))
	names, notes := 0, 0
	for _, r := range d.Rows {
		names, notes = max(names, len([]rune(r.Name))), max(notes, len([]rune(r.Note)))
	}
	p := c.frame(1, 2+rows, float64(names+2), float64(notes+2))
	d.axis(p)
	for i, r := range d.Rows {
		d.row(p, r, p.top+(float64(i)+1)*p.Line)
	}
	c.key(c.height-(float64(rows)-0.5)*c.Line, key)
}

// axis draws the rates along the bottom and the limits upright.
func (d intervalsDrawing) axis(p *plot) {
	at, decimals := ticks(d.values.low, d.values.high, max(int((p.right-p.left)/p.Char/9), 2))
	p.x = scale{at[0], at[len(at)-1], p.left + p.Char, p.right - p.Char}
	p.line(Axis, XY{p.left, p.bottom}, XY{p.right, p.bottom})
	for _, v := range at {
		x := p.x.at(v)
		p.line(Grid, XY{x, p.top}, XY{x, p.bottom})
		p.line(Axis, XY{x, p.bottom}, XY{x, p.bottom + p.Line/4})
		p.writeIf(Label, Middle, x, p.bottom+p.Line, fixed(v, decimals))
	}
	for _, l := range d.Limits {
		if drawable(l.At) {
			x := p.x.at(l.At)
			p.line(Limit, XY{x, p.top}, XY{x, p.bottom})
			p.writeIf(Note, Middle, x, p.top-p.Line/2, plain(l.At))
		}
	}
}

// row draws an interval. Its sign is filled when the whole of it is above a limit,
// half when it cannot be told, and open when it is below all.
func (d intervalsDrawing) row(p *plot, r Interval, y float64) {
	g := Group{Href: r.Href, Title: fmt.Sprintf("%s: %s, from %s to %s %s", r.Name, plain(r.Likely), plain(r.Low), plain(r.High), d.Unit)}
	letters := int((p.left - p.Char) / p.Char)
	g.Shapes = append(g.Shapes, p.text(Label, End, p.left-p.Char, y, clipped(r.Name, letters)))
	if !math.IsNaN(r.Low) && !math.IsNaN(r.High) {
		g.Shapes = append(g.Shapes, Line{Whisker, []XY{{p.x.at(r.Low), y}, {p.x.at(r.High), y}}})
	}
	if drawable(r.Likely) {
		g.Shapes = append(g.Shapes, p.sign(d.class(r), Circle, p.x.at(r.Likely), y))
	}
	if r.Note != "" {
		g.Shapes = append(g.Shapes, p.text(Note, Start, p.right+p.Char, y, clipped(r.Note, int((p.Width-p.right)/p.Char)-1)))
	}
	p.add(g)
}

func (d intervalsDrawing) class(r Interval) Class {
	class := Good
	for _, l := range d.Limits {
		switch r.against(l) {
		case "above":
			return Out
		case "cannot be told apart from":
			class = Soon
		}
	}
	return class
}

func (d intervalsDrawing) key() []keyItem {
	items := []keyItem{{Whisker, Dash, "from low to high, " + d.Unit}}
	for _, l := range d.Limits {
		items = append(items, keyItem{Limit, Bar, l.Name + " " + plain(l.At)})
	}
	if len(d.Limits) > 0 {
		items = append(items, keyItem{Out, Circle, "above a limit"}, keyItem{Soon, Circle, "not to be told apart from it"}, keyItem{Good, Circle, "below"})
	}
	return items
}
