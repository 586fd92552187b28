package paper

import (
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"sootline/internal/chart"
)

// look is how a class of shapes looks: shares of ink from 0 (none) to 1 (black).
// What is transparent on a screen is a shade here, since paper is white.
type look struct {
	fill, stroke float64
	width        float64 // of its line, mm
	dash         []float64
	bold         bool
}

// looks is the style of internal/chart/style.css on paper.
func looks(class chart.Class) look {
	const thin = 0.2
	switch class {
	case chart.Grid:
		return look{stroke: 0.12, width: 0.15}
	case chart.Axis:
		return look{stroke: 0.6, width: thin}
	case chart.Limit:
		return look{fill: 0.7, stroke: 0.7, width: thin, dash: []float64{1.2, 0.6}}
	case chart.Course:
		return look{fill: 0.7, stroke: 0.7, width: 0.25}
	case chart.Whisker:
		return look{fill: 0.5, stroke: 0.5, width: 0.5}
	case chart.Band:
		return look{fill: 0.08}
	case chart.LeftOut, chart.Event:
		return look{fill: 0.55, stroke: 0.55, width: thin}
	case chart.Reset:
		return look{fill: 0.8, stroke: 0.8, width: 0.35, bold: true}
	case chart.Now:
		return look{fill: 0.6, stroke: 0.6, width: thin, dash: []float64{0.3, 0.8}}
	case chart.Fan90:
		return look{fill: 0.15}
	case chart.Fan50:
		return look{fill: 0.28}
	case chart.Median:
		return look{fill: 1, stroke: 1, width: 0.25, dash: []float64{1.6, 0.8}}
	case chart.Worst:
		return look{fill: 0.9, stroke: 0.9, width: 0.25, dash: []float64{1.4, 0.8}}
	case chart.WorstDot, chart.Good, chart.Unknown, chart.Halo:
		return look{stroke: 1, width: 0.3}
	case chart.Soon:
		return look{fill: 0.45, stroke: 1, width: 0.3}
	case chart.Cable:
		return look{stroke: 0.75, width: 0.5}
	case chart.CableAlt:
		return look{stroke: 0.35, width: 1}
	case chart.Panel:
		return look{fill: 0.15, stroke: 1, width: thin}
	case chart.Part(1):
		return look{fill: 0.55}
	case chart.Part(2):
		return look{fill: 0.3}
	case chart.Part(3):
		return look{fill: 0.12, stroke: 1, width: 0.12}
	case chart.Accent:
		return look{fill: 1, stroke: 1, width: thin, bold: true}
	case chart.CardFrame, chart.CardDialRim, chart.CardBox:
		return look{stroke: 1, width: 0.5}
	case chart.CardLever:
		return look{fill: 1}
	case chart.CardPointer:
		return look{stroke: 1, width: 1.4}
	case chart.CardNumber, chart.CardTakes, chart.CardPlace, chart.CardSide, chart.CardName, chart.CardValue, chart.CardWanted:
		return look{fill: 1, bold: true}
	}
	return look{fill: 0.9, stroke: 0.9, width: thin}
}

// picture writes a drawing across the text, and under it what is to be seen, in
// words.
func (p *press) picture(drawing *chart.Picture) {
	laid := drawing.For(chart.Medium{Width: p.width, Char: 1.55, Line: 3.7})
	p.font(true, body)
	p.room(laid.Height + 3*p.line())
	p.write(margin, p.y, p.printable(drawing.Title))
	p.y += p.line() + 1
	p.drawing(laid, margin, p.y)
	p.y += laid.Height + 1
	p.ink(grey)
	p.font(false, small)
	for _, line := range p.wrap(p.printable(drawing.Desc), p.width) {
		p.room(p.line())
		p.write(margin, p.y, line)
		p.y += p.line()
	}
	p.ink(black)
	p.y += 4
}

// drawing writes shapes from the corner x, y.
func (p *press) drawing(laid *chart.Picture, x, y float64) {
	p.TransformBegin()
	p.TransformTranslate(x-margin, y-p.y)
	for _, shape := range laid.Shapes {
		p.shape(shape, laid.Line*0.8/perPt)
	}
	p.TransformEnd()
	p.SetDashPattern(nil, 0)
}

// shape draws a primitive; letters are of so many points.
func (p *press) shape(shape chart.Shape, pt float64) {
	switch s := shape.(type) {
	case chart.Line:
		if style := p.prepare(looks(s.Class)); strings.Contains(style, "D") && len(s.Points) > 1 {
			p.path(s.Points, false, "D")
		}
	case chart.Area:
		if style := p.prepare(looks(s.Class)); style != "" {
			p.path(s.Points, true, style)
		}
	case chart.Box:
		if style := p.prepare(looks(s.Class)); style != "" {
			p.Rect(margin+s.X, p.y+s.Y, s.W, s.H, style)
		}
	case chart.Sign:
		l := looks(s.Class)
		p.prepare(l)
		if l.fill == 0 && s.Class != chart.Halo { // open: what lies under it must not show through
			p.SetFillColor(255, 255, 255)
			p.path(s.Outline(), true, "FD")
			return
		}
		p.path(s.Outline(), true, map[bool]string{true: "FD", false: "D"}[l.fill > 0])
	case chart.Text:
		p.label(s, pt)
	case chart.Group:
		for _, inner := range s.Shapes {
			p.shape(inner, pt)
		}
	}
}

// prepare takes up the pens of a look, and says which are to be used: F, D or
// both.
func (p *press) prepare(l look) string {
	style := ""
	if l.fill > 0 {
		shade := int(255 * (1 - l.fill))
		p.SetFillColor(shade, shade, shade)
		style = "F"
	}
	if l.stroke > 0 {
		shade := int(255 * (1 - l.stroke))
		p.SetDrawColor(shade, shade, shade)
		p.SetLineWidth(l.width)
		p.SetDashPattern(l.dash, 0)
		style += "D"
	}
	return style
}

func (p *press) path(points []chart.XY, closed bool, style string) {
	if closed {
		corners := make([]fpdf.PointType, len(points))
		for i, at := range points {
			corners[i] = fpdf.PointType{X: margin + at.X, Y: p.y + at.Y}
		}
		p.Polygon(corners, style)
		return
	}
	for i, at := range points {
		if i == 0 {
			p.MoveTo(margin+at.X, p.y+at.Y)
			continue
		}
		p.LineTo(margin+at.X, p.y+at.Y)
	}
	p.DrawPath(style)
}

func (p *press) label(t chart.Text, pt float64) {
	p.font(looks(t.Class).bold, pt*max(t.Size, 1))
	p.ink(30)
	text := p.printable(t.Text)
	x := margin + t.At.X
	switch t.Anchor {
	case chart.Middle:
		x -= p.widthOf(text) / 2
	case chart.End:
		x -= p.widthOf(text)
	}
	p.Fpdf.Text(x, p.y+t.At.Y, text)
}
