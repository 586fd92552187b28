package live

import (
	"slices"
	"strings"
	"unicode"
)

// A line that begins as a record does is the first of its record: it is never the second line of the one before.

// headOf gives what the first line of a record of a shape begins with: what stands there up to the event or, where that stands
// on a later line, up to the last of day and time. Nil: neither day nor time stands before the first line feed.
func headOf(s Shape) Shape {
	end, stamped := 0, false
	for i, e := range s {
		if e.Role == "" && slices.ContainsFunc(e.Glue, func(g string) bool { return strings.Contains(g, "\n") }) {
			break
		}
		switch {
		case e.Role == Day || e.Role == Clock:
			end, stamped = i+1, true
		case e.Role == What && stamped:
			return s[:i+1]
		}
	}
	return s[:end]
}

// begins reports whether a line begins a record: with day and time as the examples have them, or with one of them and a word
// that is known.
func (s *Style) begins(line []glyph) bool {
	line = trim(line)
	for _, k := range s.Shapes {
		if head := headOf(k.Shape); k.Marked && len(head) > 0 && s.leads(head, line) {
			return true
		}
	}
	return false
}

// leads reports whether a line begins with a head. Day and time together are enough.
func (s *Style) leads(head Shape, line []glyph) bool {
	m := &matcher{Style: s, text: line}
	p, stamps := 0, 0
	for _, e := range head {
		ok := false
		switch e.Role {
		case Day, Clock:
			layout := s.Days
			if e.Role == Clock {
				layout = s.Clocks
			}
			_, p, ok = layout.read(line, p)
			stamps++
		case What:
			return stamps > 1 || s.knownAt(line, p)
		case "":
			p, ok = m.anyGlue(e.Glue, p)
		}
		if !ok {
			return false
		}
		if stamps > 1 {
			return true
		}
	}
	return false
}

func (m *matcher) anyGlue(all []string, p int) (int, bool) {
	for _, g := range all {
		if end, ok := m.glue(g, p); ok {
			return end, true
		}
	}
	return p, false
}

// knownAt reports whether a word that is known to tell of an event stands at p, whole.
func (s *Style) knownAt(line []glyph, p int) bool {
	for _, w := range s.known() {
		if end, ok := sameWords(w, line, p); ok && s.Words[w] != Nothing && (end == len(line) || !unicode.IsLetter(line[end].r)) {
			return true
		}
	}
	return false
}

// firstOnly reports whether a line is the first of its record, whatever stands before it: it begins as a record does, or it is
// not set in as the second lines of all examples are. What the paper broke goes on where it likes.
func (s *Style) firstOnly(lines [][]glyph, n int) bool {
	line := lines[n]
	if s.begins(line) {
		return true
	}
	return s.SetIn && !s.Wrap.goesOn(lines, n) && len(line) > 0 && !isBlank(line[0].r)
}

// until gives how many of the lines from the first on may be one record.
func (s *Style) until(lines [][]glyph) int {
	for n := 1; n < len(lines); n++ {
		if s.firstOnly(lines, n) {
			return n
		}
	}
	return len(lines)
}

// setIn reports whether all lines of examples but their first begin with a blank.
func setIn(samples []sample) bool {
	feeds := 0
	for i := range samples {
		text := trimEnd(samples[i].text)
		for k, g := range text {
			if g.r != '\n' {
				continue
			}
			if feeds++; k+1 < len(text) && !isBlank(text[k+1].r) {
				return false
			}
		}
	}
	return feeds > 0
}

// lacksPoint reports whether a reading tells of something that happens to points, in a style whose examples always name one, and
// names none.
func (s *Style) lacksPoint(r *reading) bool {
	return r.Point < 0 && r.Event.ofPoint() && s.namesPoints()
}

// damaged reports whether a reading without a point is what is left of a line of a point.
func (s *Style) damaged(r *reading, reg *register) bool {
	return s.lacksPoint(r) && (r.Zone == 0 && r.Text == "" || r.Text != "" && reg.isIn(r.Text))
}

// ofPoint reports whether an event is written into the log.
func (e Event) ofPoint() bool {
	return e != "" && e != Reset && e != Silence && e != Nothing
}

// namesPoints reports whether every example has a number.
func (s *Style) namesPoints() bool {
	for _, k := range s.Shapes {
		if k.Marked && !slices.ContainsFunc(k.Shape, func(e Elem) bool { return e.Role == Number }) {
			return false
		}
	}
	return len(s.Shapes) > 0
}

// isIn reports whether a text holds a register's text and more: then it is a line of a point, damaged.
func (r *register) isIn(text string) bool {
	text = unspaced(text)
	for i := range r.points {
		known := unspaced(r.points[i].Text)
		if len(known) >= fewest && len(text) > len(known) && strings.Contains(text, known) {
			return true
		}
	}
	return false
}
