package chart

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Counts is how often something happened, month by month.
type Counts struct {
	Title  string
	Zone   *time.Location
	Names  []string // of the parts of a bar, from the bottom up
	Months []Month  // a month that is missing counts nothing
}

// Month is the counts of a month, as many as there are names.
type Month struct {
	At    time.Time // any instant of the month
	Parts []int
}

// Picture draws a bar a month.
func (n Counts) Picture() *Picture {
	n = n.every()
	most := 0
	for _, m := range n.Months {
		most = max(most, SharesAt(m).total())
	}
	if most == 0 {
		return blank(n.Title, "None in this time.", n.table())
	}
	d := countsDrawing{n, most}
	return newPicture(n.Title, n.describe(), n.table(), sketch{
		lines: func(m Medium) int { return 14 + len(keyRows(m, d.key())) },
		draw:  d.draw,
	})
}

// fewest is what the axis goes up to at least: parts of one mean nothing.
const fewest = 4

// longest is how many months are drawn at most: the last fifty years.
const longest = 600

// every puts each month from the first to the last in its place, once.
func (n Counts) every() Counts {
	if n.Zone == nil {
		n.Zone = time.UTC
	}
	sums := map[int][]int{}
	var first, last int
	for _, m := range n.Months {
		year, month, _ := m.At.In(n.Zone).Date()
		at := year*12 + int(month) - 1
		if len(m.Parts) != len(n.Names) || !datable(m.At) {
			continue
		}
		if len(sums) == 0 {
			first, last = at, at
		}
		first, last = min(first, at), max(last, at)
		if sums[at] == nil {
			sums[at] = make([]int, len(n.Names))
		}
		for i, c := range m.Parts {
			sums[at][i] += min(max(c, 0), 1e9)
		}
	}
	n.Months = nil
	if len(sums) == 0 {
		return n
	}
	for at := max(first, last-longest+1); at <= last; at++ {
		parts := sums[at]
		if parts == nil {
			parts = make([]int, len(n.Names))
		}
		n.Months = append(n.Months, Month{time.Date(0, time.Month(at+1), 1, 0, 0, 0, 0, n.Zone), parts})
	}
	return n
}

func (n Counts) describe() string {
	sum := 0
	for _, m := range n.Months {
		sum += SharesAt(m).total()
	}
	most := slices.MaxFunc(n.Months, func(a, b Month) int { return SharesAt(a).total() - SharesAt(b).total() })
	return fmt.Sprintf("%d in %s from %s to %s; most in %s with %d.", sum, counted(len(n.Months), "month", "months"),
		n.Months[0].words(), n.Months[len(n.Months)-1].words(), most.words(), SharesAt(most).total())
}

func (m Month) words() string { return m.At.Format("2006-01") }

func (n Counts) table() Table {
	t := Table{Head: append([]string{"month"}, n.Names...)}
	for _, m := range n.Months {
		row := []string{m.words()}
		for _, c := range m.Parts {
			row = append(row, fmt.Sprint(c))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

type countsDrawing struct {
	Counts
	most int
}

func (d countsDrawing) draw(c *canvas) {
	key := d.key()
	rows := len(keyRows(c.Medium, key))
	p := c.upright(1, 2+rows, 2, axis{high: float64(max(d.most, fewest))})
	p.line(Axis, XY{p.left, p.bottom}, XY{p.right, p.bottom})
	wide := (p.right - p.left) / float64(len(d.Months))
	for i, m := range d.Months {
		d.bar(p, m, p.left+(float64(i)+0.5)*wide, wide)
	}
	d.months(p, wide)
	c.key(c.height-(float64(rows)-0.5)*c.Line, key)
}

// bar draws a month around the place x; above it its number where there is room.
func (d countsDrawing) bar(p *plot, m Month, x, wide float64) {
	total := SharesAt(m).total()
	if total == 0 {
		return
	}
	thick, sum := math.Min(wide*0.7, 6*p.Char), 0
	bar := Group{Title: fmt.Sprintf("%s: %d", m.words(), total)}
	for i, n := range m.Parts {
		if n > 0 {
			low, high := p.y.at(float64(sum)), p.y.at(float64(sum+n))
			bar.Shapes = append(bar.Shapes, Box{Part(i), x - thick/2, high, thick, low - high})
			sum += n
			if len(m.Parts) > 1 {
				bar.Title += fmt.Sprintf(", %s %d", d.Names[i], n)
			}
		}
	}
	p.add(bar)
	if words := fmt.Sprint(total); p.width(words) < wide {
		p.writeIf(Note, Middle, x, p.y.at(float64(total))-p.Line*0.85, words)
	}
}

// months names as many months as there is room for: each, each third from January
// on, or January alone.
func (d countsDrawing) months(p *plot, wide float64) {
	const letters = len("2006-01") + 1
	every := 1
	for every < 120 && float64(every)*wide < float64(letters)*p.Char {
		every = map[int]int{1: 3, 3: 6, 6: 12, 12: 24, 24: 60, 60: 120}[every]
	}
	for i, m := range d.Months {
		year, month, _ := m.At.Date()
		if (year*12+int(month)-1)%every != 0 {
			continue
		}
		x := p.left + (float64(i)+0.5)*wide
		p.line(Axis, XY{x, p.bottom}, XY{x, p.bottom + p.Line/4})
		p.writeIf(Label, Middle, x, p.bottom+p.Line, m.words())
	}
}

func (d countsDrawing) key() []keyItem {
	return Shares{Names: d.Names}.key()
}
