package live

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"sootline"
)

// Question is a word that stands where the event stands, and that nobody explained yet.
type Question struct {
	Word  string
	Count int    // lines heard with it
	Line  string // one of them
}

// Learned is what came of a lesson.
type Learned struct {
	Style *Style
	Asks  []Question // the most frequent first
}

// Learn learns a style. It fails where no example is marked well enough.
func Learn(l Lesson) (*Learned, error) {
	if len(l.Examples) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "mark the parts of two or three lines", "no line is marked")
	}
	heard := linesOf(l.Heard)
	reg := newRegister(l.Points, cmp.Or(l.Site, time.UTC))
	best, err := bestGuess(l, heard, reg)
	if err != nil {
		return nil, err
	}
	best.refine()
	asks := best.asks()
	if len(asks) == 0 {
		best.variants()
		asks = best.asks()
	}
	best.gather()
	return &Learned{Style: best.style, Asks: asks}, nil
}

// Preview gives what becomes of the lines of a lesson by a style.
func Preview(s *Style, l Lesson) []Line {
	r := NewReader(s, l.Points, l.Site)
	var out []Line
	for _, c := range l.Heard {
		out = append(out, r.Hear(c.At, c.Bytes)...)
	}
	return append(out, r.End()...)
}

// guess is a hypothesis of how the panel prints, with what it makes of the lines heard.
type guess struct {
	style   *Style
	heard   []raw
	text    [][]glyph // of each line
	reg     *register
	taken   []taken // records that fit a shape
	used    []bool  // lines that are in one of them
	score   float64
	spread  float64
	samples []sample
}

// taken is a record that a guess reads.
type taken struct {
	first, lines int
	m            *match
	r            *reading
	ahead        float64 // of the panel's clock, seconds
}

// bestGuess tries code pages, ways of breaking lines, and layouts of days and times, and keeps what explains most lines.
func bestGuess(l Lesson, heard []raw, reg *register) (*guess, error) {
	var best *guess
	var failed error
	for _, page := range pagesOf(heard) {
		for _, wrap := range wrapsOf(heard, page) {
			guesses, err := guessesOf(l, heard, reg, page, wrap)
			if err != nil {
				failed = cmp.Or(failed, err)
				continue
			}
			for _, g := range guesses {
				g.try()
				if best == nil || g.score > best.score || g.score == best.score && g.spread < best.spread {
					best = g
				}
			}
		}
	}
	switch {
	case best != nil:
		return best, nil
	case failed != nil:
		return nil, failed
	}
	return nil, sootline.Errorf(sootline.Invalid, "mark day and time as they are printed, without the words around them", "the days or times that are marked are not understood")
}

// pagesOf gives the code pages that the lines can be in.
func pagesOf(heard []raw) []Page {
	whole := true
	for _, l := range heard {
		for _, g := range UTF8.decode(l) {
			whole = whole && g.r != '\uFFFD'
		}
	}
	if whole {
		return []Page{UTF8}
	}
	return []Page{Latin1, Page850, Page437}
}

// wrapsOf gives the ways in which the paper may break lines.
func wrapsOf(heard []raw, page Page) []Wrap {
	width := 0
	for _, l := range heard {
		width = max(width, len(page.decode(l)))
	}
	return []Wrap{{}, {Width: width}, {Width: width, Soft: true}}
}

// guessesOf makes a hypothesis for each layout of days and times that the examples allow.
func guessesOf(l Lesson, heard []raw, reg *register, page Page, wrap Wrap) ([]*guess, error) {
	s := Style{Page: page, Wrap: wrap}
	var samples []sample
	for _, e := range l.Examples {
		x, err := s.sampleOf(heard, e)
		if err != nil {
			return nil, err
		}
		samples = append(samples, x)
	}
	var all []*guess
	for _, d := range layoutsOf(samples, Day, dayLayouts) {
		for _, c := range layoutsOf(samples, Clock, clockLayouts) {
			style := s
			style.Days, style.Clocks = d, c
			style.Slack = slackMost
			style.begin(samples, l.Words)
			g := &guess{style: &style, heard: heard, reg: reg, samples: samples}
			for _, line := range heard {
				g.text = append(g.text, page.decode(line))
			}
			all = append(all, g)
		}
	}
	return all, nil
}

func layoutsOf(samples []sample, r Role, make func([]string) []Layout) []Layout {
	var texts []string
	for i := range samples {
		if text, ok := samples[i].of(r); ok {
			texts = append(texts, text)
		}
	}
	if len(texts) == 0 {
		return []Layout{nil}
	}
	return make(texts)
}

// begin fills a style with what the examples say.
func (s *Style) begin(samples []sample, words map[string]Event) {
	s.Words, s.Figures, s.Texts = map[string]Event{}, map[Role]Figures{}, map[string]string{}
	for w, e := range words {
		s.Words[w] = e
	}
	breaks := 0
	for i := range samples {
		x := &samples[i]
		for _, m := range x.marks {
			if m.role == What && m.means != "" {
				s.Words[wordOf(x.text[m.from:m.to])] = m.means
			}
		}
		breaks = max(breaks, strings.Count(textOf(trimEnd(x.text)), "\n"))
	}
	for _, r := range []Role{Loop, Number, Sub, Zone} {
		s.Figures[r] = figuresOf(samples, r)
	}
	s.EventWidth = eventWidth(samples)
	for _, shape := range merged(samples) {
		s.Shapes = append(s.Shapes, Known{Shape: shape, Marked: true})
	}
	s.Breaks, s.Lines = breaks, 1+breaks
	if s.Wrap.Width > 0 {
		s.Lines += 3
	}
}

// figuresOf says how the figures of a role are written, as far as the examples show it.
func figuresOf(samples []sample, r Role) Figures {
	f := Figures{Least: 1, Most: 4, Padded: true}
	for i := range samples {
		x := &samples[i]
		for j, m := range x.marks {
			if m.role != r {
				continue
			}
			text := textOf(x.text[m.from:m.to])
			f.Letters = f.Letters || strings.Trim(text, "0123456789") != ""
			joined := func(k int) bool { return k >= 0 && k < len(x.text) && x.text[k].r >= '0' && x.text[k].r <= '9' }
			if j >= 0 && (joined(m.from-1) || joined(m.to)) {
				f.Least, f.Most = len(text), len(text)
			}
		}
	}
	return f
}

// eventWidth gives the width of events that run into the next field, where all have the same.
func eventWidth(samples []sample) int {
	width := 0
	for i := range samples {
		x := &samples[i]
		for j, m := range x.marks {
			if m.role != What || j+1 == len(x.marks) || x.marks[j+1].from != m.to {
				continue
			}
			if width > 0 && width != m.to-m.from {
				return 0
			}
			width = m.to - m.from
		}
	}
	return width
}

// try reads the lines heard by the shapes of the examples, and weighs what comes of it: records whose point, zone and text
// are the register's.
func (g *guess) try() {
	g.used = make([]bool, len(g.heard))
	for i := 0; i < len(g.heard); i++ {
		t := g.longest(i)
		if t == nil {
			continue
		}
		g.taken = append(g.taken, *t)
		for k := range t.lines {
			g.used[i+k] = true
		}
		i += t.lines - 1
	}
	var ahead []float64
	for _, t := range g.taken {
		ahead = append(ahead, t.ahead)
	}
	g.style.Ahead, g.spread = middle(ahead)
	for _, t := range g.taken {
		switch {
		case math.Abs(t.ahead-g.style.Ahead) > g.style.coarse()/2+slackMost:
		case t.r.why == OtherText && g.cut(t.r):
			g.score += 0.5
		case t.r.why == OtherText:
		default:
			g.score++
		}
	}
	if g.style.Wrap.Width > 0 {
		g.score -= g.score / 100 // that paper is wide enough is the simpler thing
	}
	g.style.Ahead = g.aheadNear(len(g.heard))
}

// around is how many lines on each side say by how much the clock is ahead at a line.
const around = 40

// aheadNear gives by how much the clock is ahead at a line: clocks are set, and drift. A clock that shows minutes is behind by
// half of one in the middle.
func (g *guess) aheadNear(line int) float64 {
	var near []float64
	for _, t := range g.taken {
		if t.first >= line-around && t.first <= line+around && t.r.why != OtherText {
			near = append(near, t.ahead)
		}
	}
	if len(near) == 0 {
		return g.style.Ahead
	}
	at, _ := middle(near)
	near = slices.DeleteFunc(near, func(v float64) bool { return math.Abs(v-at) > g.style.coarse()/2+slackMost })
	slices.Sort(near)
	return (near[len(near)/50]+near[len(near)-1-len(near)/50])/2 + g.style.coarse()/2
}

// longest reads the record that begins with a line: one with the register's text before one whose text is cut.
func (g *guess) longest(i int) (best *taken) {
	for n := 1; n <= g.style.Lines && i+n <= len(g.heard); n++ {
		t := g.record(i, n)
		if t != nil && t.r.why != OtherText {
			return t
		}
		if t != nil {
			best = t
		}
	}
	return best
}

// record reads some lines as one record of the examples' shapes; nil: they are none. One whose text is not the register's
// counts only by a word that is known: else nothing would speak for it.
func (g *guess) record(i, n int) (best *taken) {
	text := g.style.Wrap.join(g.text[i : i+n])
	for k := range g.style.Shapes {
		for _, m := range g.style.fit(g.style.Shapes[k].Shape, text, true) {
			r := g.style.says(m, g.reg, g.heard[i].at.In(g.reg.zone))
			switch {
			case strings.ContainsAny(r.signs, "0-e"), r.why == NoPoint, r.why == OtherZone, r.why == OtherText && (r.Point < 0 || r.Event == ""):
			case r.why != OtherText:
				return &taken{i, n, m, r, g.ahead(r, i)}
			case best == nil:
				best = &taken{i, n, m, r, g.ahead(r, i)}
			}
		}
	}
	return best
}

func (g *guess) ahead(r *reading, i int) float64 {
	if r.wall.IsZero() {
		return 0
	}
	return r.wall.Sub(g.heard[i].at).Seconds()
}

// fewest is how many letters of a text must be there to believe that a column cut it.
const fewest = 6

// cut reports whether a text is the beginning of the register's.
func (g *guess) cut(r *reading) bool {
	return r.Point >= 0 && len(r.Text) >= fewest && strings.HasPrefix(unspaced(g.reg.points[r.Point].Text), unspaced(r.Text))
}

// middle gives the median of values and the median distance from it.
func middle(all []float64) (at, spread float64) {
	if len(all) == 0 {
		return 0, math.Inf(1)
	}
	half := func(v []float64) float64 { slices.Sort(v); return v[len(v)/2] }
	at = half(slices.Clone(all))
	var off []float64
	for _, v := range all {
		off = append(off, math.Abs(v-at))
	}
	return at, half(off)
}

// refine narrows what the lines heard show to be narrower: how figures are written, and where texts are cut.
func (g *guess) refine() {
	for r, f := range g.style.Figures {
		var said []string
		for _, t := range g.taken {
			if text := t.m.figure(r); text != "" {
				said = append(said, text)
			}
		}
		g.style.Figures[r] = f.narrowed(said)
	}
	g.style.TextWidth = g.textWidth()
	g.others()
	g.style.Slack = g.slack()
}

// textWidth gives the width of the column that cuts texts, where at least two texts are cut alike and none is longer.
func (g *guess) textWidth() int {
	width, longest, cut := 0, 0, map[int]bool{}
	for _, t := range g.taken {
		n := len([]rune(t.r.Text))
		if t.r.why == OtherText && g.cut(t.r) {
			width, cut[t.r.Point] = max(width, n), true
		} else if t.r.why != OtherText {
			longest = max(longest, n)
		}
	}
	if len(cut) < 2 || longest > width {
		return 0
	}
	return width
}

// others keeps texts that the panel has for a point, twice alike, where the register has another, and forgets what is not
// understood: lines whose text is neither.
func (g *guess) others() {
	count := map[string]int{}
	for _, t := range g.taken {
		if t.r.why == OtherText {
			count[g.reg.points[t.r.Point].key()+" "+t.r.Text]++
		}
	}
	g.taken = slices.DeleteFunc(g.taken, func(t taken) bool {
		if t.r.why != OtherText || g.style.sameText(g.reg.points[t.r.Point].Text, t.r.Text) {
			return false
		}
		key := g.reg.points[t.r.Point].key()
		if count[key+" "+t.r.Text] < 2 {
			return true
		}
		g.style.Texts[key] = t.r.Text
		return false
	})
}

// slack gives by how many seconds a line may be off: half as much again as nearly all lines of the lesson are off from the
// line before, and [slackMost] at most. A clock that was set is off once.
func (g *guess) slack() float64 {
	var off []float64
	last := math.NaN()
	for _, t := range g.taken {
		if t.r.why == OtherText {
			continue
		}
		if step := math.Abs(t.ahead - last); !math.IsNaN(step) {
			off = append(off, max(0, step-g.style.coarse())/2)
		}
		last = t.ahead
	}
	if len(off) == 0 {
		return slackMost
	}
	slices.Sort(off)
	return min(slackMost, off[len(off)*95/100]*1.5+max(slackLeast, g.style.coarse()/20))
}

// narrowed says how figures are written that were seen so.
func (f Figures) narrowed(said []string) Figures {
	if len(said) == 0 || f.Least == f.Most {
		return f
	}
	least, most, padded := 9, 0, false
	for _, text := range said {
		least, most = min(least, len(text)), max(most, len(text))
		padded = padded || len(text) > 1 && text[0] == '0'
	}
	f.Padded = false
	if padded {
		f.Least = least
	}
	f.Most = max(most, 3)
	if f.Letters {
		f.Least, f.Most = 1, max(most, 2)
	}
	return f
}
