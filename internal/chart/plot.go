package chart

import "time"

// scale takes a value to a place between from and to; what lies beyond is put at
// the nearer end.
type scale struct{ low, high, from, to float64 }

func (s scale) at(v float64) float64 {
	share := (v - s.low) / (s.high - s.low)
	return s.from + min(max(share, 0), 1)*(s.to-s.from)
}

func (s scale) holds(v float64) bool { return v >= s.low && v <= s.high }

// plot is the frame of a picture with two axes.
type plot struct {
	*canvas
	left, right, top, bottom float64
	x, y                     scale
}

// frame keeps so many lines above and below free, and so many letters to the right
// and, for the numbers of the axis, to the left.
func (c *canvas) frame(above, below int, left, right float64) *plot {
	p := &plot{canvas: c}
	p.left, p.right = min(left*c.Char, c.Width/3), c.Width-min(right*c.Char, c.Width/3)
	p.top, p.bottom = float64(above)*c.Line, c.height-float64(below)*c.Line
	return p
}

// axis is an upright axis of values.
type axis struct {
	low, high float64
	unit      string
	foot      float64 // lines between its lower end and the foot of the frame
}

// upright keeps the frame free and draws its value axis: numbers at its ticks, and
// faint lines.
func (c *canvas) upright(above, below int, right float64, a axis) *plot {
	lines := c.height/c.Line - float64(above+below)
	at, decimals := ticks(a.low, a.high, max(int(lines/2.5), 2))
	words, wide := make([]string, len(at)), 0
	for i, v := range at {
		words[i] = short(fixed(v, decimals), v)
		if i == len(at)-1 && a.unit != "" {
			words[i] += " " + clipped(a.unit, 8)
		}
		wide = max(wide, len([]rune(words[i])))
	}
	p := c.frame(above, below, float64(wide+2), right)
	p.y = scale{at[0], at[len(at)-1], p.bottom - p.Line*a.foot, p.top + p.Line/2}
	for i, v := range at {
		y := p.y.at(v)
		p.line(Grid, XY{p.left, y}, XY{p.right, y})
		p.writeIf(Label, End, p.left-p.Char, y, words[i])
	}
	p.line(Axis, XY{p.left, p.top}, XY{p.left, p.bottom})
	return p
}

// broken marks the value axis as one that does not begin at 0, by two strokes across
// its foot.
func (p *plot) broken() {
	for _, up := range []float64{0.35, 0.6} {
		y := p.bottom - up*p.Line
		p.line(Axis, XY{p.left - p.Char/2, y + p.Line/8}, XY{p.left + p.Char/2, y - p.Line/8})
	}
}

// dates draws the time axis. Its words stand in the line below the frame.
func (p *plot) dates(from, to time.Time, zone *time.Location) {
	p.x = scale{seconds(from), seconds(to), p.left + p.Char, p.right - p.Char}
	p.line(Axis, XY{p.left, p.bottom}, XY{p.right, p.bottom})
	for _, t := range dateTicks(from, to, zone, (p.right-p.left)/p.Char) {
		x := p.x.at(seconds(t.at))
		p.line(Grid, XY{x, p.top}, XY{x, p.bottom})
		p.line(Axis, XY{x, p.bottom}, XY{x, p.bottom + p.Line/4})
		p.writeIf(Label, Middle, x, p.bottom+p.Line, t.words)
	}
}

// datable tells whether an instant can be drawn: one with a year of four digits.
func datable(t time.Time) bool { return t.Year() >= 1000 && t.Year() <= 9999 }

// seconds is an instant as a number; whole seconds are finer than any picture.
func seconds(t time.Time) float64 { return float64(t.Unix()) }

// span is the least and the largest of values.
type span struct {
	low, high float64
	any       bool
}

func (s *span) include(values ...float64) {
	for _, v := range values {
		if !drawable(v) {
			continue
		}
		if !s.any {
			*s = span{v, v, true}
		}
		s.low, s.high = min(s.low, v), max(s.high, v)
	}
}

// period is the first and the last of instants.
type period struct{ from, to time.Time }

func (p *period) include(t time.Time) {
	if p.from.IsZero() || t.Before(p.from) {
		p.from = t
	}
	if p.to.IsZero() || t.After(p.to) {
		p.to = t
	}
}
