package paper

import (
	"strings"
	"unicode/utf8"
)

// part writes a chapter; fresh begins it on a page of its own.
func (p *press) part(part *Part, fresh bool) {
	if fresh {
		p.chapts = append(p.chapts, chapter{part.Title, p.PageNo() + 1})
		p.newPage()
	}
	if part.Title != "" {
		p.Bookmark(p.printable(part.Title), 0, p.y)
		p.title(part.Title, 14, 3)
	}
	for _, block := range part.Blocks {
		if p.Err() {
			return
		}
		p.block(block)
	}
}

func (p *press) block(block Block) {
	p.ink(black)
	switch b := block.(type) {
	case Heading:
		p.heading(b.Text)
	case Paragraph:
		p.paragraph(b.Text, 0)
		p.y += 2
	case List:
		p.list(b)
	case Fields:
		p.fields(b)
	case Table:
		p.table(&b)
	case Picture:
		p.picture(b.Drawing)
	case Cards:
		p.cards(b)
	case Signatures:
		p.signatures(b)
	}
}

// title writes a line or more of large bold type.
func (p *press) title(text string, pt, after float64) {
	p.font(true, pt)
	for _, line := range p.wrap(p.printable(text), p.width) {
		p.room(p.line())
		p.write(margin, p.y, line)
		p.y += p.line()
	}
	p.y += after
}

// heading begins a section; it never stands at the foot of a page.
func (p *press) heading(text string) {
	p.room(28)
	p.y += 2
	p.Bookmark(p.printable(text), 1, p.y)
	p.title(text, 11, 1)
}

func (p *press) paragraph(text string, indent float64) {
	p.font(false, body)
	for _, line := range p.wrap(p.printable(text), p.width-indent) {
		p.room(p.line())
		p.write(margin+indent, p.y, line)
		p.y += p.line()
	}
}

func (p *press) list(l List) {
	p.font(false, body)
	for _, item := range l.Items {
		p.room(p.line())
		p.write(margin, p.y, "–")
		p.paragraph(item, 4)
		p.y += 0.6
	}
	p.y += 1.5
}

// fields writes names at the left and values beside them; where there is no value
// stands a line to write on.
func (p *press) fields(f Fields) {
	const share = 0.34
	left := p.width * share
	for _, row := range f.Rows {
		p.font(false, body)
		name := p.wrap(p.printable(row.Name), left-3)
		p.font(true, body)
		value := p.wrap(p.printable(row.Value), p.width-left)
		height := float64(max(len(name), len(value), 1))*p.line() + 1
		if row.Value == "" {
			height += 2
		}
		p.room(min(height, p.size.Height-top-bottom))
		y := p.y
		p.font(false, body)
		p.ink(grey)
		for i, line := range name {
			p.write(margin, y+float64(i)*p.line(), line)
		}
		p.ink(black)
		for i, line := range value {
			p.write(margin+left, y+float64(i)*p.line(), line)
		}
		if row.Value == "" {
			p.rule(margin+left, margin+p.width, y+height-1, grey)
		}
		p.y += height
	}
	p.y += 2
}

func (p *press) rule(from, to, y float64, shade int) {
	p.SetDrawColor(shade, shade, shade)
	p.SetLineWidth(0.2)
	p.Fpdf.Line(from, y, to, y)
}

// signatures gives each role a name, a signature and a date to fill in.
func (p *press) signatures(s Signatures) {
	for _, role := range s.Roles {
		p.room(17)
		p.font(true, body)
		p.write(margin, p.y, p.printable(role))
		p.y += 11
		p.font(false, small)
		p.ink(grey)
		x := float64(margin)
		for i, part := range []string{"name", "signature", "date"} {
			w := p.width * []float64{0.36, 0.4, 0.24}[i]
			p.rule(x, x+w-4, p.y, grey)
			p.write(x, p.y+0.6, part)
			x += w
		}
		p.ink(black)
		p.y += 6
	}
}

// cardsAcross is how many cards stand in a row.
const cardsAcross = 3

// cards stand side by side, those of a row as high as the highest.
func (p *press) cards(c Cards) {
	wide := p.width / cardsAcross
	for from := 0; from < len(c.Cards); from += cardsAcross {
		row := c.Cards[from:min(from+cardsAcross, len(c.Cards))]
		height := 0.0
		for i := range row {
			height = max(height, p.card(&row[i], 0, wide-2, false))
		}
		p.room(height + 2)
		p.SetDrawColor(grey, grey, grey)
		p.SetLineWidth(0.2)
		for i := range row {
			x := margin + float64(i)*wide
			p.Rect(x, p.y, wide-2, height, "D")
			p.card(&row[i], x, wide-2, true)
		}
		p.y += height + 2
	}
	p.y += 2
}

// card draws a card at x, or only measures how high it is.
func (p *press) card(card *Card, x, wide float64, draw bool) float64 {
	const inside = 2
	y := p.y + 1.5
	put := func(text string, indent float64) {
		for _, line := range p.wrap(p.printable(text), wide-2*inside-indent) {
			if draw {
				p.write(x+inside+indent, y, line)
			}
			y += p.line()
		}
	}
	p.font(true, 13)
	put(card.Title, 0)
	p.font(false, small)
	for _, line := range card.Lines {
		put(line, 0)
	}
	if len(card.Grid) > 0 {
		y = p.characters(card.Grid, x+inside, y+1, wide-2*inside, draw) + 1
	}
	for _, tick := range card.Ticks {
		if y += 0.6; draw {
			p.tickBox(x+inside, y-0.5)
		}
		put(tick, 4.5)
	}
	return y + 1.5 - p.y
}

// characters puts the words of some lines below each other by where they end, as
// they do where all characters are of one width, which those of the type are not.
// The first word of a line keeps where it begins.
func (p *press) characters(lines []string, x, y, wide float64, draw bool) float64 {
	longest := 1
	for _, line := range lines {
		longest = max(longest, utf8.RuneCountInString(line))
	}
	cell := min(p.widthOf("0")*1.02, wide/float64(longest))
	for _, line := range lines {
		column, first := 0, true
		for word := range strings.SplitSeq(p.printable(line), " ") {
			from := float64(column) * cell
			column += utf8.RuneCountInString(word)
			if word != "" && draw {
				if !first {
					from = float64(column)*cell - p.widthOf(word)
				}
				p.write(x+from, y, word)
			}
			first = first && word == ""
			column++ // the space after it
		}
		y += p.line()
	}
	return y
}

// tickBox draws an empty box to tick.
func (p *press) tickBox(x, y float64) {
	p.SetDrawColor(black, black, black)
	p.SetLineWidth(0.2)
	p.Rect(x, y+0.4, 3, 3, "D")
}
