package live

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"
)

// Reader reads what arrives by a style. It holds a few lines at most.
type Reader struct {
	style *Style
	reg   *register
	split splitter
	page  Page // of the lines now
	wait  []raw
	glyph [][]glyph
	blank []Line
	clock clock
	once  map[string]time.Time // the time shown with texts of points that are not the register's, and with remarks
	said  map[string]bool      // texts heard that name no point
	wall  time.Time            // the time shown by the record that was read last
	same  map[string]bool      // the records that showed it
	flows time.Time            // when a piece of late lines came last
}

// clock follows how far the panel's clock is ahead.
type clock struct {
	ahead float64
	apart []float64 // of the last lines whose time was not what it should be
	came  time.Time // when the last of them came
}

// NewReader reads by a style, at a site.
func NewReader(s *Style, points []Point, site *time.Location) *Reader {
	r := &Reader{style: s, reg: newRegister(points, cmp.Or(site, time.UTC)), clock: clock{ahead: s.Ahead}, page: s.Page}
	r.once, r.said = map[string]time.Time{}, map[string]bool{}
	for _, text := range s.Remarks {
		r.said[text] = true
	}
	return r
}

// Know puts the points in the place of those that were known: some were added, or their texts changed.
func (r *Reader) Know(points []Point) { r.reg = newRegister(points, r.reg.zone) }

// Begin says where in the stream the bytes to come begin. It is for a reader that heard nothing yet.
func (r *Reader) Begin(at int64) { r.split.next = at }

// Ahead is by how much the panel's clock is ahead now, as far as lines tell.
func (r *Reader) Ahead() time.Duration {
	return time.Duration(r.clock.ahead * float64(time.Second)).Round(time.Second)
}

// Hear takes what arrived and gives the lines that are certain by now. No bytes: nothing came for some seconds.
func (r *Reader) Hear(at time.Time, b []byte) []Line {
	if len(b) == 0 {
		r.add(r.split.flush(nil))
		return r.decide(true)
	}
	r.add(r.split.feed(at, b))
	r.late()
	return r.decide(false)
}

// End gives what is left.
func (r *Reader) End() []Line { return r.Hear(time.Time{}, nil) }

func (r *Reader) add(lines []raw) {
	for _, l := range lines {
		if len(l.bytes) == 0 {
			r.blank = append(r.blank, Line{From: l.from, To: l.to, Came: l.came, At: l.at, Why: Blank})
			continue
		}
		r.wait = append(r.wait, l)
		r.glyph = append(r.glyph, r.pageOf(l).decode(l))
	}
}

// decide reads the waiting lines from the first on. quiet: no more will come that belongs to them.
func (r *Reader) decide(quiet bool) (out []Line) {
	out, r.blank = r.blank, nil
	for len(r.wait) > 0 {
		line, n := r.first(quiet)
		if n == 0 {
			return out
		}
		out = append(out, line)
		r.wait, r.glyph = r.wait[n:], r.glyph[n:]
	}
	r.wait, r.glyph = nil, nil
	return out
}

// first reads the record that begins with the first waiting line, and says how many lines it has; 0: more must come before
// it can be told.
func (r *Reader) first(quiet bool) (Line, int) {
	var best *reading
	no, lines := refusal{why: NoShape}, 0
	most := r.style.until(r.glyph[:min(r.style.Lines, len(r.wait))])
	for n := 1; n <= most; n++ {
		found, refused := r.read(n)
		switch {
		case found != nil:
			best, lines = found, n
		case refused.why != NoShape && best != nil:
			best = nil // it goes on, and what it says then is doubted
		}
		if refused.why.weight() >= no.why.weight() {
			no = refused
		}
		if best != nil && (best.Point >= 0 || !r.open(n)) {
			break
		}
	}
	more := len(r.wait) == most && most < r.style.Lines && !quiet
	if more && (best == nil || best.Point < 0 && r.open(lines) && lines == len(r.wait)) {
		return Line{}, 0
	}
	if best == nil {
		r.learn(no)
		if no.why == OtherClock && !r.wait[0].late {
			r.clock.off(no.off, r.wait[0].came, r.style)
		}
		line := r.line(1, 0, nil, no.why, no.word)
		line.Near = r.nearly(no)
		return line, 1
	}
	if !r.wait[0].late {
		r.keep(best, r.wait[0].at)
	}
	line := r.line(lines, 0, &best.Happening, "", "")
	if best.Event == Nothing {
		line = r.line(lines, 0, nil, Remark, best.word)
	}
	r.heard(best.wall, line.Shown)
	return line, lines
}

// nearly gives what a line would say whose zone or text alone speaks against it; nil: it is doubted for more.
func (r *Reader) nearly(no refusal) *Happening {
	if no.why != OtherZone && no.why != OtherText {
		return nil
	}
	h, point := no.one.Happening, no.one.Point
	if no.why == OtherZone {
		point = no.one.near
	}
	if point < 0 || h.Event == "" || math.Abs(no.off) > r.style.coarse()/2+r.style.Slack {
		return nil
	}
	h.Point = point
	return &h
}

// Unlike reports whether what a line says of its point has another text than the register, which no column cut.
func (r *Reader) Unlike(h Happening) bool {
	return h.Point >= 0 && h.Text != "" && !r.style.sameText(r.reg.points[h.Point].Text, h.Text)
}

// weight puts reasons in an order: that is told which comes nearest to an understanding.
func (w Reason) weight() int {
	return slices.Index([]Reason{NoShape, NoPoint, CutShort, NewRemark, NewWord, OtherZone, OtherText, OtherClock, Several}, w)
}

// open reports whether a record of n lines may go on: the paper broke the last one, or that cannot be told before the next
// line is there.
func (r *Reader) open(n int) bool {
	w := r.style.Wrap
	if n <= r.style.Breaks {
		return true
	}
	if n < len(r.glyph) {
		return w.goesOn(r.glyph, n)
	}
	return w.Width > 0 && (w.Soft || len(r.glyph[n-1]) == w.Width)
}

// line tells of n lines that wait, from the one at i on.
func (r *Reader) line(n, i int, h *Happening, why Reason, word string) Line {
	var shown []string
	for _, g := range r.glyph[i : i+n] {
		shown = append(shown, textOf(g))
	}
	return Line{From: r.wait[i].from, To: r.wait[i+n-1].to, Came: r.wait[i].came, At: r.wait[i].at, Shown: strings.Join(shown, "\n"), Read: h, Why: why, Word: word}
}

// refusal is why lines were not read.
type refusal struct {
	why  Reason
	word string
	one  *reading
	off  float64 // seconds by which its time is off
}

// read reads the first n lines as one record.
func (r *Reader) read(n int) (*reading, refusal) {
	text := r.style.Wrap.join(r.glyph[:n])
	near := r.wait[0].at.In(r.reg.zone).Add(time.Duration(r.clock.ahead * float64(time.Second)))
	var sure []*reading
	no := refusal{why: NoShape}
	for i := range r.style.Shapes {
		for _, m := range r.style.fit(r.style.Shapes[i].Shape, text, false) {
			if one := r.style.says(m, r.reg, near); r.style.Shapes[i].allows(one) {
				why := r.doubt(one, near)
				if why == "" && !r.wait[n-1].ended && !r.said[one.Text] && r.style.lacksPoint(one) {
					why = CutShort
				}
				if why != "" {
					if why.weight() > no.why.weight() {
						no = refusal{why, one.word, one, r.style.apart(one, near)}
					}
					continue
				}
				sure = append(sure, one)
			}
		}
	}
	slices.SortStableFunc(sure, func(a, b *reading) int { return cmp.Compare(min(b.Point, 0), min(a.Point, 0)) })
	for _, other := range sure {
		if (other.Point < 0) == (sure[0].Point < 0) && other.Happening != sure[0].Happening {
			return nil, refusal{why: Several}
		}
	}
	if len(sure) == 0 {
		return nil, no
	}
	return sure[0], no
}

// allows reports whether fields were seen to be written so.
func (k *Known) allows(r *reading) bool {
	return k.Marked && !strings.ContainsAny(r.signs, "0-e") || slices.Contains(k.Signs, r.signs+" "+string(r.Event))
}

// doubt says what speaks against a reading.
func (r *Reader) doubt(one *reading, near time.Time) Reason {
	switch {
	case one.why == OtherText:
		if one.Point < 0 || !r.twice(r.reg.points[one.Point].key(), one) {
			return OtherText
		}
	case !one.sure() && one.why != Remark:
		return one.why
	case r.style.damaged(one, r.reg):
		return CutShort
	case one.Point < 0 && one.Text != "" && !r.said[one.Text] && !r.twice("", one):
		return NewRemark
	case !one.wall.IsZero() && !r.style.onTime(one, near):
		return OtherClock
	}
	return ""
}

// twice reports whether a text was heard before, in a line of another time: a line that comes twice says nothing new.
func (r *Reader) twice(key string, one *reading) bool {
	had, ok := r.once[key+"\n"+one.Text]
	return ok && !had.Equal(one.wall)
}

// learn keeps the text of a line that is not read for now: the second that says the same of a point, or the same remark, is
// read. What is the beginning of something longer is not learned, for a line may have been cut.
func (r *Reader) learn(no refusal) {
	one, key := no.one, ""
	switch {
	case no.why == OtherText && one.Point >= 0:
		p := r.reg.points[one.Point]
		if strings.HasPrefix(unspaced(p.Text), unspaced(one.Text)) {
			return
		}
		key = p.key()
	case no.why == NewRemark:
		if len([]rune(one.Text)) < fewestRemark || r.style.begun(one.Text) {
			return
		}
	default:
		return
	}
	if len(r.once) > mostOnce {
		clear(r.once)
	}
	r.once[key+"\n"+one.Text] = one.wall
}

// fewestRemark is how many letters a remark must have that is learned from two lines.
const fewestRemark = 4

// mostOnce is how many texts heard once are kept.
const mostOnce = 2000

// begun reports whether a text may be the beginning of what stands before a loop, a number or a zone, where a line was cut.
func (s *Style) begun(text string) bool {
	for _, k := range s.Shapes {
		for i, e := range k.Shape {
			if i+1 == len(k.Shape) || e.Role != "" || !slices.Contains([]Role{Loop, Number, Sub, Zone}, k.Shape[i+1].Role) {
				continue
			}
			for _, g := range e.Glue {
				g = strings.TrimSpace(g)
				rest, ok := strings.CutPrefix(text, g)
				if ok && (rest == "" || rest[0] == ' ' || rest[0] >= '0' && rest[0] <= '9') || strings.HasPrefix(g, text) {
					return true
				}
			}
		}
	}
	return false
}

// apart is by how many seconds a line's time is off from what it should be; 0: it has none.
func (s *Style) apart(one *reading, near time.Time) float64 {
	if one.wall.IsZero() {
		return 0
	}
	off := one.wall.Sub(near).Seconds() + s.coarse()/2
	if one.Date == "" {
		off = math.Remainder(off, 24*3600)
	}
	return off
}

func (s *Style) onTime(one *reading, near time.Time) bool {
	return one.wall.IsZero() || math.Abs(s.apart(one, near)) <= s.coarse()/2+s.Slack
}

// due is what the panel's clock should show when a line of the lesson arrived.
func (g *guess) due(i int) time.Time {
	return g.heard[i].at.In(g.reg.zone).Add(time.Duration(g.aheadNear(i) * float64(time.Second)))
}

// off takes a line whose time is off. Two in a row that are off by the same are a clock that was set: what follows is read
// by it. Two that came in one piece are not: they may be old, as in a file that is read again.
func (c *clock) off(by float64, came time.Time, s *Style) {
	if len(c.apart) > 0 && came.Equal(c.came) {
		return
	}
	c.came = came
	if n := len(c.apart); n > 0 && math.Abs(c.apart[n-1]-by) > s.coarse()+2*s.Slack {
		c.apart = c.apart[:0]
	}
	if c.apart = append(c.apart, by); len(c.apart) == 2 {
		c.ahead += by
		c.apart = nil
	}
}

// keep follows a clock that drifts.
func (r *Reader) keep(one *reading, at time.Time) {
	if one.wall.IsZero() {
		return
	}
	near := at.In(r.reg.zone).Add(time.Duration(r.clock.ahead * float64(time.Second)))
	r.clock.apart = nil
	off := r.style.apart(one, near)
	switch over := math.Abs(off) - r.style.coarse()/2; {
	case over > 0:
		r.clock.ahead += math.Copysign(over, off)
	case r.style.coarse() == 1:
		r.clock.ahead += off / 10
	}
}
