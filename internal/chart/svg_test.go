package chart

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// node is an element of an SVG as a reader sees it.
type node struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Text    string     `xml:",chardata"`
	Nodes   []node     `xml:",any"`
}

func (n node) attr(name string) string {
	for _, a := range n.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// number reads an attribute; anything but a plain finite number of at most two
// decimals is a fault.
func (n node) number(t fataler, name string) float64 {
	return plainNumber(t, n.attr(name))
}

func (n node) all(name, class string) []node {
	var found []node
	n.walk(func(m node) {
		if m.XMLName.Local == name && (class == "" || m.attr("class") == class) {
			found = append(found, m)
		}
	})
	return found
}

func (n node) walk(see func(node)) {
	see(n)
	for _, m := range n.Nodes {
		m.walk(see)
	}
}

// fataler is what both *testing.T and *rapid.T are.
type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

var plainDecimal = regexp.MustCompile(`^-?\d{1,6}(\.\d{1,2})?$`)

func plainNumber(t fataler, text string) float64 {
	t.Helper()
	if !plainDecimal.MatchString(text) {
		t.Fatalf("%q is no number of at most two decimals", text)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return v
}

func svgOf(t fataler, p *Picture) string {
	t.Helper()
	var b strings.Builder
	if err := p.SVG(&b); err != nil {
		t.Fatalf("%v", err)
	}
	return b.String()
}

func parsed(t fataler, p *Picture) node {
	t.Helper()
	var root node
	if err := xml.Unmarshal([]byte(svgOf(t, p)), &root); err != nil {
		t.Fatalf("not well-formed: %v", err)
	}
	return root
}

// pairs are the places of a points attribute.
func (n node) pairs(t fataler) []XY {
	t.Helper()
	var all []XY
	for _, pair := range strings.Fields(n.attr("points")) {
		x, y, _ := strings.Cut(pair, ",")
		all = append(all, XY{plainNumber(t, x), plainNumber(t, y)})
	}
	return all
}

// places are all places that an element reaches.
func (n node) places(t fataler) []XY {
	t.Helper()
	num := func(name string) float64 { return n.number(t, name) }
	switch n.XMLName.Local {
	case "polyline", "polygon":
		return n.pairs(t)
	case "circle":
		x, y, r := num("cx"), num("cy"), num("r")
		return []XY{{x - r, y - r}, {x + r, y + r}}
	case "line":
		return []XY{{num("x1"), num("y1")}, {num("x2"), num("y2")}}
	case "rect":
		return []XY{{num("x"), num("y")}, {num("x") + num("width"), num("y") + num("height")}}
	case "text":
		return []XY{{num("x"), num("y")}}
	}
	return nil
}

// mustBeSound checks what holds for every picture: well-formed, named, nothing
// outside, classes of the style sheet alone, no style and no script.
func mustBeSound(t fataler, p *Picture) {
	t.Helper()
	root := parsed(t, p)
	box := strings.Fields(root.attr("viewBox"))
	if len(box) != 4 || root.attr("aria-labelledby") != p.ID+"-title "+p.ID+"-desc" || p.Desc == "" {
		t.Fatalf("%+v", root.Attrs)
	}
	width, height := plainNumber(t, box[2]), plainNumber(t, box[3])
	const rounding = 0.011
	root.walk(func(n node) {
		switch n.XMLName.Local {
		case "svg", "title", "desc", "g", "a", "polyline", "polygon", "circle", "rect", "text", "line":
		default:
			t.Errorf("element %s", n.XMLName.Local)
		}
		for _, a := range n.Attrs {
			if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "fill" || a.Name.Local == "stroke" {
				t.Errorf("attribute %s", a.Name.Local)
			}
		}
		if class := n.attr("class"); class != "" && n.XMLName.Local != "svg" && !strings.Contains(style, "."+class+" ") && !strings.Contains(style, "."+class+",") {
			t.Errorf("class %s is not in the style sheet", class)
		}
		for _, at := range n.places(t) {
			if at.X < -rounding || at.Y < -rounding || at.X > width+rounding || at.Y > height+rounding {
				t.Errorf("%s %s reaches %v, outside %v x %v", n.XMLName.Local, n.attr("class"), at, width, height)
			}
		}
	})
}

// mustNotOverlap checks that no text stands on another, as wide as letters are on
// average, and that none leaves the picture.
func mustNotOverlap(t fataler, p *Picture, m Medium) {
	t.Helper()
	c := canvas{Medium: m, height: p.Height}
	var check func(shapes []Shape)
	check = func(shapes []Shape) {
		for _, s := range shapes {
			switch v := s.(type) {
			case Group:
				check(v.Shapes)
			case Text:
				size := max(v.Size, 1)
				d := canvas{Medium: Medium{Width: c.Width, Char: c.Char * size, Line: c.Line * size}}
				box := d.extent(v.Anchor, v.At.X, v.At.Y-d.Line*foot, v.Text)
				box.X, box.W = box.X+c.Char/4, box.W-c.Char/2
				if !c.free(box) {
					t.Errorf("%q at %v lies on another text, or leaves the picture", v.Text, v.At)
				}
				c.taken = append(c.taken, Box{X: box.X, Y: box.Y, W: box.W - c.Char/2, H: box.H})
			}
		}
	}
	check(p.Shapes)
}

func TestSamplesAreSound(t *testing.T) {
	for name, p := range samples() {
		t.Run(name, func(t *testing.T) {
			for _, m := range []Medium{Page(), Phone(), {Width: 480, Char: 5, Line: 11}} {
				mustBeSound(t, p.For(m))
				mustNotOverlap(t, p.For(m), m)
			}
			for _, columns := range []int{80, 100, 132} {
				m := Medium{Width: float64(columns), Char: 1, Line: 1}
				mustNotOverlap(t, p.For(m), m)
			}
		})
	}
}

// TestEveryClassIsUsed: each class of the style sheet occurs in a sample, so that
// the sheet holds nothing that is not drawn and the samples show everything.
func TestEveryClassIsUsed(t *testing.T) {
	drawn := map[string]bool{}
	for _, p := range samples() {
		parsed(t, p).walk(func(n node) { drawn[n.attr("class")] = true })
	}
	for _, m := range regexp.MustCompile(`\.chart [a-z]*\.([a-z0-9-]+)`).FindAllStringSubmatch(style, -1) {
		if !drawn[m[1]] {
			t.Errorf("nothing is drawn with class %s", m[1])
		}
	}
	if colour := regexp.MustCompile(`#[0-9a-f]{3}|\brgb|hsl|\b(red|yellow|green|blue|black|white)\b`).FindString(style); colour != "" {
		t.Errorf("the style sheet has a colour: %s", colour)
	}
}

func TestRole(t *testing.T) {
	if role := parsed(t, sampleHistory().Picture()).attr("role"); role != "img" {
		t.Errorf("a picture without links is %s", role)
	}
	if role := parsed(t, sampleRing(3).Picture()).attr("role"); role != "group" {
		t.Errorf("a picture with links is %s: an image would hide them", role)
	}
}

func TestEscape(t *testing.T) {
	const nasty = `<b> & "x" </title>` + "\x00\xff"
	p := Ring{Title: nasty, Points: []RingPoint{{Label: "<&>", Title: nasty, Href: `/a?b=1&c="2"`, Kind: Kind(nasty)}}}.Picture()
	root := parsed(t, p)
	if got := root.all("a", "")[0].attr("href"); got != `/a?b=1&c="2"` {
		t.Errorf("link %q", got)
	}
	if got := root.Nodes[0].Text; got != `<b> & "x" </title>`+"\ufffd?" {
		t.Errorf("title %q", got)
	}
}

type broken struct{}

var errBroken = errors.New("no room")

func (broken) Write([]byte) (int, error) { return 0, errBroken }

func TestWriteFails(t *testing.T) {
	var w io.Writer = broken{}
	if err := sampleRing(126).Picture().SVG(w); !errors.Is(err, errBroken) {
		t.Errorf("got %v", err)
	}
}
