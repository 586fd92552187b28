package chart

import (
	"fmt"
	"math"
	"slices"
)

// Lengths is how long something may be by how many stand on it: metres of cable by devices, a course for each cross-section.
type Lengths struct {
	Title  string
	Series []LengthRun
}

// LengthRun is one course; nothing in At: no length is known.
type LengthRun struct {
	Name string
	At   []LengthAt // by devices, in order
}

// LengthAt is the length with so many devices.
type LengthAt struct {
	Devices int
	Metres  float64
}

// Picture draws the courses.
func (l Lengths) Picture() *Picture {
	var metres, devices span
	l.Series = slices.Clone(l.Series)
	for i := range l.Series {
		l.Series[i].At = slices.DeleteFunc(slices.Clone(l.Series[i].At), func(a LengthAt) bool { return !drawable(a.Metres) })
		for _, a := range l.Series[i].At {
			metres.include(0, a.Metres)
			devices.include(0, float64(a.Devices))
		}
	}
	if !metres.any {
		return blank(l.Title, "No length to draw: at no length is the verdict shown.", l.table())
	}
	return newPicture(l.Title, l.describe(), l.table(), sketch{
		lines: func(m Medium) int { return 15 + len(keyRows(m, l.key())) },
		draw:  func(c *canvas) { l.draw(c, metres, devices) },
	})
}

func (l Lengths) describe() string {
	words := "Metres of cable by devices."
	for _, s := range l.Series {
		if len(s.At) == 0 {
			words += " " + s.Name + ": at no length."
			continue
		}
		last := s.At[len(s.At)-1]
		words += fmt.Sprintf(" %s: %s m with %d devices.", s.Name, plain(math.Round(last.Metres)), last.Devices)
	}
	return words
}

// table has a row a number of devices, and a column a course.
func (l Lengths) table() Table {
	t := Table{Head: []string{"devices"}}
	var counts []int
	for _, s := range l.Series {
		t.Head = append(t.Head, s.Name)
		for _, a := range s.At {
			counts = append(counts, a.Devices)
		}
	}
	slices.Sort(counts)
	for _, n := range slices.Compact(counts) {
		row := []string{fmt.Sprint(n)}
		for _, s := range l.Series {
			cell := ""
			for _, a := range s.At {
				if a.Devices == n {
					cell = fmt.Sprintf("%.0f m", a.Metres)
				}
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (l Lengths) draw(c *canvas, metres, devices span) {
	key := l.key()
	rows := len(keyRows(c.Medium, key))
	p := c.upright(1, 2+rows, 2, axis{metres.low, metres.high, "m", 0.5})
	p.x = scale{0, max(devices.high, 1), p.left + p.Char, p.right - p.Char}
	p.line(Axis, XY{p.left, p.bottom}, XY{p.right, p.bottom})
	at, decimals := ticks(0, max(devices.high, 1), max(int((p.right-p.left)/p.Char/14), 2))
	for _, v := range at {
		if p.x.holds(v) {
			p.line(Grid, XY{p.x.at(v), p.top}, XY{p.x.at(v), p.bottom})
			p.writeIf(Label, Middle, p.x.at(v), p.bottom+p.Line, fixed(v, decimals))
		}
	}
	for i, s := range l.Series {
		line, sign, form := seriesLook(i)
		var course []XY
		for _, a := range s.At {
			course = append(course, XY{p.x.at(float64(a.Devices)), p.y.at(a.Metres)})
		}
		if len(course) > 1 {
			p.line(line, course...)
		}
		for k, a := range s.At {
			p.add(Group{Title: fmt.Sprintf("%s: %.0f m with %d devices", s.Name, a.Metres, a.Devices), Shapes: []Shape{Sign{sign, form, course[k], p.Line * 0.4}}})
		}
	}
	c.key(c.height-(float64(rows)-0.5)*c.Line, key)
}

func (l Lengths) key() []keyItem {
	var items []keyItem
	for i, s := range l.Series {
		_, class, form := seriesLook(i)
		items = append(items, keyItem{class, form, s.Name})
	}
	return items
}
