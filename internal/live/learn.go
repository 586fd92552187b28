package live

import (
	"cmp"
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
	span    time.Duration // over which its late lines lie, as it reads their days; 0: it has none
}

// taken is a record that a guess reads.
type taken struct {
	first, lines int
	m            *match
	r            *reading
	ahead        float64 // of the panel's clock, seconds
	late         bool    // it came later than it was printed, and says nothing of the clock
}

// bestGuess tries code pages, ways of breaking lines, and layouts of days and times, and keeps what explains most lines.
func bestGuess(l Lesson, heard []raw, reg *register) (*guess, error) {
	var best, other *guess
	var failed error
	for _, page := range pagesOf(heard, textsOf(l.Points)) {
		for _, wrap := range wrapsOf(heard, page) {
			guesses, err := guessesOf(l, heard, reg, page, wrap)
			if err != nil {
				failed = cmp.Or(failed, err)
				continue
			}
			for _, g := range guesses {
				g.try()
				switch {
				case best == nil || g.score > best.score || g.score == best.score && g.spread < best.spread:
					best, other = g, nil
				case g.score == best.score && g.spread == best.spread && g.span > 0 && best.span > 0 && g.span != best.span:
					other = g
				}
			}
		}
	}
	switch {
	case other != nil:
		return nil, sootline.Errorf(sootline.Invalid, "mark a line of a day behind the twelfth, or listen until one comes", "the days of these lines, which came in one piece, can be read in two ways: %s and %s",
			best.firstDay(), other.firstDay())
	case best != nil:
		return best, nil
	case failed != nil:
		return nil, failed
	}
	return nil, sootline.Errorf(sootline.Invalid, "mark day and time as they are printed, without the words around them", "the days or times that are marked are not understood")
}

// firstDay gives the day of the first line that is taken.
func (g *guess) firstDay() string { return g.taken[0].r.wall.Format(time.DateOnly) }

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
	s.Breaks, s.Lines, s.SetIn = breaks, 1+breaks, setIn(samples)
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
