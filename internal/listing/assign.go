package listing

import (
	"fmt"
	"slices"
	"strings"
)

const profileSays = "the profile says so"

// assign gives every column its field: first by heading, the surest first, then by content.
func (s *study) assign() {
	for i := range s.u.Columns {
		s.u.Columns[i].Samples = s.firstOf(i)
		s.u.Columns[i].lists = s.content[i].half(s.content[i].lists)
		s.explainUnused(i)
	}
	for strength := strengthProfile; strength >= strengthNumber; strength-- {
		for i, m := range s.matches {
			if m.strength == strength && m.field != "" {
				s.byHeading(i, m)
			}
		}
	}
	s.fill()
	s.severalValues()
}

// firstOf gives the first few different cells of a column, those of titles left out.
func (s *study) firstOf(column int) []string {
	const few = 3
	var out []string
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || column >= len(r.Cells) || s.u.isTitleAgain(r.Cells) {
			continue
		}
		c := strings.TrimSpace(r.Cells[column])
		if c != "" && !slices.Contains(out, c) {
			if out = append(out, c); len(out) == few {
				break
			}
		}
	}
	return out
}

func (s *study) explainUnused(i int) {
	c := &s.u.Columns[i]
	switch {
	case s.barred[i] != "":
		c.Why = s.barred[i]
	case s.asked[i] != "":
		c.Why = s.asked[i]
	case s.content[i].filled == 0:
		c.Why = "its cells are empty"
	case c.Heading == "":
		c.Why = "it has no heading; " + s.whys[i]
	default:
		c.Why = fmt.Sprintf("the heading %q is not known; %s", c.Heading, s.whys[i])
	}
}

// byHeading gives column i the field that its heading means in this kind of table, if that is free.
func (s *study) byHeading(i int, m match) {
	c, f := &s.u.Columns[i], s.sharpen(i, m)
	if s.u.Kind == KindUnknown {
		f = m.field
	}
	if m.strength == strengthProfile {
		c.Field, c.Why = m.field, profileSays
		return
	}
	says := fmt.Sprintf("the heading %q means %s", c.Heading, f.text())
	if m.quantity != "" {
		says = fmt.Sprintf("the heading %q means a value, the %s", c.Heading, m.quantity)
	}
	if s.u.Kind != KindUnknown && f != s.u.Kind.adapt(m.field) {
		says = fmt.Sprintf("under the heading %q, %s; taken for %s", c.Heading, s.whys[i], f.text())
	}
	switch taken := s.u.column(f); {
	case f == Trouble && (s.u.left || i == len(s.u.Columns)-1):
		c.Field, c.Why = Trouble, "written by an earlier take; not read"
	case s.u.Kind == KindUnknown:
		c.Why = says + "; not used until it is known what the table lists"
	case s.isWide() && slices.Contains(s.u.Kind.Fields(), f) && !s.keeps(f, i):
		c.Why = says + ", but it does not say at which of the visits"
	case !s.keeps(f, i):
		c.Why = fmt.Sprintf("%s, which is not kept for this kind of listing", says)
	case f == Value && s.profileHas(Value):
		c.Why = "the profile names another column as the value"
	case taken >= 0 && f == What && s.u.Kind == KindEvents && s.roles[i] == Result:
		c.Field, c.Why = Result, fmt.Sprintf("under the heading %q, %s; taken for %s", c.Heading, s.whys[i], Result.text())
	case taken >= 0 && f != Value && f != Result && f != Setting && f != Ticked:
		c.Why = fmt.Sprintf("%s, but column %s gives that already", says, s.u.columnName(taken))
	case f.isDate() && !s.isWholeDay(i):
		c.Why = says + ", but its other words may make it another day"
	case m.strength == strengthContained && !s.agrees(i, f):
		c.Why = fmt.Sprintf("%s, but %s", says, s.whys[i])
	default:
		c.Field, c.Why = f, says
		c.serialDays = f.isDate() && s.content[i].half(s.content[i].serialDays) && s.content[i].dates == 0
		if w, other := s.weighedAs[i]; other {
			c.Why = fmt.Sprintf("under the heading %q, %s; taken for %s", c.Heading, w.because(), f.text())
		}
		s.doubtNumbers(c, m)
		s.doubtFitted(c, m)
	}
}

// doubtNumbers asks how the numbers of a column are meant whose heading could be
// said of those that stand and of those that are wanted.
func (s *study) doubtNumbers(c *Column, m match) {
	if m.field != setNumber || s.u.Kind != KindSchedule || c.Field != Address && c.Field != Point || s.found(Wanted) || s.u.profile.Numbers != "" {
		return
	}
	s.u.askOnce(AskNumbers, fmt.Sprintf("Are the numbers of column %q how the devices stand, or how they shall be?", c.Heading),
		Choice{string(NumbersListed), "how they stand"}, Choice{string(NumbersWanted), "how they shall be"})
}

// sharpen turns what a heading says into what the kind and the cells make of it.
func (s *study) sharpen(i int, m match) Field {
	f, c := s.u.Kind.adapt(m.field), &s.content[i]
	switch {
	case m.field == setNumber && s.u.Kind == KindSchedule && s.found(standing):
		return Wanted // beside those that stand
	case f == Address && c.point0 == c.filled && s.found(Loop): // a program that reckons in fractions wrote the numbers
		return f
	case f == Address && c.mostly(c.refs+c.weak) && c.refs+c.weak > c.numbers-c.weak:
		return Point
	case f == Time && c.mostly(c.dates):
		return s.u.Kind.adapt(Date)
	case f == Date && c.mostly(c.times) && c.dates == 0:
		return Time
	case s.u.Kind == KindEvents && f == What && (m.field == Type || m.field == Device) && s.roles[i] != What && (s.result() || s.headedElsewhere(What, i)):
		return m.field // beside results, or beside what happened, it is what is fitted
	case s.u.Kind == KindEvents && f == Text && s.roles[i] == What && !s.found(What):
		return What
	}
	return f
}

// headedElsewhere: another column is headed as the field.
func (s *study) headedElsewhere(f Field, i int) bool {
	for j, m := range s.matches {
		if j != i && m.field == f && m.strength >= strengthNear {
			return true
		}
	}
	return false
}

func (s *study) profileHas(f Field) bool {
	for i := range s.matches {
		if s.matches[i].strength == strengthProfile && s.matches[i].field == f {
			return true
		}
	}
	return false
}

// fill gives fields that no heading gave to columns whose cells speak for them.
func (s *study) fill() {
	kind := s.u.Kind
	if !s.u.has(Point, Address, Wanted) && !s.doubtStrangePoint() {
		s.give(Point, s.firstFree(Point))
		if !s.u.has(Point, Address, Wanted) {
			s.giveWeakRef()
		}
	}
	s.giveSecondName()
	if date := kind.adapt(Date); !s.u.has(date) {
		s.giveDay(date)
	}
	if !s.u.has(Time) {
		s.give(Time, s.firstFree(Time))
	}
	if kind == KindEvents && !s.u.has(What) {
		s.give(What, s.firstFree(What))
	}
	if kind == KindEvents {
		for i, role := range s.roles {
			if role == Result && s.matches[i].field == "" {
				s.give(Result, i)
			}
		}
	}
	if kind == KindReadings && !s.u.has(Value) && !s.profileHas(Value) {
		if len(s.maybeValues()) > 0 {
			s.askForValue()
			return
		}
		for _, i := range s.bareNumbers() {
			s.give(Value, i)
		}
	}
	if s.u.HeaderLine == 0 {
		s.fillTexts()
	}
}

// firstFree gives the first unused column with a role that no heading speaks against, -1 for none.
func (s *study) firstFree(role Field) int {
	for i, r := range s.roles {
		if r == role && s.u.Columns[i].Field == Unused && s.matches[i].strength < strengthExact {
			return i
		}
	}
	return -1
}

func (s *study) give(f Field, i int) {
	if i < 0 || !s.keeps(f, i) || s.u.Columns[i].Field != Unused || s.matches[i].strength == strengthProfile {
		return
	}
	s.u.Columns[i].Field = f
	s.u.Columns[i].Why = fmt.Sprintf("no heading says so, but %s, so it is taken for %s", s.whys[i], f.text())
}

// giveSecondName takes a column of references beside one of addresses for the points too, where the two mostly say the same:
// rows in which they differ must not be taken by one of them alone.
func (s *study) giveSecondName() {
	address, i := s.u.column(Address), s.firstFree(Point)
	if address < 0 || i < 0 || s.u.Kind == KindNumbers || s.u.has(Point, Wanted) || s.barred[i] != "" {
		return
	}
	if like, unlike := s.numbersAgree(address, i); like > unlike {
		s.give(Point, i)
	}
}

func (s *study) giveWeakRef() {
	if i := s.weakRef(); i >= 0 {
		s.whys[i] = fmt.Sprintf("all of its %d cells are written like %s, and no other column names points", s.content[i].filled, s.u.Columns[i].Samples[0])
		s.give(Point, i)
	}
}

// fillTexts gives the text columns of a table without headings their likeliest fields.
func (s *study) fillTexts() {
	if s.u.Kind == KindSchedule && !s.u.has(Type) {
		s.fillType()
	}
	for i, role := range s.roles {
		c := &s.content[i]
		if role != Text || c.filled == 0 || s.barred[i] != "" {
			continue
		}
		var f Field
		switch s.u.Kind {
		case KindSchedule:
			f = Location
		case KindReadings, KindEvents:
			f = s.u.Kind.adapt(Remark)
			if c.few() && c.words <= 2*c.filled {
				f = By
			}
		}
		if f != "" && !s.u.has(f) {
			s.give(f, i)
		}
	}
}

// few: the cells are the same few again and again, however they are spelled.
func (c *content) few() bool { return c.filled > 3 && 2*len(c.keys) <= c.filled }

// fillType finds the column of types among those of text: its cells are kinds of device, or the same few again and
// again while those of the others are not. Where that is not clear it is asked.
func (s *study) fillType() {
	var texts []int
	best := -1
	for i, role := range s.roles {
		c := &s.content[i]
		if role != Text || c.filled == 0 || s.u.Columns[i].Field != Unused || s.barred[i] != "" {
			continue
		}
		texts = append(texts, i)
		if best < 0 || len(c.keys) < len(s.content[best].keys) {
			best = i
		}
	}
	if best < 0 {
		return
	}
	clearly := s.content[best].few() || s.content[best].mostly(s.content[best].devices)
	for _, i := range texts {
		clearly = clearly && (i == best || len(s.content[i].keys) >= 2*len(s.content[best].keys))
	}
	if clearly {
		s.give(Type, best)
		return
	}
	if len(texts) < 2 {
		return
	}
	var choices []Choice
	for _, i := range texts {
		choices = append(choices, Choice{columnKey(i), fmt.Sprintf("%s, such as %s", s.u.columnName(i), strings.Join(s.u.Columns[i].Samples, ", "))})
	}
	s.u.ask(AskType, "Which column is the type of what is fitted?", choices...)
}

// askForMissing asks for what no row can do without.
func (s *study) askForMissing() {
	u := s.u
	if u.Kind == KindUnknown || u.Kind == KindTypes || s.askDoubted() {
		return
	}
	if s.askHeaded() {
		return
	}
	if !u.has(Point, Address, Wanted) && (u.Kind == KindSchedule || !u.has(Serial)) && u.profile.Constants[Address] == "" {
		var choices []Choice
		for i, c := range u.Columns {
			if c.Field == Unused && s.content[i].filled > 0 && s.roles[i] != Date && s.mayNamePoint(i) {
				choices = append(choices, Choice{columnKey(i), u.columnName(i)})
			}
		}
		if bare := s.bareChoices(); u.HeaderLine == 0 && len(bare) > 0 {
			u.ask(AskPoint, "There are no headings. Which columns are the loop and the address?", bare...)
			return
		}
		if s.askZoneDevices() {
			return
		}
		if len(choices) == 0 {
			s.refusePointless()
			return
		}
		u.ask(AskPoint, "Which column names the point?", choices...)
	}
	if u.Kind != KindSchedule && u.Kind != KindNumbers && !u.has(Date) && !u.has(Day) && !s.isWide() && u.profile.Constants[Date] == "" && u.context[Date] == "" {
		s.askDay()
	}
	s.askForLoop()
	if u.Kind == KindReadings && !u.has(Value) && len(u.Questions) == 0 {
		s.askWhichValue()
	}
}

// columnName names a column in a sentence.
func (u *Understanding) columnName(i int) string {
	if i < len(u.Columns) && u.Columns[i].Heading != "" {
		return u.Columns[i].Heading
	}
	return "column " + columnKey(i)
}
