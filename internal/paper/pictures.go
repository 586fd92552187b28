package paper

import (
	"slices"

	"sootline/internal/chart"
)

// Pictures are drawings that stand packed, two beside each other.
type Pictures struct{ Drawings []*chart.Picture }

func (Pictures) isBlock() {}

// pictures puts drawings on the page in pairs, a pair as high as its higher one, each with its words below.
func (p *press) pictures(b Pictures) {
	const gap, across = 6.0, 2
	wide := (p.width - gap) / across
	for row := range slices.Chunk(b.Drawings, across) {
		laid := make([]*chart.Picture, len(row))
		words := make([][]string, len(row))
		high, lines := 0.0, 0
		p.font(false, small)
		for i, drawing := range row {
			laid[i] = drawing.For(chart.Medium{Width: wide, Char: 1.3, Line: 3.1})
			words[i] = p.wrap(p.printable(drawing.Desc), wide)
			high, lines = max(high, laid[i].Height), max(lines, len(words[i]))
		}
		below := float64(lines) * p.line()
		p.font(true, body)
		title := p.line() + 1
		p.room(title + high + below + 5)
		for i, drawing := range row {
			x := margin + float64(i)*(wide+gap)
			p.font(true, body)
			p.write(x, p.y, p.clip(p.printable(drawing.Title), wide))
			y := p.y
			p.y += title
			p.drawing(laid[i], x, p.y)
			p.font(false, small)
			p.ink(grey)
			for n, line := range words[i] {
				p.write(x, p.y+high+1+float64(n)*p.line(), line)
			}
			p.ink(black)
			p.y = y
		}
		p.y += title + high + below + 5
	}
}
