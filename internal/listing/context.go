package listing

import (
	"maps"
	"strings"
)

// context is what a title or the name of a sheet says of all rows below it: the loop, the panel, the zone, the day.
type context map[Field]string

// contextOf reads a title: "Loop 2", "Zone 14", "Readings of 12 July 2024".
func (lx *lexicon) contextOf(title string) context {
	const longest = 100
	c := context{}
	if len(title) > longest {
		return c
	}
	words := titleWords(title)
	for i, word := range words[:max(0, len(words)-1)] {
		name := strings.Trim(words[i+1], ".:")
		if _, ok := wholeNumber(name); !ok && len(name) != 1 {
			continue
		}
		switch label := lx.headings[fold(word)]; {
		case label == Loop || label == Panel || label == Zone:
			c[label] = normalName(name)
		case len(word) > 1 && refLabel(word) == 'L':
			c[Loop] = normalName(name)
		}
	}
	if day := dayIn(words); day != "" && !lx.isOtherDayTitle(title) && !lx.isUnsureTitle(title) {
		c[Date] = day
	}
	return c
}

func titleWords(title string) []string {
	return strings.FieldsFunc(title, func(r rune) bool {
		return r == ' ' || r == '\u00a0' || r == ',' || r == ';' || r == '(' || r == ')' || r == '_'
	})
}

// isOtherDayTitle: a title may say "printed", where nothing else has the day; other words are of other days.
func (lx *lexicon) isOtherDayTitle(title string) bool {
	for word := range strings.FieldsSeq(fold(title)) {
		if lx.otherDays[word] && !lx.printed[word] {
			return true
		}
	}
	return false
}

// dayIn finds the only day in words, as it is written there; empty: none, or several.
func dayIn(words []string) string {
	const most = 5
	found := ""
	for i := 0; i < len(words); i++ {
		for n := min(most, len(words)-i); n > 0; n-- {
			text := strings.TrimRight(strings.Join(words[i:i+n], " "), ":")
			raw, ok := splitDate(text)
			if !ok || raw.hasTime || !raw.possible() {
				continue
			}
			if found != "" && found != text {
				return ""
			}
			found = text
			i += n - 1
			break
		}
	}
	return found
}

// with adds what another title says; the nearer one has the last word.
func (c context) with(nearer context) context {
	all := maps.Clone(c)
	if all == nil {
		all = context{}
	}
	maps.Copy(all, nearer)
	return all
}

// settleContext takes from titles and names what no column of the table says.
func (s *study) settleContext() {
	u := s.u
	for f, text := range u.said {
		field := f
		if f == Date {
			field = u.Kind.adapt(Date)
		}
		switch {
		case u.Kind == KindUnknown, u.Kind == KindSchedule && f == Date, !u.keepsContext(field), u.has(field), u.profile.Constants[field] != "":
		case f == Loop && s.refsHaveLoops():
		case f == Date:
			u.settleTitleDay(text)
		default:
			u.context[field] = text
		}
	}
	if u.Kind == KindEvents && !u.has(What) && u.has(Category, Attended) {
		u.context[What] = string(Alarmed)
	}
}

// keepsContext: the kind has the field.
func (u *Understanding) keepsContext(f Field) bool {
	for _, own := range u.Kind.Fields() {
		if own == f {
			return true
		}
	}
	return false
}

// refsHaveLoops: the references name their loops themselves.
func (s *study) refsHaveLoops() bool {
	i := s.u.column(Point)
	if i < 0 {
		return false
	}
	refs, _ := s.refsOf(i)
	return len(refs) > 0
}

// settleTitleDay takes the day of a title, or asks for its order.
func (u *Understanding) settleTitleDay(text string) {
	raw, _ := splitDate(text)
	order := u.profile.DateOrder
	if order == "" && raw.mark == '.' && raw.orders()&canDMY != 0 {
		order = DMY
	}
	day, err := ParseDate(text, order)
	if err != nil {
		f := facts{example: text}
		u.askOrder(&f, "in the title", raw.orders().list())
		return
	}
	u.context[Date] = Civil{Year: day.Year, Month: day.Month, Day: day.Day}.text()
}

// titlesSay adds what the titles above the headings say.
func (s *study) titlesSay() {
	s.u.noteUnsureTitle(withoutExtension(s.t.Name))
	s.u.noteUnsureTitle(s.t.Title)
	for _, text := range s.t.beside {
		s.u.noteUnsureTitle(text)
	}
	for _, row := range s.sample {
		if row.Line >= s.u.HeaderLine && s.u.HeaderLine > 0 {
			break
		}
		if name := s.u.lx.saysWho(row.Cells); name != "" && s.u.HeaderLine > 0 {
			s.u.said = s.u.said.with(context{By: name})
			continue
		}
		first, filled := firstFilled(row.Cells)
		if filled == 1 || filled == 2 && s.u.sections.isTitle(&row, first) {
			s.u.noteUnsureTitle(strings.Join(row.Cells, " "))
			s.u.said = s.u.said.with(s.u.titleSays(strings.Join(row.Cells, " ")))
		}
	}
}

func withoutExtension(name string) string {
	if at := strings.LastIndexByte(name, '.'); at > 0 && len(name)-at <= 5 && strings.Trim(name[at+1:], "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
		return name[:at]
	}
	return name
}
