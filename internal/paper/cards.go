package paper

import (
	"slices"

	"sootline/internal/chart"
)

// cardsAcross is how many cards stand in a row: two are read at arm's length.
const cardsAcross = 2

// cards stand side by side, those of a row as high as the highest, with lines to
// cut along.
func (p *press) cards(c Cards) {
	const inside, line = 3.0, 4.0
	wide := p.width/cardsAcross - 2
	m := chart.Medium{Width: wide - 2*inside, Char: 0.42 * line, Line: line}
	for row := range slices.Chunk(c.Cards, cardsAcross) {
		height := 0.0
		laid := make([]*chart.Picture, len(row))
		for i, card := range row {
			laid[i] = card.For(m)
			height = max(height, laid[i].Height+2*inside)
		}
		p.room(height + 2)
		for i, card := range laid {
			x := margin + float64(i)*(wide+2)
			p.SetDrawColor(grey, grey, grey)
			p.SetLineWidth(0.2)
			p.SetDashPattern([]float64{1.5, 1}, 0)
			p.Rect(x, p.y, wide, height, "D")
			p.drawing(card, x+inside, p.y+inside)
		}
		p.y += height + 2
	}
	p.y += 2
}
