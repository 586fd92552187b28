package cards

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// point is a place in the picture after all transforms.
type point struct{ x, y float64 }

func (p point) less(q point) point      { return point{p.x - q.x, p.y - q.y} }
func (p point) dot(q point) float64     { return p.x*q.x + p.y*q.y }
func (p point) far(q point) float64     { return math.Hypot(p.x-q.x, p.y-q.y) }
func middle(of ...point) point          { return point{mean(of, 0), mean(of, 1)} }
func (p point) angle() float64          { return math.Atan2(p.y, p.x) }
func turn(a, b float64) (apart float64) { return math.Abs(math.Remainder(a-b, 2*math.Pi)) }

func mean(of []point, axis int) float64 {
	sum := 0.0
	for _, p := range of {
		sum += []float64{p.x, p.y}[axis]
	}
	return sum / float64(len(of))
}

// shape is an element with a class: its corners (of a rect), its ends (of a line), its centre (of a circle), or where its
// words stand.
type shape struct {
	points []point
	words  string
}

func (s shape) at() point { return middle(s.points...) }

// matrix is an affine transform as SVG writes it: a, b, c, d, e, f.
type matrix [6]float64

func (m matrix) to(x, y float64) point {
	return point{m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5]}
}

func (m matrix) then(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1],
		m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
		m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
	}
}

var call = regexp.MustCompile(`(\w+)\s*\(([^)]*)\)`)

// transform reads the attribute of that name.
func transform(s string) (matrix, error) {
	out := matrix{1, 0, 0, 1, 0, 0}
	for _, c := range call.FindAllStringSubmatch(s, -1) {
		var v [6]float64
		args := strings.FieldsFunc(c[2], func(r rune) bool { return r == ',' || r == ' ' })
		if len(args) == 0 || len(args) > 6 {
			return out, fmt.Errorf("transform %q", s)
		}
		for i, a := range args {
			n, err := strconv.ParseFloat(a, 64)
			if err != nil {
				return out, fmt.Errorf("transform %q", s)
			}
			v[i] = n
		}
		m, err := one(c[1], v, len(args))
		if err != nil {
			return out, err
		}
		out = out.then(m)
	}
	return out, nil
}

func one(name string, v [6]float64, n int) (matrix, error) {
	switch name {
	case "translate":
		return matrix{1, 0, 0, 1, v[0], v[1]}, nil
	case "scale":
		if n == 1 {
			v[1] = v[0]
		}
		return matrix{v[0], 0, 0, v[1], 0, 0}, nil
	case "rotate":
		sin, cos := math.Sincos(v[0] * math.Pi / 180)
		about := matrix{1, 0, 0, 1, v[1], v[2]}.then(matrix{cos, sin, -sin, cos, 0, 0})
		return about.then(matrix{1, 0, 0, 1, -v[1], -v[2]}), nil
	case "matrix":
		return v, nil
	}
	return matrix{}, fmt.Errorf("transform %s is not read", name)
}

// picture is what is seen, by class.
type picture map[string][]shape

// reader walks through an SVG.
type reader struct {
	seen picture
	now  []matrix
	text *words
}

// words is a text while it is read.
type words struct {
	classes []string
	at      matrix
	get     func(string) float64
	anchor  string
	middle  bool
	size    float64
	said    strings.Builder
	depth   int
}

// look reads an SVG.
func look(svg []byte) (picture, error) {
	r := &reader{seen: picture{}, now: []matrix{{1, 0, 0, 1, 0, 0}}}
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			return r.seen, nil
		}
		if err != nil {
			return nil, err
		}
		switch t := t.(type) {
		case xml.StartElement:
			err = r.start(t)
		case xml.EndElement:
			r.end()
		case xml.CharData:
			if r.text != nil {
				r.text.said.Write(t)
			}
		}
		if err != nil {
			return nil, err
		}
	}
}

func (r *reader) start(e xml.StartElement) error {
	attr := map[string]string{}
	for _, a := range e.Attr {
		attr[a.Name.Local] = a.Value
	}
	own, err := transform(attr["transform"])
	if err != nil {
		return err
	}
	m := r.now[len(r.now)-1].then(own)
	r.now = append(r.now, m)
	var bad error
	get := func(name string) float64 {
		v, err := strconv.ParseFloat(strings.TrimSuffix(attr[name], "px"), 64)
		if err != nil && attr[name] != "" {
			bad = fmt.Errorf("%s: %s is %q", e.Name.Local, name, attr[name])
		}
		return v
	}
	classes := strings.Fields(attr["class"])
	switch e.Name.Local {
	case "rect":
		x, y, w, h := get("x"), get("y"), get("width"), get("height")
		r.add(classes, shape{points: []point{m.to(x, y), m.to(x+w, y), m.to(x+w, y+h), m.to(x, y+h)}})
	case "line":
		r.add(classes, shape{points: []point{m.to(get("x1"), get("y1")), m.to(get("x2"), get("y2"))}})
	case "circle":
		r.add(classes, shape{points: []point{m.to(get("cx"), get("cy"))}})
	case "text":
		r.text = &words{classes: classes, at: m, get: get, anchor: attr["text-anchor"], size: get("font-size"), depth: len(r.now)}
		base := attr["dominant-baseline"]
		r.text.middle = base == "middle" || base == "central"
		r.text.at = m.then(matrix{1, 0, 0, 1, get("x") + get("dx"), get("y") + get("dy")})
	}
	return bad
}

func (r *reader) end() {
	if t := r.text; t != nil && t.depth == len(r.now) {
		said := strings.Join(strings.Fields(t.said.String()), " ")
		r.add(t.classes, shape{points: []point{t.centre(said)}, words: said})
		r.text = nil
	}
	r.now = r.now[:len(r.now)-1]
}

// centre is about where the middle of the words is. Letters are taken to be 0.6 of their size wide and 0.7 high.
func (t *words) centre(said string) point {
	size := t.size
	if size == 0 {
		size = 10
	}
	x, y := 0.3*size*float64(len([]rune(said))), -0.35*size
	switch t.anchor {
	case "middle":
		x = 0
	case "end":
		x = -x
	}
	if t.middle {
		y = 0
	}
	return t.at.to(x, y)
}

func (r *reader) add(classes []string, s shape) {
	for _, c := range slices.Compact(slices.Sorted(slices.Values(classes))) {
		r.seen[c] = append(r.seen[c], s)
	}
}

// nearest gives the index of the shape that is nearest to a place.
func nearest(of []shape, to point) int {
	best := -1
	for i, s := range of {
		if best < 0 || s.at().far(to) < of[best].at().far(to) {
			best = i
		}
	}
	return best
}
