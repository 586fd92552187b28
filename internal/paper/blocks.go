package paper

import "slices"

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
	for i, block := range part.Blocks {
		if p.Err() {
			return
		}
		p.tail = 0
		if i+1 < len(part.Blocks) {
			if s, ok := part.Blocks[i+1].(Signatures); ok {
				p.tail = signHeight * float64(len(s.Roles))
			}
		}
		p.block(block)
	}
}

// signHeight is the height of a role's lines to sign on, in millimetres.
const signHeight = 17

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
	case Pictures:
		p.pictures(b)
	case Cards:
		p.cards(b)
	case Letter:
		p.letter(b)
	case Photos:
		p.photos(b)
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
	const share, markWide = 0.34, 17.0
	left, marks := p.width*share, 0.0
	if f.marked() {
		marks = markWide
	}
	for _, row := range f.Rows {
		p.font(false, body)
		name := p.wrap(p.printable(row.Name), left-3)
		p.font(true, body)
		value := p.wrap(p.printable(row.Value), p.width-left-marks)
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
			p.rule(margin+left, margin+p.width-marks, y+height-1, grey)
		}
		p.mark(row.Known, y)
		p.y += height
	}
	p.y += 2
}

// marked reports whether any field says how it is known.
func (f Fields) marked() bool {
	return slices.ContainsFunc(f.Rows, func(row Field) bool { return row.Known != "" })
}

// mark says at the right edge how a field is known.
func (p *press) mark(known string, y float64) {
	p.font(false, small)
	p.ink(grey)
	text := p.printable(known)
	p.write(margin+p.width-p.widthOf(text), y+0.4, text)
	p.ink(black)
}

func (p *press) rule(from, to, y float64, shade int) {
	p.SetDrawColor(shade, shade, shade)
	p.SetLineWidth(0.2)
	p.Fpdf.Line(from, y, to, y)
}

// signatures gives each role a name, a signature and a date to fill in.
func (p *press) signatures(s Signatures) {
	for _, role := range s.Roles {
		p.room(signHeight)
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
