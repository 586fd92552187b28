package chart

import (
	"math"
	"strconv"
)

// draw draws the card from the top, and says how far down it reaches.
func (card Card) draw(c *canvas) float64 {
	y := card.head(c)
	if len(card.Switches) > 0 {
		y = card.switches(c, y+c.gap())
	}
	if len(card.Dials) > 0 {
		y = card.dials(c, y+c.gap())
	}
	if len(card.Says) > 0 {
		y += c.gap()
	}
	for _, line := range card.Says {
		y = c.paragraph(CardSays, 0, y, line)
	}
	y = card.wants(c, y)
	if c.cells() {
		return y
	}
	return y + c.gap()
}

// gap parts what is told on a card; in cells that is a line.
func (c *canvas) gap() float64 {
	if c.cells() {
		return 1
	}
	return c.Line / 2
}

// large is how many lines high the number is.
func (c *canvas) large() float64 {
	if c.cells() {
		return 1
	}
	return 3
}

// head tells the number, the place, and what tells the device apart.
func (card Card) head(c *canvas) float64 {
	high := c.large()
	number := clipped(card.Number, int(c.Width/c.Char/high))
	y := high * c.Line
	c.sized(CardNumber, Start, 0, y/2, high, number)
	if card.Takes != "" {
		c.write(CardTakes, End, c.Width, y-c.Line/2, clipped(card.Takes, int((c.Width-c.width(number)*high)/c.letter())-1))
	}
	if card.Place != "" {
		y = c.paragraph(CardPlace, 0, y, card.Place)
	}
	if card.About != "" {
		y = c.paragraph(Note, 0, y, card.About)
	}
	if !card.Boxes {
		return y
	}
	x := 0.0
	for _, words := range []string{"set", "looked at again"} {
		x = c.box(x, y+c.Line/2)
		c.write(Label, Start, x, y+c.Line/2, clipped(words, int((c.Width-x)/c.Char)))
		x += c.width(words) + 2*c.Char
	}
	return y + c.Line
}

// letter is how wide a bold letter is, on average.
func (c *canvas) letter() float64 {
	if c.cells() {
		return 1
	}
	return 1.12 * c.Char
}

// paragraph writes text from x in lines from y down, and says where the next goes.
func (c *canvas) paragraph(class Class, x, y float64, text string) float64 {
	wide := c.letter()
	if class == Note {
		wide = c.Char
	}
	for _, line := range wrapped(text, int((c.Width-x)/wide)) {
		c.write(class, Start, x, y+c.Line/2, line)
		y += c.Line
	}
	return y
}

// box draws a box to tick by hand, and says where its words begin.
func (c *canvas) box(x, y float64) float64 {
	if c.cells() {
		c.write(CardBox, Start, x, y, "[ ]")
	} else {
		c.add(Box{CardBox, x + c.Line*0.1, y - c.Line*0.35, c.Line * 0.7, c.Line * 0.7})
	}
	return x + c.indent()
}

// indent is the room of a box to tick.
func (c *canvas) indent() float64 {
	if c.cells() {
		return 4
	}
	return c.Line * 1.2
}

// row is where the switches stand: the middle of the first, how far they are
// apart, how wide and how high one is.
type row struct{ first, apart, wide, high float64 }

func (c *canvas) row(switches int) row {
	left := 7 * c.Char // the words beside the row
	if c.cells() {
		return row{first: left + 2, apart: 5, wide: 3, high: 2}
	}
	apart := min((c.Width-left)/float64(switches), 2.2*c.Line)
	return row{first: left + apart/2, apart: apart, wide: 0.6 * apart, high: 3.4 * c.Line}
}

// switches draws the row from y down: a lever in the upper half of its frame is ON.
func (card Card) switches(c *canvas, y float64) float64 {
	r := c.row(len(card.Switches))
	words := func(class Class, at float64, text string) { c.write(class, Start, 0, at, text) }
	words(CardSide, y+r.high/4, "ON")
	words(CardSide, y+r.high*3/4, "OFF")
	under := y + r.high + c.gap()/2
	if c.cells() {
		under = y + r.high
	}
	words(Label, under+c.Line/2, "switch")
	words(Label, under+c.Line*3/2, "counts")
	for i, s := range card.Switches {
		x := r.first + float64(i)*r.apart
		c.lever(r, x, y, s.On)
		c.write(CardName, Middle, x, under+c.Line/2, s.Name)
		c.write(CardCounts, Middle, x, under+c.Line*3/2, strconv.Itoa(s.Counts))
	}
	return under + 2*c.Line
}

// lever draws one switch around x; its lever leaves a rim of the frame on a screen
// or paper, so that both are seen.
func (c *canvas) lever(r row, x, y float64, on bool) {
	left := x - r.wide/2
	c.add(Box{CardFrame, left, y, r.wide, r.high})
	rim, at := 0.12*r.wide, y
	if c.cells() {
		rim = 0
	}
	if !on {
		at += r.high / 2
	}
	c.add(Box{CardLever, left + rim, at + rim, r.wide - 2*rim, r.high/2 - 2*rim})
}

// dials draws them side by side from y down; in cells, a line each.
func (card Card) dials(c *canvas, y float64) float64 {
	if c.cells() {
		for _, d := range card.Dials {
			c.strip(d, y+0.5)
			y++
		}
		return y
	}
	wide := c.Width / float64(len(card.Dials))
	radius := min(wide/2-1.4*c.Line, 2.6*c.Line)
	ring := radius + 0.8*c.Line // where the digits stand
	middle := y + ring + c.Line/2
	under := middle + ring + 1.4*c.Line
	for i, d := range card.Dials {
		x := wide * (float64(i) + 0.5)
		c.dial(d, XY{x, middle}, radius, ring)
		c.write(CardName, End, x, under, clipped(d.Name, int(wide/2/c.letter())))
		c.sized(CardValue, Start, x+c.Char, under-0.1*c.Line, 1.6, strconv.Itoa(d.At))
	}
	return under + 0.9*c.Line
}

// dial draws one dial: 0 at the top, on as a clock goes.
func (c *canvas) dial(d CardDial, at XY, radius, ring float64) {
	c.add(Sign{CardDialRim, Circle, at, 2 * radius})
	place := func(i int, far float64) XY {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(d.Last+1))
		return XY{at.X + far*sin, at.Y - far*cos}
	}
	c.line(CardPointer, at, place(d.At, 0.9*radius))
	for i := range d.Last + 1 {
		p := place(i, ring)
		c.write(CardDigit, Middle, p.X, p.Y, strconv.Itoa(i))
	}
}

// strip writes a dial as a line of its digits, with brackets about the one at
// which it stands.
func (c *canvas) strip(d CardDial, y float64) {
	c.write(CardName, Start, 0, y, clipped(d.Name, 6))
	for i := range d.Last + 1 {
		digit := strconv.Itoa(i)
		if i == d.At {
			digit = "[" + digit + "]"
		} else {
			digit += " "
		}
		x := 7 + 4*float64(i+1)
		if x <= c.Width {
			c.write(CardDigit, End, x, y, digit)
		}
	}
}

// wants lists the modes wanted, each with its reason, and what to be careful of.
func (card Card) wants(c *canvas, y float64) float64 {
	if len(card.Wants)+len(card.Cautions) > 0 {
		y += c.gap()
	}
	for _, w := range card.Wants {
		x := 0.0
		if card.Boxes {
			x = c.indent()
		}
		top := y
		if y = c.paragraph(CardWanted, x, y, w.Says); x > 0 && y > top {
			c.box(0, top+c.Line/2)
		}
		y = c.paragraph(Note, c.indent(), y, w.Because)
	}
	for _, text := range card.Cautions {
		top := y
		if y = c.paragraph(CardSays, 2*c.Char, y, text); y > top {
			c.write(CardWanted, Start, 0, top+c.Line/2, "!")
		}
	}
	return y
}
