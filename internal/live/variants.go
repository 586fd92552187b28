package live

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// A record without a point is in no example: a reset, a zone, a remark of the panel's own. What such records look like is
// inferred from the lines heard that fit no example: the same shape with some fields left out, filled with signs, or empty.

// lesser gives the shapes that a shape becomes where fields are left out with what stands before or behind them.
func lesser(s Shape) []Shape {
	sets := [][]Role{
		{Loop, Number, Sub}, {Loop, Number, Sub, Zone}, {Loop, Number, Sub, Text}, {Loop, Number, Sub, Zone, Text}, {Zone}, {Text}, {Zone, Text},
	}
	var all []Shape
	for _, set := range sets {
		for _, v := range without(s, set) {
			if !slices.ContainsFunc(all, func(o Shape) bool { return sameShape(o, v) }) && !sameShape(v, s) && apartIn(v, s) {
				all = append(all, v)
			}
		}
	}
	return all
}

// apartIn refuses shapes in which fields run together that do not in the example: nothing would say where one ends.
func apartIn(v, s Shape) bool {
	for i := 1; i < len(v); i++ {
		if v[i-1].Role == "" || v[i].Role == "" {
			continue
		}
		k := slices.IndexFunc(s, func(e Elem) bool { return e.Role == v[i].Role })
		if k == 0 || s[k-1].Role != v[i-1].Role {
			return false
		}
	}
	return len(v) > 0
}

func sameShape(a, b Shape) bool {
	return slices.EqualFunc(a, b, func(x, y Elem) bool { return x.Role == y.Role && slices.Equal(x.Glue, y.Glue) })
}

// without leaves fields out, each run of them with what stands before it, behind it, or but for a blank.
func without(s Shape, roles []Role) []Shape {
	out := []Shape{{}}
	for i := 0; i < len(s); {
		to := leftOut(s, i, roles)
		if to == i {
			for k := range out {
				out[k] = append(out[k][:len(out[k]):len(out[k])], s[i])
			}
			i++
			continue
		}
		var next []Shape
		for _, so := range out {
			for _, instead := range insteadOf(s, i, to) {
				next = append(next, append(so[:len(so):len(so)], instead...))
			}
		}
		out, i = next, to
	}
	return out
}

// leftOut gives the end of the run at i that is left out: glue, field, glue and so on; i itself where none begins.
func leftOut(s Shape, i int, roles []Role) int {
	out := func(k int) bool { return k < len(s) && s[k].Role != "" && slices.Contains(roles, s[k].Role) }
	k := i
	if s[k].Role == "" && out(k+1) {
		k++
	}
	if !out(k) {
		return i
	}
	for out(k) {
		k++
		if k < len(s) && s[k].Role == "" {
			k++
		}
	}
	return k
}

// insteadOf gives what can stand where a run of fields is left out: what stood behind it, before it, a blank, or nothing. The
// likelier comes first.
func insteadOf(s Shape, i, to int) []Shape {
	var out []Shape
	if s[to-1].Role == "" && to-1 != i {
		out = append(out, Shape{s[to-1]})
	}
	if s[i].Role == "" {
		out = append(out, Shape{s[i]})
	}
	if slices.ContainsFunc(s[i:to], func(e Elem) bool { return e.Role == "" && strings.Contains(e.Glue[0], "\n") }) {
		out = append(out, Shape{{Glue: []string{"\n"}}})
	}
	return append(out, Shape{{Glue: []string{" "}}}, Shape{})
}

// option is a way in which some lines that were not understood can be read.
type option struct {
	first, lines int
	shape        int // of the tried ones
	t            taken
	rank         int // of the word: the smaller the better
}

// variants adds the shapes by which the most of the remaining lines can be read, as long as two lines speak for one.
func (g *guess) variants() {
	var tried []Shape
	for _, k := range g.style.Shapes {
		tried = append(tried, k.Shape)
	}
	for _, k := range g.style.Shapes {
		for _, v := range lesser(k.Shape) {
			tried = append(tried, v)
		}
	}
	options := g.options(tried)
	for _, known := range []bool{true, false} {
		for _, key := range bySpecific(options, tried) {
			g.learn(tried, options[key], known)
		}
	}
}

// bySpecific puts options first that leave least open: of the most fields and signs, and without a text that could be anything.
func bySpecific(options map[optionKey][]option, tried []Shape) []optionKey {
	var keys []optionKey
	for k := range options {
		keys = append(keys, k)
	}
	open := func(k optionKey) int {
		n := 0
		for i, role := range Roles() {
			switch {
			case role == Text && k.signs[i] == 'v':
				n += 100
			case role != Text && k.signs[i] != '.' && k.signs[i] != 'e':
				n -= 1000
			}
		}
		for _, e := range tried[k.shape] {
			if e.Role == "" {
				n -= 10000 * strings.Count(e.Glue[0], "\n")
			}
		}
		return n
	}
	slices.SortFunc(keys, func(a, b optionKey) int {
		return cmp.Or(cmp.Compare(open(a), open(b)), cmp.Compare(a.shape, b.shape), cmp.Compare(len(options[b]), len(options[a])), strings.Compare(a.signs, b.signs))
	})
	return keys
}

type optionKey struct {
	shape int
	signs string
}

// options finds all ways of reading the lines that are left.
func (g *guess) options(tried []Shape) map[optionKey][]option {
	all := map[optionKey][]option{}
	for i := range g.heard {
		for n := 1; n <= g.style.Lines && i+n <= len(g.heard) && !g.used[i+n-1]; n++ {
			if g.style.Wrap.goesOn(g.text, i+n) && n < g.style.Lines {
				continue
			}
			text := g.style.Wrap.join(g.text[i : i+n])
			for k, shape := range tried {
				for key, o := range g.ways(shape, text, i, n) {
					o.shape = k
					all[optionKey{k, key}] = append(all[optionKey{k, key}], o)
				}
			}
		}
	}
	return all
}

// ways reads some lines by a shape; for each way of writing the fields the best word.
func (g *guess) ways(shape Shape, text []glyph, i, n int) map[string]option {
	out := map[string]option{}
	near := g.due(i)
	for _, m := range g.style.fit(shape, text, true) {
		r := g.style.says(m, g.reg, near)
		if r.why == NoPoint || r.why == OtherZone || !g.style.onTime(r, near) || r.Number != 0 && r.why == OtherText {
			continue
		}
		o := option{first: i, lines: n, t: taken{i, n, m, r, g.ahead(r, i)}, rank: g.rankOf(shape, m, r)}
		if had, ok := out[r.signs]; !ok || o.rank < had.rank {
			out[r.signs] = o
		}
	}
	return out
}

// rankOf prefers words that are known; else those that something ends: a sign, the next field, two blanks, the line itself.
func (g *guess) rankOf(shape Shape, m *match, r *reading) int {
	end := m.fields[What].to
	next := slices.IndexFunc(shape, func(e Elem) bool { return e.Role == What }) + 1
	switch {
	case r.Event != "":
		return 0
	case end == len(m.text):
		return 2
	case next+1 < len(shape) && (strings.TrimSpace(shape[next].Glue[0]) != "" || shape[next+1].Role != Text):
		return 1
	case m.text[end].r == '\n', end+1 < len(m.text) && isBlank(m.text[end].r) && isBlank(m.text[end+1].r):
		return 1
	}
	return 9
}

// oneKind refuses words that hold a line's end, or figures behind letters: they are more than a word.
func oneKind(word []glyph) bool {
	digits := 0
	for _, g := range word {
		if g.r == '\n' {
			return false
		}
		if unicode.IsDigit(g.r) {
			digits++
		}
	}
	return digits == 0 || digits == len(word)
}

func free(used []bool, first, lines int) bool {
	for k := range lines {
		if used[first+k] {
			return false
		}
	}
	return true
}

// learn adds a shape with the way in which its fields are written, where two lines speak for it. known: by words that are
// known alone.
func (g *guess) learn(tried []Shape, list []option, known bool) {
	var open []option
	for _, o := range list {
		if free(g.used, o.first, o.lines) && (o.rank == 0 || !known && o.rank < 3) {
			open = append(open, o)
		}
	}
	if len(open) < 2 {
		return
	}
	shape, signs := tried[open[0].shape], open[0].t.r.signs
	at := slices.IndexFunc(g.style.Shapes, func(k Known) bool { return sameShape(k.Shape, shape) })
	if at < 0 {
		at = len(g.style.Shapes)
		g.style.Shapes = append(g.style.Shapes, Known{Shape: shape})
	}
	for _, o := range open {
		told := signs + " " + string(o.t.r.Event)
		if !slices.Contains(g.style.Shapes[at].Signs, told) {
			g.style.Shapes[at].Signs = append(g.style.Shapes[at].Signs, told)
		}
		g.taken = append(g.taken, o.t)
		for k := range o.lines {
			g.used[o.first+k] = true
		}
	}
}

// gather keeps what was heard twice: texts that name no point, and texts that are other than the register's.
func (g *guess) gather() {
	remarks := map[string]int{}
	for _, t := range g.taken {
		if t.r.Number == 0 && t.r.Text != "" {
			remarks[t.r.Text]++
		}
	}
	for text, n := range remarks {
		if n > 0 {
			g.style.Remarks = append(g.style.Remarks, text)
		}
	}
	slices.Sort(g.style.Remarks)
}

// asks lists the words that nobody explained. g reads full records alone where these hold such words: what the others
// say is told by them.
func (g *guess) asks() []Question {
	count := map[string]*Question{}
	for _, t := range g.taken {
		if _, known := g.style.Words[t.r.word]; known {
			continue
		}
		if count[t.r.word] == nil {
			count[t.r.word] = &Question{Word: t.r.word, Line: textOf(t.m.text)}
		}
		count[t.r.word].Count++
	}
	var all []Question
	for _, q := range count {
		all = append(all, *q)
	}
	slices.SortFunc(all, func(a, b Question) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), strings.Compare(a.Word, b.Word))
	})
	return all
}
