package live

import (
	"math"
	"slices"
	"strings"
)

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
	g.late()
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
	most := g.mostLines(i)
	for n := 1; n <= most; n++ {
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

// mostLines is how many lines from one on may be one record.
func (g *guess) mostLines(i int) int {
	return g.style.until(g.text[i:min(i+g.style.Lines, len(g.text))])
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
				return &taken{first: i, lines: n, m: m, r: r, ahead: g.ahead(r, i)}
			case best == nil:
				best = &taken{first: i, lines: n, m: m, r: r, ahead: g.ahead(r, i)}
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
		if t.r.why == OtherText || t.late {
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
