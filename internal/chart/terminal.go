package chart

import (
	"math"
	"strings"
	"unicode"
)

// Text draws the picture for a terminal, so many columns wide: its title, then its
// shapes as characters. Lines are dots of Braille patterns, areas are shades, signs
// are letters.
func (p *Picture) Text(columns int) string {
	q := p.For(Medium{Width: float64(max(columns, 20)), Char: 1, Line: 1})
	g := newGrid(int(q.Width), int(math.Ceil(q.Height)))
	for _, shape := range q.Shapes {
		g.shape(shape)
	}
	title := newGrid(int(q.Width), 1)
	title.text(Text{Text: clipped(p.Title, int(q.Width)), Anchor: Start})
	return title.String() + g.String()
}

// grid is a field of characters, row by row.
type grid struct {
	columns, rows int
	cells         []rune
}

func newGrid(columns, rows int) *grid {
	return &grid{columns, rows, []rune(strings.Repeat(" ", columns*rows))}
}

// String gives the rows without spaces at their ends.
func (g *grid) String() string {
	var b strings.Builder
	for y := range g.rows {
		b.WriteString(strings.TrimRight(string(g.cells[y*g.columns:(y+1)*g.columns]), " "))
		b.WriteByte('\n')
	}
	return b.String()
}

// at is the cell of a place; what lies just beyond an edge is taken in.
func (g *grid) at(x, y float64) *rune {
	column, row := min(max(int(x), 0), g.columns-1), min(max(int(y), 0), g.rows-1)
	return &g.cells[row*g.columns+column]
}

func (g *grid) shape(shape Shape) {
	switch v := shape.(type) {
	case Line:
		g.line(v)
	case Area:
		g.fill(v.Points, shade(v.Class))
	case Box:
		g.box(v)
	case Sign:
		if sign := v.rune(); sign != 0 {
			*g.at(v.At.X, v.At.Y) = sign
		}
	case Text:
		g.text(v)
	case Group:
		for _, inner := range v.Shapes {
			g.shape(inner)
		}
	}
}

func (g *grid) text(t Text) {
	runes := []rune(t.Text)
	x := int(math.Round(t.At.X))
	switch t.Anchor {
	case Middle:
		x = int(math.Round(t.At.X - float64(len(runes))/2))
	case End:
		x = int(math.Round(t.At.X)) - len(runes)
	}
	for i, r := range runes {
		if !unicode.IsPrint(r) { // nothing that would move the cursor
			r = '?'
		}
		if x+i >= 0 && x+i < g.columns {
			*g.at(float64(x+i), t.At.Y-foot+1e-6) = r
		}
	}
}

// line draws level and upright lines of some classes with line characters, and
// all others with dots. Faint lines are left away.
func (g *grid) line(l Line) {
	level, upright := strokes(l.Class)
	for i := 1; i < len(l.Points); i++ {
		a, b := l.Points[i-1], l.Points[i]
		switch {
		case l.Class == Grid:
		case level != 0 && a.Y == b.Y:
			for x := math.Floor(min(a.X, b.X)); x < max(a.X, b.X); x++ {
				g.stroke(x, a.Y, level)
			}
		case upright != 0 && int(a.X) == int(b.X):
			for y := math.Floor(min(a.Y, b.Y)); y < max(a.Y, b.Y); y++ {
				g.stroke(a.X, y, upright)
			}
		default:
			g.dots(a, b)
		}
	}
	for i := 1; i+1 < len(l.Points) && level != 0 && upright != 0; i++ {
		g.corner(l.Points[i-1], l.Points[i], l.Points[i+1])
	}
}

// corner puts a corner where a level line meets an upright one.
func (g *grid) corner(a, at, b XY) {
	if a.Y != at.Y {
		a, b = b, a
	}
	if a.Y != at.Y || b.X != at.X || a.X == at.X || b.Y == at.Y {
		return
	}
	corners := map[[2]bool]rune{{true, true}: '┌', {false, true}: '┐', {true, false}: '└', {false, false}: '┘'}
	*g.at(at.X, at.Y) = corners[[2]bool{a.X > at.X, b.Y > at.Y}]
}

// stroke puts a line character; where an axis meets another both are seen.
func (g *grid) stroke(x, y float64, sign rune) {
	cell := g.at(x, y)
	if *cell == '│' && sign == '─' || *cell == '─' && sign == '│' {
		sign = '┼'
	}
	*cell = sign
}

// strokes are the characters for level and upright lines of a class; 0: dots.
func strokes(class Class) (level, upright rune) {
	switch class {
	case Axis:
		return '─', '│'
	case Whisker:
		return '─', 0
	case Limit:
		return '-', ':'
	case Cable:
		return '─', '│'
	case CableAlt:
		return '━', '┃'
	case Reset:
		return 0, '│'
	case Now:
		return 0, ':'
	}
	return 0, 0
}

// dots draws a line with Braille patterns, which have two by four dots a cell.
func (g *grid) dots(a, b XY) {
	bits := [4][2]rune{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}
	steps := max(math.Ceil(4*math.Abs(b.X-a.X)), math.Ceil(8*math.Abs(b.Y-a.Y)), 1) // finer than the dots, so that none is missed
	for i := 0.0; i <= steps; i++ {
		x, y := a.X+(b.X-a.X)*i/steps, a.Y+(b.Y-a.Y)*i/steps
		cell := g.at(x, y)
		if *cell < 0x2800 || *cell > 0x28ff {
			*cell = 0x2800
		}
		*cell |= bits[min(max(int(4*(y-math.Floor(y))), 0), 3)][min(max(int(2*(x-math.Floor(x))), 0), 1)]
	}
}

// fill shades the cells whose middle is inside a polygon.
func (g *grid) fill(points []XY, sign rune) {
	if sign == 0 {
		return
	}
	for row := range g.rows {
		for column := range g.columns {
			if x, y := float64(column)+0.5, float64(row)+0.5; inside(points, x, y) {
				*g.at(x, y) = sign
			}
		}
	}
}

// inside counts the edges to the left of a place: an odd number is inside.
func inside(points []XY, x, y float64) bool {
	in := false
	for i, a := range points {
		b := points[(i+1)%len(points)]
		if (a.Y > y) != (b.Y > y) && x < a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// box shades a rectangle; its topmost row is as high as eighths of a cell allow.
func (g *grid) box(b Box) {
	sign := shade(b.Class)
	if sign == 0 || b.H <= 0 {
		return
	}
	for x := math.Round(b.X); x < max(math.Round(b.X+b.W), math.Round(b.X)+1); x++ {
		for y := math.Floor(b.Y); y < b.Y+b.H; y++ {
			part := sign
			if share := min(y+1, b.Y+b.H) - max(y, b.Y); sign == '█' && share < 1 && y < b.Y {
				part = []rune(" ▁▂▃▄▅▆▇█")[int(math.Round(share*8))]
			} else if share < 0.5 {
				continue
			}
			*g.at(x, y) = part
		}
	}
}

// shade is the character that fills an area of a class; 0: none.
func shade(class Class) rune {
	switch class {
	case Fan90, Part(2), CardFrame:
		return '░'
	case Fan50, Part(1):
		return '▒'
	case Part(0), CardLever:
		return '█'
	case Part(3):
		return '·'
	}
	return 0
}

// rune is the character of a sign: what is wrong with a point before its form.
func (s Sign) rune() rune {
	switch s.Class {
	case Out:
		return '■'
	case Soon:
		return '!'
	case Unknown:
		return '?'
	case Halo:
		return 0
	case Limit:
		level, upright := strokes(Limit)
		if s.Form == Bar {
			return upright
		}
		return level
	case Reset:
		return '│'
	}
	if fill := shade(s.Class); fill != 0 && s.Form == Square {
		return fill
	}
	return s.Form.rune()
}

func (f Form) rune() rune {
	switch f {
	case Square:
		return '□'
	case Triangle:
		return '^'
	case Down:
		return 'v'
	case Left:
		return '<'
	case Right:
		return '>'
	case Diamond:
		return '%'
	case Hexagon:
		return '@'
	case Star:
		return '*'
	case Cross:
		return 'x'
	case Plus:
		return '+'
	case Dash:
		return '-'
	case Bar:
		return '|'
	case Slab:
		return '='
	case Horn:
		return 'd'
	case Dome:
		return 'n'
	}
	return 'o'
}
