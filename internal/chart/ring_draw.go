package chart

import (
	"fmt"
	"math"
	"slices"
	"unicode/utf8"
)

// ringDrawing is a loop, and which of its points are on the ring.
type ringDrawing struct {
	Ring
	ring []ringStop
}

// ringStop is a point on the ring and those of the spurs that leave there.
type ringStop struct {
	point int
	spur  []int
}

// branch tells ring from spurs. A spur before the first point of the ring leaves
// at the panel's first point all the same: it begins the ring.
func (d *ringDrawing) branch() {
	for i, p := range d.Points {
		if p.Spur == "" || len(d.ring) == 0 {
			d.ring = append(d.ring, ringStop{point: i})
			continue
		}
		stop := &d.ring[len(d.ring)-1]
		stop.spur = append(stop.spur, i)
	}
}

// lines is the height of the picture: less for few points, and more where the
// signs would overlap.
func (d *ringDrawing) lines(m Medium) int {
	pitch := ringPitch
	if m.cells() {
		pitch = 1 // two signs in one cell are one
	}
	usual := min(0.28*m.Width/m.Char, 10+float64(len(d.ring))/2)
	least := float64(len(d.ring)+4)*pitch*m.Line/2 - (m.Width - 2*d.side()*m.Char)
	ring := min(max(usual, least/m.Line), 60)
	return int(math.Ceil(ring)) + ringAbove + ringBelow + len(keyRows(m, d.key()))
}

const (
	ringPitch = 0.75 // lines from one sign to the next, at least
	ringLabel = 9    // letters of a label at most
	ringPanel = 3.5  // letters from the middle of the panel to its side
	ringAbove = 3    // lines above it
	ringBelow = 3    // and below, down to the key
)

// side is how many letters beside the ring are kept for labels.
func (d *ringDrawing) side() float64 {
	wide := 0
	for _, s := range d.ring {
		wide = max(wide, utf8.RuneCountInString(d.Points[s.point].Label))
	}
	return float64(min(wide, ringLabel)) + 4
}

// placed is a point with its place and the direction away from the cable.
type placed struct {
	RingPoint
	at, out XY
	spur    bool
}

func (d *ringDrawing) draw(c *canvas) {
	key := d.key()
	rows := float64(len(keyRows(c.Medium, key)))
	side := d.side() * c.Char
	t := track{side, ringAbove * c.Line, c.Width - side, c.height - (ringBelow+rows)*c.Line, 0}
	if !c.cells() { // there, corners are square
		t.radius = min(3*c.Line, (t.bottom-t.top)/3)
	}
	c.key(c.height-(rows-0.5)*c.Line, key)
	stops := d.stops(c, t)
	d.cable(c, t, stops)
	points := d.places(c, t, stops)
	d.panel(c, t)
	d.signs(c, t, points)
	d.labels(c, points)
	d.middle(c, t)
}

// stops are the places of the ring's points along the track, evenly from one side
// of the panel to the other.
func (d *ringDrawing) stops(c *canvas, t track) []float64 {
	length, panel := t.length(), (ringPanel+2)*c.Char
	stops := make([]float64, len(d.ring))
	for i := range stops {
		stops[i] = panel + (length-2*panel)*(float64(i)+0.5)/float64(len(stops))
	}
	return stops
}

// cable draws the ring in stretches from isolator to isolator, of two looks in
// turn, and a bar across it where one sits in a base.
func (d *ringDrawing) cable(c *canvas, t track, stops []float64) {
	length := t.length()
	half := length / float64(len(stops)) / 2
	from, look, next := ringPanel*c.Char, Cable, CableAlt
	for i, s := range stops {
		p := d.Points[d.ring[i].point]
		if !p.parts() {
			continue
		}
		if p.Kind != IsolatorKind {
			s += half * 0.8
		}
		c.line(look, t.way(from, s)...)
		from, look, next = s, next, look
	}
	c.line(look, t.way(from, length-ringPanel*c.Char)...)
	for i, s := range stops {
		if p := d.Points[d.ring[i].point]; p.Isolator && p.Kind != IsolatorKind {
			at, out := t.at(s + half*0.8)
			form := Bar
			if math.Abs(out.X) > math.Abs(out.Y) {
				form = Dash
			}
			c.mark(Barrier, form, at.X, at.Y)
		}
	}
}

// places gives each point its place, and draws the spurs as twigs into the ring.
func (d *ringDrawing) places(c *canvas, t track, stops []float64) []placed {
	var points []placed
	depth := min(t.right-t.left, t.bottom-t.top) * 0.6
	for i, s := range stops {
		at, out := t.at(s)
		stop := d.ring[i]
		points = append(points, placed{d.Points[stop.point], at, out, false})
		// upright steps are lines, level ones as wide as a label
		step := c.Line*math.Abs(out.Y) + 2.5*c.Char*math.Abs(out.X)
		step = min(step, depth/float64(max(len(stop.spur), 1)))
		end := at
		for k, point := range stop.spur {
			way := step * float64(k+1)
			end = XY{at.X - out.X*way, at.Y - out.Y*way}
			points = append(points, placed{d.Points[point], end, out, true})
		}
		if end != at {
			c.line(Cable, at, end)
		}
	}
	return points
}

func (d *ringDrawing) panel(c *canvas, t track) {
	x, w, h := (t.left+t.right)/2, 2*ringPanel*c.Char, 1.4*c.Line
	c.add(Box{Panel, x - w/2, t.top - h/2, w, h})
	c.write(Note, Middle, x, t.top, "panel")
	c.write(Label, Start, x+w/2+c.Char/2, t.top+c.Line, "OUT")
	c.write(Label, End, x-w/2-c.Char/2, t.top+c.Line, "IN")
}

// signs draws the points, those that are out last so that none hides them.
func (d *ringDrawing) signs(c *canvas, t track, points []placed) {
	size := min(c.Line*0.66, t.length()/float64(len(d.ring)+3)*0.8)
	order := slices.Clone(points)
	slices.SortStableFunc(order, func(a, b placed) int { return int(a.Standing) - int(b.Standing) })
	for _, p := range order {
		g := Group{Href: p.Href, Title: p.Title}
		if p.Standing == StandsOut {
			g.Shapes = append(g.Shapes, Sign{Halo, Circle, p.at, size * 1.7})
		}
		g.Shapes = append(g.Shapes, Sign{p.Standing.class(), p.Kind.form(), p.at, size})
		c.add(g)
		c.taken = append(c.taken, Box{X: p.at.X - size/2, Y: p.at.Y - size/2, W: size, H: size})
	}
}

// labels writes the numbers where they fit, first of those that are out.
func (d *ringDrawing) labels(c *canvas, points []placed) {
	for _, standing := range []Standing{StandsOut, StandsSoon, StandsUnknown, StandsGood} {
		for _, p := range points {
			if p.Standing == standing {
				p.label(c)
			}
		}
	}
}

func (p placed) label(c *canvas) {
	class := Label
	if p.Standing == StandsOut {
		class = Accent
	}
	words, beside := clipped(p.Label, ringLabel), max(1.3*c.Char, 0.85*c.Line)
	if p.spur { // beside the twig, on either side
		_ = c.writeIf(class, Start, p.at.X+beside, p.at.Y, words) || c.writeIf(class, End, p.at.X-beside, p.at.Y, words)
		return
	}
	anchor := Middle
	switch {
	case p.out.X > 0.5:
		anchor = Start
	case p.out.X < -0.5:
		anchor = End
	}
	for _, far := range [...]float64{1, 2} {
		if c.writeIf(class, anchor, p.at.X+p.out.X*beside*far, p.at.Y+p.out.Y*far*c.Line, words) {
			return
		}
	}
}

// middle counts the points by their standing, and names those that are out.
func (d *ringDrawing) middle(c *canvas, t track) {
	lines := []string{counted(len(d.Points), "point", "points")}
	var out string
	for _, s := range []Standing{StandsGood, StandsSoon, StandsUnknown, StandsOut} {
		n := 0
		for _, p := range d.Points {
			if p.Standing == s {
				n++
				if s == StandsOut {
					out += " " + p.Label
				}
			}
		}
		if n > 0 {
			lines = append(lines, fmt.Sprintf("%d %s", n, s.words()))
		}
	}
	lines = append(lines, wrapped(out, int((t.right-t.left)/c.Char/2))...)
	y := (t.top+t.bottom)/2 - float64(len(lines)-1)/2*c.Line
	for _, words := range lines {
		if y < t.bottom-2*c.Line {
			c.writeIf(Note, Middle, (t.left+t.right)/2, y, words)
		}
		y += c.Line
	}
}
