package live

import (
	"slices"
	"strings"

	"sootline"
)

// sample is an example in the words of a hypothesis: its text, and where its fields stand.
type sample struct {
	text  []glyph
	marks []mark // in order
}

type mark struct {
	role     Role
	means    Event
	from, to int
}

// sampleOf finds the lines of an example and its marks in them.
func (s *Style) sampleOf(heard []raw, e Example) (sample, error) {
	var lines [][]glyph
	for _, l := range heard {
		if l.to > int64(e.From) && l.from < int64(e.To) {
			lines = append(lines, s.Page.decode(l))
		}
	}
	out := sample{text: s.Wrap.join(lines)}
	for _, m := range e.Marks {
		from, to := -1, -1
		for i, g := range out.text {
			if g.pos >= int64(m.From) && g.pos < int64(m.To) {
				if from < 0 {
					from = i
				}
				to = i + 1
			}
		}
		if from < 0 {
			return out, sootline.Errorf(sootline.Invalid, "mark letters of one line that was heard", "what is marked as the %s is not in its line", m.Role)
		}
		for to > from && isBlank(out.text[to-1].r) {
			to--
		}
		for from < to && isBlank(out.text[from].r) {
			from++
		}
		out.marks = append(out.marks, mark{m.Role, m.Means, from, to})
	}
	slices.SortFunc(out.marks, func(a, b mark) int { return a.from - b.from })
	for i := 1; i < len(out.marks); i++ {
		if out.marks[i].from < out.marks[i-1].to {
			return out, sootline.Errorf(sootline.Invalid, "mark each letter once", "what is marked as the %s and as the %s overlaps", out.marks[i-1].role, out.marks[i].role)
		}
	}
	return out, nil
}

func (x *sample) of(r Role) (string, bool) {
	for _, m := range x.marks {
		if m.role == r {
			return textOf(x.text[m.from:m.to]), true
		}
	}
	return "", false
}

// order names the fields of a sample in their order.
func (x *sample) order() string {
	var b strings.Builder
	for _, m := range x.marks {
		b.WriteString(string(m.role) + " ")
	}
	return b.String()
}

// shape gives the shape of a sample: its fields, and what stands between them.
func (x *sample) shape() Shape {
	var s Shape
	text := trimEnd(x.text)
	p := 0
	for p < len(text) && isBlank(text[p].r) {
		p++
	}
	add := func(to int) {
		var behind Role
		if len(s) > 0 {
			behind = s[len(s)-1].Role
		}
		if g := varied(glueOf(text[min(p, to):to]), behind); g != "" || len(s) > 0 {
			s = append(s, Elem{Glue: []string{g}})
		}
	}
	for _, m := range x.marks {
		add(m.from)
		s = append(s, Elem{Role: m.role})
		p = m.to
	}
	if p < len(text) {
		add(len(text))
	}
	return s
}

// glueOf writes each run of white space as one blank, or as a line feed where it holds one.
func glueOf(g []glyph) string {
	var out []rune
	for i, x := range g {
		switch {
		case !isBlank(x.r):
			out = append(out, x.r)
		case i == 0 || !isBlank(g[i-1].r):
			out = append(out, ' ')
		}
		if x.r == '\n' {
			out[len(out)-1] = '\n'
		}
	}
	return string(out)
}

// merged puts shapes together whose fields stand in the same order: what stands between them may have any of the spellings.
func merged(samples []sample) []Shape {
	var shapes []Shape
	orders := map[string]int{}
	for i := range samples {
		s := samples[i].shape()
		k := samples[i].order()
		if s[0].Role == "" {
			k = "+" + k
		}
		if s[len(s)-1].Role == "" {
			k += "+"
		}
		at, ok := orders[k]
		if !ok {
			orders[k] = len(shapes)
			shapes = append(shapes, s)
			continue
		}
		for j := range s {
			for _, g := range s[j].Glue {
				shapes[at][j].Glue = joinGlue(shapes[at][j].Glue, g)
			}
		}
	}
	return shapes
}

// joinGlue adds a spelling. One that differs from another in its figures alone is a count: any figures may stand there.
func joinGlue(had []string, g string) []string {
	for i, h := range had {
		a, b := pieces(h), pieces(g)
		if len(a) != len(b) {
			continue
		}
		so, same := "", true
		for k := range a {
			switch {
			case a[k].text == b[k].text:
				so += a[k].text
			case a[k].digit && b[k].digit:
				so += string(digitsGlue)
			default:
				same = false
			}
		}
		if same {
			had[i] = so
			return had
		}
	}
	return append(had, g)
}
