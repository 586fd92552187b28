package paper

import (
	"fmt"
	"strings"
)

// Letter is what a reader must know, on what is left of one page: subjects with what is said of each, and lines to
// sign on side by side. Where the page has no room for all, the longest subject loses its last items first, and says
// how many; what matters most stands first therefore.
type Letter struct {
	Subjects []Subject
	Sign     []string // roles
}

// Subject is one matter of a letter.
type Subject struct {
	Title string
	Items []string // the weightiest first; one at least
	Total int      // how many there are, where Items was cut already; 0: as many as Items
	See   string   // where the rest stands, as "annex I"
}

func (Letter) isBlock() {}

// Left says how many items are not among the first so many; "" where all are.
func (s *Subject) Left(shown int) string {
	left := max(s.Total, len(s.Items)) - shown
	if left <= 0 {
		return ""
	}
	says := fmt.Sprintf("and %d more", left)
	if s.See != "" {
		says += ": see " + s.See
	}
	return says
}

// Lines gives the first items of a subject, and what says that there are more.
func (s *Subject) Lines(most int) []string {
	shown := min(most, len(s.Items))
	lines := append([]string{}, s.Items[:shown]...)
	if left := s.Left(shown); left != "" {
		lines = append(lines, left)
	}
	return lines
}

// Text is the letter as plain text: each subject with so many of its items at most.
func (l *Letter) Text(most int) string {
	var b strings.Builder
	for i := range l.Subjects {
		fmt.Fprintf(&b, "\n%s\n", strings.ToUpper(l.Subjects[i].Title))
		for _, line := range l.Subjects[i].Lines(most) {
			fmt.Fprintf(&b, "- %s\n", line)
		}
	}
	return b.String()
}

// table is the letter as rows, for forms that know no pages: all that is said.
func (l Letter) table() *Table {
	t := &Table{Columns: []Column{{Name: "subject"}, {Name: "says"}}}
	for i := range l.Subjects {
		s := &l.Subjects[i]
		for _, line := range s.Lines(len(s.Items)) {
			t.Rows = append(t.Rows, []Cell{Text(s.Title), Text(line)})
		}
	}
	return t
}

// The layout of a letter, in millimetres.
const (
	letterLeft = 34.0 // of the titles
	letterGap  = 1.7  // below a subject
	signHigh   = 19.0 // of the lines to sign on
)

// letter puts a letter on what is left of the page.
func (p *press) letter(l Letter) {
	p.font(false, body)
	width := p.width - letterLeft
	most := make([]int, len(l.Subjects))
	for i := range l.Subjects {
		most[i] = len(l.Subjects[i].Items)
	}
	high := func(i int) float64 { return p.itemsHigh(l.Subjects[i].Lines(most[i]), width) }
	free := p.size.Height - bottom - p.y - signHigh
	for {
		sum, longest := 0.0, -1
		for i := range l.Subjects {
			sum += high(i) + letterGap
			if most[i] > 1 && (longest < 0 || high(i) > high(longest)) {
				longest = i
			}
		}
		if sum <= free || longest < 0 {
			break
		}
		most[longest]--
	}
	for i := range l.Subjects {
		p.subject(l.Subjects[i].Title, l.Subjects[i].Lines(most[i]), width)
	}
	p.signBeside(l.Sign)
}

// itemsHigh is how high items stand.
func (p *press) itemsHigh(items []string, width float64) float64 {
	lines := 0
	for _, item := range items {
		lines += len(p.wrap(p.printable(item), width))
	}
	return float64(lines)*p.line() + float64(len(items)-1)*itemGap
}

// itemGap is between two items of a subject, in millimetres.
const itemGap = 0.5

func (p *press) subject(title string, items []string, width float64) {
	p.font(true, body)
	name := p.wrap(p.printable(title), letterLeft-3)
	p.room(float64(len(name)) * p.line())
	for i, line := range name {
		p.write(margin, p.y+float64(i)*p.line(), line)
	}
	end := p.y + float64(len(name))*p.line()
	p.font(false, body)
	for i, item := range items {
		if i > 0 {
			p.y += itemGap
		}
		for _, line := range p.wrap(p.printable(item), width) {
			p.room(p.line())
			p.write(margin+letterLeft, p.y, line)
			p.y += p.line()
		}
	}
	p.y = max(p.y, end) + letterGap
}

// signBeside gives each role a line for name and signature and one for the date, side by side.
func (p *press) signBeside(roles []string) {
	if len(roles) == 0 {
		return
	}
	p.room(signHigh)
	wide := p.width / float64(len(roles))
	for i, role := range roles {
		x := margin + float64(i)*wide
		p.font(true, body)
		p.write(x, p.y+1, p.clip(p.printable(role), wide-6))
		p.font(false, small)
		p.ink(grey)
		at := p.y + 14
		for _, part := range []struct {
			text     string
			from, to float64
		}{{"name, signature", 0, 0.64}, {"date", 0.68, 0.96}} {
			p.rule(x+part.from*wide, x+part.to*wide, at, grey)
			p.write(x+part.from*wide, at+0.6, part.text)
		}
		p.ink(black)
	}
	p.y += signHigh
}
