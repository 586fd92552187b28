package chart

import (
	"math"
	"strings"
	"unicode/utf8"
)

// canvas collects the shapes of a picture that is being laid out.
type canvas struct {
	Medium
	height float64
	shapes []Shape
	taken  []Box // where text stands
}

func (c *canvas) add(shapes ...Shape) { c.shapes = append(c.shapes, shapes...) }

func (c *canvas) line(class Class, points ...XY) { c.add(Line{class, points}) }

// mark adds a sign of the usual size.
func (c *canvas) mark(class Class, form Form, x, y float64) { c.add(c.sign(class, form, x, y)) }

func (c *canvas) sign(class Class, form Form, x, y float64) Sign {
	return Sign{class, form, XY{x, y}, c.Line * 0.5}
}

// width is how wide a text is, on average.
func (c *canvas) width(text string) float64 { return float64(utf8.RuneCountInString(text)) * c.Char }

// foot is how far below the middle of letters their foot is, in lines.
const foot = 0.27

// text gives a text whose middle is at the height y.
func (c *canvas) text(class Class, anchor Anchor, x, y float64, text string) Text {
	return Text{Class: class, At: XY{x, y + c.Line*foot}, Anchor: anchor, Text: text}
}

// sized adds a text of letters so many times as large as others; a terminal has
// one size.
func (c *canvas) sized(class Class, anchor Anchor, x, y, size float64, text string) {
	if c.cells() {
		c.write(class, anchor, x, y, text)
		return
	}
	c.add(Text{Class: class, At: XY{x, y + c.Line*foot*size}, Anchor: anchor, Size: size, Text: text})
}

// write adds a text and keeps its place.
func (c *canvas) write(class Class, anchor Anchor, x, y float64, text string) {
	c.taken = append(c.taken, c.extent(anchor, x, y, text))
	c.add(c.text(class, anchor, x, y, text))
}

// writeIf adds a text where no other stands and it is inside the picture.
func (c *canvas) writeIf(class Class, anchor Anchor, x, y float64, text string) bool {
	if !c.free(c.extent(anchor, x, y, text)) {
		return false
	}
	c.write(class, anchor, x, y, text)
	return true
}

func (c *canvas) extent(anchor Anchor, x, y float64, text string) Box {
	w := c.width(text)
	switch anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	if c.cells() {
		x = math.Round(x)
	}
	return Box{X: x, Y: y - c.Line*0.45, W: w, H: c.Line * 0.9}
}

func (c *canvas) free(b Box) bool {
	const whole = 1e-9 // sums of lengths are not exact
	if b.X < -whole || b.Y < -whole || b.X+b.W > c.Width+whole || b.Y+b.H > c.height+whole {
		return false
	}
	for _, t := range c.taken {
		if b.X < t.X+t.W+c.Char/2 && t.X < b.X+b.W+c.Char/2 && b.Y < t.Y+t.H && t.Y < b.Y+b.H {
			return false
		}
	}
	return true
}

// keyItem explains a sign.
type keyItem struct {
	class Class
	form  Form
	words string
}

// keyRows puts the items of a key into lines as wide as the medium.
func keyRows(m Medium, items []keyItem) [][]keyItem {
	var rows [][]keyItem
	free := 0.0
	for _, it := range items {
		need := float64(utf8.RuneCountInString(it.words)+5) * m.Char
		if len(rows) == 0 || need > free {
			rows, free = append(rows, nil), m.Width-m.Char
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], it)
		free -= need
	}
	return rows
}

// key draws a key whose first line has its middle at the height y.
func (c *canvas) key(y float64, items []keyItem) {
	for i, row := range keyRows(c.Medium, items) {
		x, at := c.Char, y+float64(i)*c.Line
		for _, it := range row {
			c.mark(it.class, it.form, x+c.Char/2, at)
			words := clipped(it.words, int((c.Width-x)/c.Char)-3)
			c.write(KeyText, Start, x+2*c.Char, at, words)
			x += c.width(it.words) + 5*c.Char
		}
	}
}

// clipped shortens a text to so many letters.
func clipped(text string, letters int) string {
	runes := []rune(text)
	if len(runes) <= max(letters, 1) {
		return text
	}
	return strings.TrimSpace(string(runes[:max(letters, 1)-1])) + "…"
}

// wrapped breaks a text into lines of so many letters; a longer word stays whole
// up to that and is clipped.
func wrapped(text string, letters int) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		word = clipped(word, letters)
		last := len(lines) - 1
		if last >= 0 && utf8.RuneCountInString(lines[last])+1+utf8.RuneCountInString(word) <= letters {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// drawable tells whether a value can be drawn: no device gives a larger one, and
// sums of such values are finite.
func drawable(v float64) bool { return math.Abs(v) <= 1e15 }
