package live

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// A record without a point is in no example: a reset, a zone, a remark of the panel's own. What such records look like is
// inferred from the lines heard that fit no example: the same shape with some fields left out, filled with signs, or empty.

// option is a way in which some lines that were not understood can be read.
type option struct {
	first, lines int
	shape        int // of the tried ones
	t            taken
	rank         int // of the word: the smaller the better
}

// variants adds the shapes by which the remaining lines can be read, as long as two lines speak for one: by known words first.
func (g *guess) variants() {
	var instead []string
	if !g.style.marks(Zone) {
		instead = append(instead, zoneInstead)
	}
	tried := g.tried(instead)
	options := g.options(tried)
	g.learnAll(tried, options, 0)
	if words := sharedWords(options, g); len(words) > 0 {
		tried = g.tried(append(instead, words...))
		options = g.options(tried)
		g.learnAll(tried, options, 0)
	}
	g.learnAll(tried, options, 1)
	g.learnAll(tried, options, 2)
	g.learnAll(tried, options, 3)
}

// marks reports whether an example has a field.
func (s *Style) marks(r Role) bool {
	return slices.ContainsFunc(s.Shapes, func(k Known) bool {
		return k.Marked && slices.ContainsFunc(k.Shape, func(e Elem) bool { return e.Role == r })
	})
}

// tried lists the shapes by which lines that are left may be read.
func (g *guess) tried(instead []string) []Shape {
	var all []Shape
	for _, k := range g.style.Shapes {
		if k.Marked {
			all = append(all, k.Shape)
		}
	}
	for _, s := range slices.Clone(all) {
		all = append(all, lesser(s, instead)...)
	}
	return all
}

// sharedWords finds words that stand before the event where a point stands else: SYSTEM, say. Two events have the same before
// them, and one of these is known without it.
func sharedWords(options map[optionKey][]option, g *guess) []string {
	type group struct {
		words map[string]bool
		known bool
	}
	groups := map[string]*group{}
	for _, list := range options {
		for _, o := range list {
			if o.rank == 0 || o.rank > 2 || !free(g.used, o.first, o.lines) {
				continue
			}
			for at, r := range o.t.r.word {
				if r != ' ' || strings.Count(o.t.r.word[:at], " ") > 1 {
					continue
				}
				first, rest := o.t.r.word[:at], o.t.r.word[at+1:]
				if groups[first] == nil {
					groups[first] = &group{words: map[string]bool{}}
				}
				groups[first].words[rest] = true
				groups[first].known = groups[first].known || g.tells(rest)
			}
		}
	}
	var out []string
	for word, in := range groups {
		if in.known && len(in.words) > 1 {
			out = append(out, word)
		}
	}
	slices.Sort(out)
	return out
}

// tells reports whether a word is known to tell of an event.
func (g *guess) tells(word string) bool {
	e := g.style.Words[word]
	return e != "" && e != Nothing
}

func (g *guess) learnAll(tried []Shape, options map[optionKey][]option, rank int) {
	for _, key := range bySpecific(options, tried) {
		g.learn(tried, options[key], rank)
	}
}

type optionKey struct {
	shape int
	signs string
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
				n -= 10000*strings.Count(e.Glue[0], "\n") + len(strings.TrimSpace(e.Glue[0]))
			}
		}
		return n
	}
	slices.SortFunc(keys, func(a, b optionKey) int {
		return cmp.Or(cmp.Compare(open(a), open(b)), cmp.Compare(a.shape, b.shape), cmp.Compare(len(options[b]), len(options[a])), strings.Compare(a.signs, b.signs))
	})
	return keys
}

// options finds all ways of reading the lines that are left.
func (g *guess) options(tried []Shape) map[optionKey][]option {
	all := map[optionKey][]option{}
	for i := range g.heard {
		most := g.mostLines(i)
		for n := 1; n <= most && !g.used[i+n-1]; n++ {
			if g.style.Wrap.goesOn(g.text, i+n) && n < g.style.Lines {
				continue
			}
			text := g.style.Wrap.join(g.text[i : i+n])
			for k, shape := range tried {
				for key, o := range g.ways(shape, text, i, n) {
					if k >= g.style.markedShapes() && emptyFigure(key) {
						continue // only what stands on both sides of it in the example says that a field is there
					}
					o.shape = k
					all[optionKey{k, key}] = append(all[optionKey{k, key}], o)
				}
			}
		}
	}
	return all
}

func (s *Style) markedShapes() (n int) {
	for _, k := range s.Shapes {
		if k.Marked {
			n++
		}
	}
	return n
}

func emptyFigure(signs string) bool {
	for i, r := range Roles() {
		if signs[i] == 'e' && r != Text {
			return true
		}
	}
	return false
}

// ways reads some lines by a shape; for each way of writing the fields the best word.
func (g *guess) ways(shape Shape, text []glyph, i, n int) map[string]option {
	out := map[string]option{}
	near := g.due(i)
	for _, m := range g.style.fit(shape, text, true) {
		r := g.style.says(m, g.reg, near)
		if r.why == NoPoint || r.why == OtherZone || !g.style.onTime(r, near) || r.why == OtherText || r.Point < 0 && m.runsOver(shape) || g.style.damaged(r, g.reg) {
			continue
		}
		o := option{first: i, lines: n, t: taken{first: i, lines: n, m: m, r: r, ahead: g.ahead(r, i)}, rank: g.rankOf(shape, m, r)}
		if had, ok := out[r.signs]; !ok || o.rank < had.rank {
			out[r.signs] = o
		}
	}
	return out
}

// runsOver reports whether a text holds a sign that ends it or stands before it: then it is more than a text.
func (m *match) runsOver(shape Shape) bool {
	text := m.of(Text)
	at := slices.IndexFunc(shape, func(e Elem) bool { return e.Role == Text })
	for _, k := range []int{at - 1, at + 1} {
		if at < 0 || k < 0 || k >= len(shape) || shape[k].Role != "" {
			continue
		}
		for _, p := range pieces(shape[k].Glue[0]) {
			if p.sign() && strings.Contains(text, " "+p.text) {
				return true
			}
		}
	}
	return false
}

// rankOf prefers words that are known; else those that something ends: a sign, the next field, two blanks, the line itself.
func (g *guess) rankOf(shape Shape, m *match, r *reading) int {
	end := m.fields[What].to
	next := slices.IndexFunc(shape, func(e Elem) bool { return e.Role == What }) + 1
	switch {
	case r.Event == Nothing:
		return 3 // it may be a part of a longer word
	case r.Event != "":
		return 0
	case g.endsEvent(r.word):
		return 9
	case end == len(m.text):
		return 2
	case next+1 < len(shape) && (strings.TrimSpace(shape[next].Glue[0]) != "" || shape[next+1].Role != Text):
		return 1
	case m.text[end].r == '\n', end+1 < len(m.text) && isBlank(m.text[end].r) && isBlank(m.text[end+1].r):
		return 1
	}
	return 9
}

// endsEvent reports whether a word holds a sign that stands beside the event in the examples: then it is more than a word.
func (g *guess) endsEvent(word string) bool {
	for _, k := range g.style.Shapes {
		if !k.Marked {
			continue
		}
		at := slices.IndexFunc(k.Shape, func(e Elem) bool { return e.Role == What })
		for _, n := range []int{at - 1, at + 1} {
			if at < 0 || n < 0 || n >= len(k.Shape) || k.Shape[n].Role != "" {
				continue
			}
			for _, p := range pieces(k.Shape[n].Glue[0]) {
				if p.sign() && strings.Contains(word, p.text) {
					return true
				}
			}
		}
	}
	return false
}

// sign reports whether a piece is neither word, figures nor white space.
func (r run) sign() bool { return !r.letter && !r.digit && r.text != " " && r.text != "\n" }

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

// learn adds a shape with the way in which its fields are written, where two lines speak for it, or one that is bare.
func (g *guess) learn(tried []Shape, list []option, rank int) {
	var open []option
	for _, o := range list {
		if free(g.used, o.first, o.lines) && o.rank <= rank {
			open = append(open, o)
		}
	}
	if len(open) == 0 || len(open) < 2 && !open[0].bare() {
		return
	}
	shape, signs := tried[open[0].shape], open[0].t.r.signs
	at := slices.IndexFunc(g.style.Shapes, func(k Known) bool { return k.Shape.key() == shape.key() })
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

// bare reports whether a record is a reset or a silence by a word that is known, and says nothing else: one line is enough to
// speak for it, for nothing is written of it.
func (o *option) bare() bool {
	h := &o.t.r.Happening
	return o.rank == 0 && (h.Event == Reset || h.Event == Silence) && h.Point < 0 && h.Zone == 0 && h.Text == ""
}

// gather keeps what was heard twice: texts that name no point, and texts that are other than the register's.
func (g *guess) gather() {
	remarks := map[string]int{}
	for _, t := range g.taken {
		if t.r.Point < 0 && t.r.Text != "" {
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
		if _, known := g.style.Words[t.r.word]; known || g.style.slip(t.r.word) {
			continue // a slip is noise: it stays unexplained, and its lines are counted
		}
		if count[t.r.word] == nil {
			count[t.r.word] = &Question{Word: t.r.word, Line: textOf(t.m.text)}
		}
		count[t.r.word].Count++
	}
	var all []Question
	for _, q := range count {
		if q.Count > 1 || !g.style.noisy(q.Word) {
			all = append(all, *q)
		}
	}
	slices.SortFunc(all, func(a, b Question) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), strings.Compare(a.Word, b.Word))
	})
	return all
}
