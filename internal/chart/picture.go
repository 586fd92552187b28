// Package chart draws: the history of a point, the volts along a loop, the loop
// as a ring, shares over time, counts a month, rates with their intervals, and the
// card by which a device is set. Each picture has one drawing code, whatever it is drawn for: it fills a list of a few
// primitives, laid out for a [Medium], which is written as SVG, as characters of a
// terminal, or by whoever walks [Picture.Shapes] as anything else.
//
// It knows volts, dates and values, no register, and no colours: a shape carries a
// [Class], what it means, and whoever shows the picture chooses how that looks. The
// style sheet of [Style] does so with currentColor and shades of it alone.
package chart

// Picture is a drawing: the list of its shapes, back to front, and the same in words.
type Picture struct {
	ID            string // prefix of the ids in the SVG, without spaces; give each picture of a page its own
	Width, Height float64
	Line          float64 // height of a line of text; letters are of 0.8 of it
	Title         string  // what is shown, in a few words
	Desc          string  // what is to be seen, in a sentence or two
	Shapes        []Shape
	Table         Table // what is shown, for those who cannot see it

	sketch sketch
}

// Table says in words and numbers what a picture shows.
type Table struct {
	Head []string
	Rows [][]string
}

// Shape is a primitive of a picture: [Line], [Area], [Box], [Sign], [Text] or [Group].
type Shape interface{ isShape() }

// XY is a place: x to the right and y down, in the units of the medium.
type XY struct{ X, Y float64 }

// Line is an open polyline.
type Line struct {
	Class  Class
	Points []XY
}

// Area is a filled polygon.
type Area struct {
	Class  Class
	Points []XY
}

// Box is a filled rectangle.
type Box struct {
	Class      Class
	X, Y, W, H float64
}

// Sign is a small mark of a form around a place. Its class says whether it is filled.
type Sign struct {
	Class Class
	Form  Form
	At    XY
	Size  float64 // from edge to edge
}

// Text is a line of text. At is on its baseline, at its Anchor.
type Text struct {
	Class  Class
	At     XY
	Anchor Anchor
	Text   string
	Size   float64 // of its letters, as a multiple of the others'; 0: as they are
}

// Group is shapes that belong together: they are one link, or have one tooltip.
type Group struct {
	Href   string // nothing: no link
	Title  string // tooltip
	Shapes []Shape
}

func (Line) isShape()  {}
func (Area) isShape()  {}
func (Box) isShape()   {}
func (Sign) isShape()  {}
func (Text) isShape()  {}
func (Group) isShape() {}

// Anchor is the part of a text that stands at its place.
type Anchor string

// The anchors, in the words of SVG.
const (
	Start  Anchor = "start"
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// Medium is what a picture is laid out for, in units of its own. The height
// follows from what is drawn.
type Medium struct {
	Width float64
	Char  float64 // width of a letter, on average
	Line  float64 // height of a line of text
}

// Page is a web page on a screen.
func Page() Medium { return Medium{Width: 720, Char: 6.6, Line: 15} }

// Phone is a web page on a narrow screen.
func Phone() Medium { return Medium{Width: 360, Char: 6.6, Line: 15} }

// sketch draws a picture again for another medium. lines is the height it wants.
type sketch struct {
	lines func(Medium) int
	draw  func(*canvas)
}

// cells tells whether the medium is a grid of characters.
func (m Medium) cells() bool { return m.Line == m.Char }

// lines breaks a text into lines that the medium holds.
func (m Medium) lines(text string) []string { return wrapped(text, int(m.Width/m.Char)-4) }

// For lays the picture out again for another medium.
func (p *Picture) For(m Medium) *Picture {
	c := &canvas{Medium: m, height: float64(p.sketch.lines(m)) * m.Line}
	p.sketch.draw(c)
	q := *p
	q.Width, q.Height, q.Line, q.Shapes = m.Width, c.height, m.Line, c.shapes
	return &q
}

func newPicture(title, desc string, table Table, s sketch) *Picture {
	p := &Picture{ID: "chart", Title: title, Desc: desc, Table: table, sketch: s}
	return p.For(Page())
}

// blank is a picture of nothing but a sentence that says why.
func blank(title, why string, table Table) *Picture {
	return newPicture(title, why, table, sketch{
		lines: func(m Medium) int { return len(m.lines(why)) + 2 },
		draw: func(c *canvas) {
			for i, line := range c.lines(why) {
				c.write(Empty, Middle, c.Width/2, c.Line*(1.5+float64(i)), line)
			}
		},
	})
}
