package chart

import (
	"fmt"
	"math"
	"slices"
)

// Profile is the voltage along a loop from its OUT end to its IN end.
type Profile struct {
	Title  string
	Metres float64      // length of the ring
	Series []ProfileRun // the first healthy, the next the worst fault
	Least  []ProfileAt  // least working volts, device by device
}

// ProfileRun is one state of the loop; nothing in At: there is no operating point.
type ProfileRun struct {
	Name string
	At   []ProfileAt // in cable order; a stretch that is not fed has none
}

// ProfileAt is the voltage at a point of the loop.
type ProfileAt struct {
	Metres, Volts float64
	Point         string
	Spur          bool // the point is on a spur, which leaves at Metres
}

func (a ProfileAt) drawable() bool { return drawable(a.Metres) && drawable(a.Volts) }

// Picture draws the profile.
func (pr Profile) Picture() *Picture {
	keep := func(at []ProfileAt) []ProfileAt {
		return slices.DeleteFunc(slices.Clone(at), func(a ProfileAt) bool { return !a.drawable() })
	}
	pr.Series, pr.Least = slices.Clone(pr.Series), keep(pr.Least)
	var volts, metres span
	metres.include(0, pr.Metres)
	for i := range pr.Series {
		pr.Series[i].At = keep(pr.Series[i].At)
		for _, a := range pr.Series[i].At {
			volts.include(a.Volts)
			metres.include(a.Metres)
		}
	}
	for _, a := range pr.Least {
		volts.include(a.Volts)
		metres.include(a.Metres)
	}
	if !volts.any {
		return blank(pr.Title, "No volts to draw: nothing is fed, or there is no operating point.", pr.table())
	}
	pr.Metres = metres.high
	d := profileDrawing{pr, volts, scale{low: metres.low, high: max(metres.high, metres.low+1)}}
	return newPicture(pr.Title, pr.describe(), pr.table(), sketch{
		lines: func(m Medium) int { return 17 + len(keyRows(m, d.key())) },
		draw:  d.draw,
	})
}

func (pr Profile) describe() string {
	words := fmt.Sprintf("Volts over %s m of cable from OUT to IN.", plain(math.Round(pr.Metres)))
	for _, s := range pr.Series {
		if len(s.At) == 0 {
			words += " " + s.Name + ": no operating point."
			continue
		}
		least := slices.MinFunc(s.At, func(a, b ProfileAt) int { return int(math.Copysign(1, a.Volts-b.Volts)) })
		words += fmt.Sprintf(" %s: least at %s with %.2f V.", s.Name, least.Point, least.Volts)
	}
	return words
}

// table has a row a point, in cable order, and a column a series.
func (pr Profile) table() Table {
	t := Table{Head: []string{"point", "metres"}}
	type at struct {
		point  string
		metres float64
	}
	var order []at
	cells := map[at][]string{}
	columns := append(slices.Clone(pr.Series), ProfileRun{"least working volts", pr.Least})
	for i, s := range columns {
		t.Head = append(t.Head, s.Name)
		for _, a := range s.At {
			k := at{a.Point, a.Metres}
			if cells[k] == nil {
				order, cells[k] = append(order, k), make([]string, len(columns))
			}
			cells[k][i] = fmt.Sprintf("%.2f V", a.Volts)
		}
	}
	slices.SortStableFunc(order, func(a, b at) int {
		switch {
		case a.metres < b.metres:
			return -1
		case a.metres > b.metres:
			return 1
		}
		return 0
	})
	for _, k := range order {
		t.Rows = append(t.Rows, append([]string{k.point, plain(k.metres)}, cells[k]...))
	}
	return t
}

type profileDrawing struct {
	Profile
	volts span
	along scale
}

func (d profileDrawing) draw(c *canvas) {
	key := d.key()
	rows := len(keyRows(c.Medium, key))
	p := c.upright(1, 2+rows, 2, axis{d.volts.low, d.volts.high, "V", 0.5})
	p.x = scale{d.along.low, d.along.high, p.left + p.Char, p.right - p.Char}
	d.metres(p)
	for _, a := range d.Least {
		p.mark(Least, Dash, p.x.at(a.Metres), p.y.at(a.Volts))
	}
	for i, s := range d.Series {
		d.series(p, i, s)
	}
	c.key(c.height-(float64(rows)-0.5)*c.Line, key)
}

// metres draws the axis along the cable, with the panel's ends.
func (d profileDrawing) metres(p *plot) {
	p.line(Axis, XY{p.left, p.bottom}, XY{p.right, p.bottom})
	y := p.bottom + p.Line
	p.writeIf(Label, Start, p.left, y, "OUT 0 m")
	p.writeIf(Label, End, p.right, y, "IN "+fixed(d.Profile.Metres, 0)+" m")
	at, decimals := ticks(d.along.low, d.along.high, max(int((p.right-p.left)/p.Char/14), 2))
	for _, v := range at {
		if !p.x.holds(v) {
			continue
		}
		x := p.x.at(v)
		p.line(Grid, XY{x, p.top}, XY{x, p.bottom})
		p.line(Axis, XY{x, p.bottom}, XY{x, p.bottom + p.Line/4})
		p.writeIf(Label, Middle, x, y, fixed(v, decimals))
	}
}

func (d profileDrawing) series(p *plot, i int, s ProfileRun) {
	line, sign, form := seriesLook(i)
	var ring []XY
	for _, a := range s.At {
		if !a.Spur {
			ring = append(ring, XY{p.x.at(a.Metres), p.y.at(a.Volts)})
		}
	}
	if len(ring) > 1 {
		p.line(line, thin(ring, int((p.right-p.left)/p.Char*2))...)
	}
	size := min(p.Line*0.5, max(p.Line*0.25, 1.2*(p.right-p.left)/float64(len(s.At)+1)))
	for _, a := range s.At {
		p.add(Group{
			Title:  fmt.Sprintf("%s: %.2f V, %s", a.Point, a.Volts, s.Name),
			Shapes: []Shape{Sign{sign, form, XY{p.x.at(a.Metres), p.y.at(a.Volts)}, size}},
		})
	}
}

// seriesLook is how the i-th series is drawn.
func seriesLook(i int) (line, sign Class, form Form) {
	if i == 0 {
		return Course, Value, Circle
	}
	return Worst, WorstDot, [...]Form{Cross, Plus, Diamond, Star}[(i-1)%4]
}

func (d profileDrawing) key() []keyItem {
	var items []keyItem
	for i, s := range d.Series {
		_, class, form := seriesLook(i)
		words := s.Name
		if len(s.At) == 0 {
			words += " (no operating point, nothing to draw)"
		}
		items = append(items, keyItem{class, form, words})
	}
	if len(d.Least) > 0 {
		items = append(items, keyItem{Least, Dash, "least working volts of each device"})
	}
	return items
}
