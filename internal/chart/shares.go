package chart

import (
	"fmt"
	"slices"
	"time"
)

// Shares is how a whole is divided over time, as points inside their band.
type Shares struct {
	Title string
	Zone  *time.Location
	Names []string // of the parts, from the bottom up
	At    []SharesAt
}

// SharesAt is the parts at an instant, as many as there are names.
type SharesAt struct {
	At    time.Time
	Parts []int
}

func (a SharesAt) total() int {
	sum := 0
	for _, n := range a.Parts {
		sum += max(n, 0)
	}
	return sum
}

// Picture draws the shares, one upon the other.
func (s Shares) Picture() *Picture {
	if s.Zone == nil {
		s.Zone = time.UTC
	}
	s.At = slices.DeleteFunc(slices.Clone(s.At), func(a SharesAt) bool { return len(a.Parts) != len(s.Names) || a.total() == 0 || !datable(a.At) })
	slices.SortStableFunc(s.At, func(a, b SharesAt) int { return a.At.Compare(b.At) })
	if len(s.At) == 0 {
		return blank(s.Title, "Nothing to show yet.", s.table())
	}
	return newPicture(s.Title, s.describe(), s.table(), sketch{
		lines: func(m Medium) int { return 15 + len(keyRows(m, s.key())) },
		draw:  s.draw,
	})
}

func (s Shares) describe() string {
	last := s.At[len(s.At)-1]
	words := "On " + last.At.In(s.Zone).Format("2006-01-02")
	for i, n := range last.Parts {
		words += fmt.Sprintf(", %s %d of %d (%.0f %%)", s.Names[i], n, last.total(), 100*float64(n)/float64(last.total()))
	}
	if foot := s.foot(); foot > 0 {
		words += fmt.Sprintf("; the axis begins at %v %%, not at 0", foot)
	}
	return words + "."
}

// foot is where the axis begins: at 0, or, where the first part never leaves the upper
// tenth, at 95, 90 or 80, so that at least half of the height shows how it changes.
func (s Shares) foot() float64 {
	rest := 0.0 // the most that the other parts ever have
	for _, a := range s.At {
		rest = max(rest, 100-100*float64(max(a.Parts[0], 0))/float64(a.total()))
	}
	for _, height := range []float64{5, 10, 20} {
		if 2*rest <= height {
			return 100 - height
		}
	}
	return 0
}

func (s Shares) table() Table {
	t := Table{Head: append([]string{"day"}, s.Names...)}
	for _, a := range s.At {
		row := []string{a.At.In(s.Zone).Format("2006-01-02")}
		for _, n := range a.Parts {
			row = append(row, fmt.Sprint(n))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (s Shares) draw(c *canvas) {
	key := s.key()
	rows := len(keyRows(c.Medium, key))
	foot := s.foot()
	p := c.upright(1, 2+rows, 3, axis{low: foot, high: 100, unit: "%"})
	if foot > 0 {
		p.broken()
	}
	from, to := s.At[0].At, s.At[len(s.At)-1].At
	if to.Sub(from) < 24*time.Hour {
		from, to = from.Add(-12*time.Hour), to.Add(12*time.Hour)
	}
	p.dates(from, to, s.Zone)
	for i := range s.Names {
		p.add(Area{Part(i), append(s.edge(p, i, from, to), reversed(s.edge(p, i-1, from, to))...)})
	}
	c.key(c.height-(float64(rows)-0.5)*c.Line, key)
}

// edge is the upper edge of the i-th part, from one end of the axis to the other.
func (s Shares) edge(p *plot, i int, from, to time.Time) []XY {
	var places []XY
	for _, a := range s.At {
		below := 0
		for _, n := range a.Parts[:i+1] {
			below += max(n, 0)
		}
		places = append(places, XY{p.x.at(seconds(a.At)), p.y.at(100 * float64(below) / float64(a.total()))})
	}
	first, last := places[0].Y, places[len(places)-1].Y
	places = thin(places, int((p.right-p.left)/p.Char*2))
	return slices.Concat([]XY{{p.x.at(seconds(from)), first}}, places, []XY{{p.x.at(seconds(to)), last}})
}

func reversed(places []XY) []XY {
	slices.Reverse(places)
	return places
}

func (s Shares) key() []keyItem {
	var items []keyItem
	for i, name := range s.Names {
		items = append(items, keyItem{Part(i), Square, name})
	}
	return items
}
