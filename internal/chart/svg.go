package chart

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// SVG writes the picture as one svg element: classes, no style, no script. A
// picture that holds links is a group to those who cannot see it, since an image
// would hide them; any other is an image.
func (p *Picture) SVG(w io.Writer) error {
	s := &svg{w: bufio.NewWriter(w), letters: p.Line * 0.8}
	role := "img"
	if linked(p.Shapes) {
		role = "group"
	}
	id := escaped(p.ID)
	s.put(`<svg xmlns="http://www.w3.org/2000/svg" class="chart" role="`, role, `" width="`, number(p.Width), `" height="`, number(p.Height),
		`" viewBox="0 0 `, number(p.Width), ` `, number(p.Height), `" font-size="`, number(s.letters), `" aria-labelledby="`, id, `-title `, id, `-desc">`,
		`<title id="`, id, `-title">`, escaped(p.Title), `</title><desc id="`, id, `-desc">`, escaped(p.Desc), `</desc>`, "\n")
	for _, shape := range p.Shapes {
		s.shape(shape)
		s.put("\n")
	}
	s.put("</svg>\n")
	if err := s.w.Flush(); err != nil {
		return fmt.Errorf("write picture: %w", err)
	}
	return nil
}

func linked(shapes []Shape) bool {
	for _, s := range shapes {
		if g, is := s.(Group); is && g.Href != "" {
			return true
		}
	}
	return false
}

// svg writes shapes; an error is kept by the buffered writer until its flush.
type svg struct {
	w       *bufio.Writer
	letters float64 // their size
}

func (s *svg) put(parts ...string) {
	for _, part := range parts {
		s.w.WriteString(part) //nolint:errcheck // Flush tells
	}
}

func (s *svg) shape(shape Shape) {
	switch v := shape.(type) {
	case Line:
		if v.Class == CardPointer {
			s.straight(v)
			return
		}
		s.put(`<polyline class="`, string(v.Class), `" points="`, places(v.Points), `"/>`)
	case Area:
		s.put(`<polygon class="`, string(v.Class), `" points="`, places(v.Points), `"/>`)
	case Box:
		s.put(`<rect class="`, string(v.Class), `" x="`, number(v.X), `" y="`, number(v.Y), `" width="`, number(v.W), `" height="`, number(v.H), `"/>`)
	case Sign:
		s.sign(v)
	case Text:
		s.put(`<text class="`, string(v.Class), `" x="`, number(v.At.X), `" y="`, number(v.At.Y), `"`)
		if v.Anchor != Start {
			s.put(` text-anchor="`, string(v.Anchor), `"`)
		}
		if v.Size > 0 {
			s.put(` font-size="`, number(s.letters*v.Size), `"`)
		}
		s.put(`>`, escaped(v.Text), `</text>`)
	case Group:
		s.group(v)
	}
}

// straight writes a pointer from its middle to its end: which is which must be
// plain to whoever reads the picture.
func (s *svg) straight(v Line) {
	from, to := v.Points[0], v.Points[len(v.Points)-1]
	s.put(`<line class="`, string(v.Class), `" x1="`, number(from.X), `" y1="`, number(from.Y), `" x2="`, number(to.X), `" y2="`, number(to.Y), `"/>`)
}

func (s *svg) sign(v Sign) {
	if v.Form == Circle {
		s.put(`<circle class="`, string(v.Class), `" cx="`, number(v.At.X), `" cy="`, number(v.At.Y), `" r="`, number(v.Size/2), `"/>`)
		return
	}
	s.put(`<polygon class="`, string(v.Class), `" points="`, places(v.Outline()), `"/>`)
}

func (s *svg) group(v Group) {
	tag := "g"
	if v.Href != "" {
		tag = "a"
		s.put(`<a href="`, escaped(v.Href), `">`)
	} else {
		s.put(`<g>`)
	}
	if v.Title != "" {
		s.put(`<title>`, escaped(v.Title), `</title>`)
	}
	for _, shape := range v.Shapes {
		s.shape(shape)
	}
	s.put(`</`, tag, `>`)
}

func places(points []XY) string {
	var b strings.Builder
	for i, p := range points {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(number(p.X))
		b.WriteByte(',')
		b.WriteString(number(p.Y))
	}
	return b.String()
}

// number writes at most two decimals.
func number(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	if text == "-0" || text == "" {
		return "0"
	}
	return text
}

func escaped(text string) string {
	if !utf8.ValidString(text) {
		text = strings.ToValidUTF8(text, "?")
	}
	var b strings.Builder
	xml.EscapeText(&b, []byte(text)) //nolint:errcheck // a strings.Builder takes all
	return b.String()
}
