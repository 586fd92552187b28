package live

import (
	"strconv"
	"strings"
	"time"
)

// Style is how a panel prints, as it was learned. It is kept with the site as JSON.
type Style struct {
	Page       Page              `json:"page"`
	Wrap       Wrap              `json:"wrap"`
	Shapes     []Known           `json:"shapes"`
	Days       Layout            `json:"days,omitempty"`
	Clocks     Layout            `json:"clocks,omitempty"`
	Figures    map[Role]Figures  `json:"figures"`
	Words      map[string]Event  `json:"words"`
	EventWidth int               `json:"event_width,omitempty"` // characters of an event that nothing ends; 0: something does
	TextWidth  int               `json:"text_width,omitempty"`  // characters after which texts are cut; 0: they are not
	Texts      map[string]string `json:"texts,omitempty"`       // of points for which the panel has another text than the register
	Remarks    []string          `json:"remarks,omitempty"`     // texts that name no point, heard twice
	Ahead      float64           `json:"ahead"`                 // seconds by which the panel's clock is ahead
	Slack      float64           `json:"slack"`                 // seconds by which a line may be off from that
	Breaks     int               `json:"breaks,omitempty"`      // line feeds of the panel's own within a record
	Lines      int               `json:"lines"`                 // the most lines of a record
	SetIn      bool              `json:"set_in,omitempty"`      // lines of a record but its first begin with a blank

	longFirst []string
}

// Known is a shape with the ways in which its fields were seen to be written: for each role a sign, and the event told so.
type Known struct {
	Shape Shape    `json:"shape"`
	Signs []string `json:"signs,omitempty"`
	// Marked: it is of an example, and every field may say something.
	Marked bool `json:"marked,omitempty"`
}

// register finds points by what a line says of them.
type register struct {
	points []Point
	byNum  map[int][]int
	zones  map[int]bool
	zone   *time.Location
	wide   []string // texts that code pages write differently
}

func newRegister(points []Point, zone *time.Location) *register {
	r := &register{points, map[int][]int{}, map[int]bool{}, zone, wideTexts(textsOf(points))}
	for i, p := range points {
		r.byNum[p.Number] = append(r.byNum[p.Number], i)
		r.zones[p.Zone] = true
	}
	return r
}

// reading is what a match says, held against the register.
type reading struct {
	Happening
	why   Reason
	wall  time.Time
	signs string
	word  string
	other string // the text, where the register has another
	near  int    // the only point that it can mean, where its zone is another; -1: there is none
}

// sure reports whether nothing speaks against it.
func (r *reading) sure() bool { return r.why == "" }

// says reads the fields of a match. near is what the panel's clock should show.
func (s *Style) says(m *match, reg *register, near time.Time) *reading {
	r := &reading{Happening: Happening{Point: -1}, near: -1}
	r.word = wordOf(m.text[m.fields[What].from:m.fields[What].to])
	r.Event = s.Words[r.word]
	r.stamp(m, near)
	r.Loop, r.Number, r.Sub, r.Zone = strings.TrimLeft(m.figure(Loop), "0"), number(m.figure(Number)), number(m.figure(Sub)), number(m.figure(Zone))
	r.Text = wordOf(m.text[m.fields[Text].from:m.fields[Text].to])
	if strings.Trim(r.Text, "-._* ") == "" {
		r.Text = "" // signs that stand for none
	}
	r.signs = m.signsOf(r)
	switch {
	case r.Event == "":
		r.why = NewWord
	case r.Event == Nothing:
		r.why = Remark
	}
	if why := s.place(r, m, reg); why != "" {
		r.why = why
	}
	return r
}

func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0
	}
	return n
}

// figure gives what a field of figures says; empty: nothing.
func (m *match) figure(r Role) string {
	if m.fields[r].way != value {
		return ""
	}
	return m.of(r)
}

// stamp keeps the day and the time as they are written, with what is left out as near as it can be.
func (r *reading) stamp(m *match, near time.Time) {
	if m.clock.hour < 0 {
		return
	}
	r.wall = wall(m.day, m.clock, near)
	r.Time = r.wall.Format("15:04")
	if m.clock.second >= 0 {
		r.Time = r.wall.Format("15:04:05")
	}
	if m.day.month >= 0 {
		r.Date = r.wall.Format(time.DateOnly)
	}
}

// signsOf tells how each field is written: v a value, 0 a zero, - signs for nothing, e empty, . not in the shape.
func (m *match) signsOf(r *reading) string {
	var b strings.Builder
	for _, role := range Roles() {
		f := m.fields[role]
		c := byte('.')
		switch {
		case f.way == dashes:
			c = '-'
		case f.way == empty || f.way == value && f.from == f.to:
			c = 'e'
		case f.way == value && strings.Trim(m.of(role), "0") == "" && role != Text && role != Day && role != Clock:
			c = '0'
		case f.way == value:
			c = 'v'
		}
		b.WriteByte(c)
	}
	return b.String()
}

// place finds the point of a reading, and says what speaks against it.
func (s *Style) place(r *reading, m *match, reg *register) Reason {
	if !s.marks(Number) && m.has(Text) && r.Text != "" {
		return s.byText(r, reg)
	}
	if r.Number == 0 {
		if r.Loop != "" || r.Sub != 0 {
			return NoPoint
		}
		if r.Zone != 0 && !reg.zones[r.Zone] {
			return NoPoint
		}
		return ""
	}
	var at []int
	for _, i := range reg.byNum[r.Number] {
		p := reg.points[i]
		if (r.Loop == "" || r.Loop == strings.TrimLeft(p.Loop, "0")) && (r.Sub == 0 || r.Sub == p.Sub) {
			at = append(at, i)
		}
	}
	if len(at) == 0 || m.has(Loop) && r.Loop == "" || m.has(Sub) && r.Sub == 0 {
		return NoPoint
	}
	return s.agree(r, reg, at, m.has(Text))
}

// byText finds the point of a line that has no number, by its text, and its zone where it has one.
func (s *Style) byText(r *reading, reg *register) Reason {
	if r.Zone != 0 && !reg.zones[r.Zone] {
		return NoPoint
	}
	var elsewhere []int
	for i, p := range reg.points {
		switch {
		case !s.sameText(p.Text, r.Text):
		case r.Zone == 0 || r.Zone == p.Zone:
			r.Point = i
			return ""
		default:
			elsewhere = append(elsewhere, i)
		}
	}
	switch {
	case len(elsewhere) == 1:
		r.near = elsewhere[0]
		return OtherZone
	case r.Zone != 0:
		return OtherText
	}
	return ""
}

func (m *match) has(r Role) bool { _, ok := m.fields[r]; return ok }

// agree holds zone and text against the points that a line may mean.
func (s *Style) agree(r *reading, reg *register, at []int, hasText bool) Reason {
	why := OtherZone
	for _, i := range at {
		p := reg.points[i]
		if r.Zone != 0 && r.Zone != p.Zone {
			continue
		}
		r.Point = i
		if !hasText || s.sameText(p.Text, r.Text) || s.sameText(s.Texts[p.key()], r.Text) {
			return ""
		}
		why = OtherText
	}
	switch {
	case why == OtherText:
		r.other = r.Text
	case len(at) == 1:
		r.near = at[0]
	}
	return why
}

// key names a point in what is kept with a style.
func (p Point) key() string {
	return strings.TrimLeft(p.Loop, "0") + "/" + strconv.Itoa(p.Number) + "/" + strconv.Itoa(p.Sub)
}

// sameText reports whether a panel would print the text so: white space does not count, and a column may cut it.
func (s *Style) sameText(known, said string) bool {
	if known == "" {
		return false
	}
	if unspaced(known) == unspaced(said) {
		return true
	}
	if letters := []rune(known); s.TextWidth > 0 && len(letters) > s.TextWidth {
		return unspaced(string(letters[:s.TextWidth])) == unspaced(said)
	}
	return false
}

func unspaced(text string) string { return strings.Join(strings.Fields(text), "") }

// coarse is how exactly the panel tells the time, in seconds.
func (s *Style) coarse() float64 {
	for _, p := range s.Clocks {
		if p.Is == secondPart {
			return 1
		}
	}
	return 60
}

// By how many seconds a line may be off from what the clock should show: a printer is late, a clock drifts. Chosen here, no
// source.
const (
	slackMost  = 20
	slackLeast = 0.5
)
