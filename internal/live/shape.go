package live

import (
	"slices"
	"strings"
	"unicode"
)

// Elem is a part of a shape: a field, or what stands between fields, in one of several spellings. A blank in a spelling is
// any white space of one line, a line feed white space that holds one.
type Elem struct {
	Role Role     `json:"role,omitempty"`
	Glue []string `json:"glue,omitempty"`
}

// Shape is the order of fields in a record, and what stands between them.
type Shape []Elem

// Figures is how a panel writes loops, numbers, sub-addresses or zones.
type Figures struct {
	Letters bool `json:"letters,omitempty"` // not digits
	Least   int  `json:"least"`             // so many digits; shorter ones are filled with zeros
	Most    int  `json:"most"`
	Padded  bool `json:"padded,omitempty"` // a zero may stand in front
}

// way is how a field is written in a line.
type way byte

const (
	absent way = iota // the shape lacks it
	value
	dashes // signs that stand for nothing
	empty
)

// field is where a field stands in a record.
type field struct {
	way      way
	from, to int
}

// match is a record that fits a shape wholly.
type match struct {
	text       []glyph
	fields     map[Role]field
	day, clock stamp
}

func (m *match) of(r Role) string {
	f := m.fields[r]
	return textOf(m.text[f.from:f.to])
}

// matcher fits a record to shapes of a style.
type matcher struct {
	*Style
	wild  bool // any word may be the event
	text  []glyph
	shape Shape
	cur   match
	found []*match
	steps int
}

// most is how many ways of reading a record are looked at: two are one too many.
const most = 24

// mostSteps bounds the work on one record, whatever a style and a line hold.
const mostSteps = 50000

// fit gives the ways in which a record fits a shape.
func (s *Style) fit(shape Shape, text []glyph, wild bool) []*match {
	text = trim(text)
	if len(text) == 0 {
		return nil
	}
	m := &matcher{Style: s, wild: wild, text: text, shape: shape}
	m.cur = match{text: text, fields: map[Role]field{}, day: unsaid, clock: unsaid}
	m.step(0, 0)
	return m.found
}

func (m *matcher) step(i, p int) {
	if m.steps++; len(m.found) >= most || m.steps > mostSteps {
		return
	}
	if i == len(m.shape) {
		if p == len(m.text) {
			found := m.cur
			found.fields = map[Role]field{}
			for r, f := range m.cur.fields {
				found.fields[r] = f
			}
			m.found = append(m.found, &found)
		}
		return
	}
	e := m.shape[i]
	if e.Role == "" {
		for _, g := range e.Glue {
			if end, ok := m.glue(g, p); ok {
				m.step(i+1, end)
			}
		}
		return
	}
	m.field(e.Role, i, p)
}

func (m *matcher) put(r Role, w way, i, p, end int) {
	m.cur.fields[r] = field{w, p, end}
	m.step(i+1, end)
	delete(m.cur.fields, r)
}

// digitsGlue stands in a spelling for any figures.
const digitsGlue = '\x01'

// glue matches what stands between fields. White space may be of any length, and is not needed at the ends of a line; a line
// feed is one.
func (m *matcher) glue(g string, p int) (int, bool) {
	ok := true
	for _, r := range g {
		switch {
		case r == ' ':
			p, ok = m.blanks(p)
		case r == '\n':
			p, ok = m.feed(p)
		case r == digitsGlue:
			start := p
			for p < len(m.text) && unicode.IsDigit(m.text[p].r) {
				p++
			}
			ok = p > start
		case p < len(m.text) && m.text[p].r == r:
			p++
		default:
			ok = false
		}
		if !ok {
			return p, false
		}
	}
	return p, true
}

func (m *matcher) blanks(p int) (int, bool) {
	t, start := m.text, p
	for p < len(t) && isBlank(t[p].r) && t[p].r != '\n' {
		p++
	}
	return p, p > start || p == 0 || p == len(t) || isBlank(t[p].r) || isBlank(t[p-1].r)
}

func (m *matcher) feed(p int) (int, bool) {
	fed := false
	for p < len(m.text) && isBlank(m.text[p].r) {
		fed = fed || m.text[p].r == '\n'
		p++
	}
	return p, fed
}

func (m *matcher) field(r Role, i, p int) {
	switch r {
	case Day, Clock:
		layout := m.Days
		if r == Clock {
			layout = m.Clocks
		}
		s, end, ok := layout.read(m.text, p)
		if !ok {
			return
		}
		if r == Day {
			m.cur.day = s
		} else {
			m.cur.clock = s
		}
		m.put(r, value, i, p, end)
	case What:
		m.event(i, p)
	case Text:
		m.free(i, p)
	default:
		m.figures(r, i, p)
	}
}

func (m *matcher) figures(r Role, i, p int) {
	f, t := m.Figures[r], m.text
	end := p
	for end < len(t) && end-p < f.Most && f.takes(t[end].r) {
		end++
	}
	for n := end; n-p >= max(f.Least, 1); n-- {
		if f.right(textOf(t[p:n])) {
			m.put(r, value, i, p, n)
		}
	}
	end = p
	for end < len(t) && strings.ContainsRune("-._*", t[end].r) {
		end++
	}
	for n := end; n > p; n-- {
		m.put(r, dashes, i, p, n)
	}
	m.put(r, empty, i, p, p)
}

func (f Figures) takes(r rune) bool {
	if f.Letters {
		return unicode.IsLetter(r) || unicode.IsDigit(r)
	}
	return r >= '0' && r <= '9'
}

// right refuses digits that the panel would not write so.
func (f Figures) right(text string) bool {
	if f.Letters || f.Padded || len(text) == 1 {
		return true
	}
	return text[0] != '0' || f.Least == len(text) && f.Least == f.Most || len(text) == f.Least
}

// longestWord is the most characters of a word that is asked.
const longestWord = 40

func (m *matcher) event(i, p int) {
	t := m.text
	for _, w := range m.known() {
		if end, ok := sameWords(w, t, p); ok {
			m.put(What, value, i, p, end)
		}
	}
	if !m.wild || p == len(t) || isBlank(t[p].r) {
		return
	}
	for end := p + 1; end <= len(t) && end-p <= longestWord && oneKind(t[p:end]); end++ {
		if isBlank(t[end-1].r) || m.EventWidth > 0 && end-p != m.EventWidth {
			continue
		}
		if _, known := m.Words[wordOf(t[p:end])]; !known {
			m.put(What, value, i, p, end)
		}
	}
}

// known lists the words that may be the event, the longest first.
func (s *Style) known() []string {
	if s.longFirst == nil {
		s.longFirst = make([]string, 0, len(s.Words))
		for w := range s.Words {
			s.longFirst = append(s.longFirst, w)
		}
		slices.SortFunc(s.longFirst, func(a, b string) int {
			if len(a) != len(b) {
				return len(b) - len(a)
			}
			return strings.Compare(a, b)
		})
	}
	return s.longFirst
}

// sameWords matches words whose white space may be of any length.
func sameWords(w string, t []glyph, p int) (int, bool) {
	for _, r := range w {
		if r == ' ' {
			start := p
			for p < len(t) && isBlank(t[p].r) {
				p++
			}
			if p == start {
				return p, false
			}
			continue
		}
		if p >= len(t) || t[p].r != r {
			return p, false
		}
		p++
	}
	return p, true
}

// wordOf gives a word as it is kept: single blanks, none around it.
func wordOf(g []glyph) string { return strings.Join(strings.Fields(textOf(g)), " ") }

// free reads a text: what stands there to the end of the line, or to what stands behind it.
func (m *matcher) free(i, p int) {
	if p < len(m.text) && isBlank(m.text[p].r) {
		return
	}
	to := p
	for to < len(m.text) && m.text[to].r != '\n' {
		to++
	}
	least := p
	if i == len(m.shape)-1 {
		least = to
	}
	for end := to; end >= least; end-- {
		if end == p || !isBlank(m.text[end-1].r) {
			m.put(Text, value, i, p, end)
		}
	}
}
