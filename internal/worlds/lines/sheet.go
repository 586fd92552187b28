package lines

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// cell is one character on the paper, and what it is part of.
type cell struct {
	r    rune
	role Role
	flat bool // takes no width: a control character
}

// sheet is what a style writes on.
type sheet struct {
	*happening

	style        *Style
	cells        []cell
	day, seconds bool
}

// put writes what has no role.
func (s *sheet) put(texts ...string) *sheet { return s.as(None, strings.Join(texts, "")) }

// as writes what has a role.
func (s *sheet) as(role Role, text string) *sheet {
	for _, r := range text {
		s.cells = append(s.cells, cell{r, role, false})
	}
	return s
}

// code writes control characters.
func (s *sheet) code(text string) *sheet {
	for _, r := range text {
		s.cells = append(s.cells, cell{r, None, true})
	}
	return s
}

// pad writes what has a role, and blanks up to a width; what is longer is cut.
func (s *sheet) pad(role Role, text string, width int) *sheet {
	if n := utf8.RuneCountInString(text); n > width {
		text = strings.TrimRight(string([]rune(text)[:width]), " ")
	}
	s.as(role, text)
	return s.put(strings.Repeat(" ", width-utf8.RuneCountInString(text)))
}

// on writes the day: a layout of package time, in which @ is the month's short name and # its long one.
func (s *sheet) on(layout string) *sheet {
	s.day = true
	return s.as(Day, dated(s.wall, layout, s.style.Tongue))
}

// at writes the time of day.
func (s *sheet) at(layout string) *sheet {
	s.seconds = strings.Contains(layout, "05")
	return s.as(Clock, s.wall.Format(layout))
}

// word writes the word of the event, padded to a width.
func (s *sheet) word(width int) *sheet {
	text := s.style.word(s.event)
	s.as(What, text)
	return s.put(strings.Repeat(" ", max(0, width-utf8.RuneCountInString(text))))
}

func dated(t time.Time, layout, tongue string) string {
	text := t.Format(layout)
	names := strings.Fields(months[tongue])
	if len(names) == 0 {
		return text
	}
	long := names[t.Month()-1]
	short := string([]rune(long)[:min(3, utf8.RuneCountInString(long))])
	return strings.ReplaceAll(strings.ReplaceAll(text, "@", short), "#", long)
}

// months are the names of the months, from memory.
var months = map[string]string{
	"en": "January February March April May June July August September October November December",
	"de": "Januar Februar März April Mai Juni Juli August September Oktober November Dezember",
	"it": "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre",
	"es": "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
	"fr": "janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
}

// wrapped breaks lines that are wider than the paper: anywhere, or at a blank where there is one.
func wrapped(cells []cell, width int, soft bool) []cell {
	if width == 0 {
		return cells
	}
	var out []cell
	column, blank := 0, -1 // of the line in out
	for _, c := range cells {
		if c.r == '\n' {
			out, column, blank = append(out, c), 0, -1
			continue
		}
		if column == width && !c.flat {
			if soft && blank >= 0 && c.r != ' ' {
				out[blank] = cell{'\n', out[blank].role, false}
				column = visible(out[blank+1:])
			} else {
				out, column = append(out, cell{'\n', c.role, false}), 0
			}
			blank = -1
			if soft && c.r == ' ' && column == 0 {
				continue
			}
		}
		if c.r == ' ' && !c.flat {
			blank = len(out)
		}
		out = append(out, c)
		if !c.flat {
			column++
		}
	}
	return out
}

func visible(cells []cell) int {
	n := 0
	for _, c := range cells {
		if !c.flat {
			n++
		}
	}
	return n
}

// print gives the bytes of the cells, and the span of each role.
func (s *sheet) print() ([]byte, []Mark) {
	var out []byte
	spans := map[Role]Span{}
	for _, c := range wrapped(s.cells, s.style.Width, s.style.Soft) {
		from := len(out)
		out = append(out, s.style.encode(c.r)...)
		if c.role == None || c.r == '\n' {
			continue
		}
		span, ok := spans[c.role]
		if !ok {
			span.From = from
		}
		span.To = len(out)
		spans[c.role] = span
	}
	var marks []Mark
	for role := Day; role <= Text; role++ {
		if span, ok := spans[role]; ok {
			mark := Mark{Span: span, Role: role}
			if role == What {
				mark.Event = s.event
			}
			marks = append(marks, mark)
		}
	}
	return out, marks
}

// truth tells what the cells say.
func (s *sheet) truth() *Truth {
	said, or := map[Role]string{}, ""
	for _, c := range s.cells {
		if c.role != None {
			said[c.role] += string(c.r)
		}
		if c.role == Text || c.role == aside {
			or += string(c.r)
		}
	}
	if said[What] == "" {
		return nil
	}
	t := &Truth{Event: s.event, DayUnsaid: !s.day, Text: strings.TrimSpace(said[Text])}
	if or != said[Text] {
		t.TextOr = strings.TrimSpace(or)
	}
	t.Wall = s.wall.Format("2006-01-02T15:04")
	if s.seconds {
		t.Wall = s.wall.Format("2006-01-02T15:04:05")
	}
	if said[Loop] != "" {
		t.Loop = s.loop
	}
	for role, to := range map[Role]struct {
		n  int
		at *int
	}{Number: {s.number, &t.Number}, Sub: {s.sub, &t.Sub}, Zone: {s.zone, &t.Zone}} {
		if said[role] != "" {
			*to.at = to.n
		}
	}
	return t
}

// bare is a text without its white space.
func bare(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, text)
}
