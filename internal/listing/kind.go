package listing

import (
	"fmt"
	"slices"
	"strings"
)

// settleKind decides what the table lists from the fields that its headings and cells speak for, and
// asks where two kinds fit.
func (s *study) settleKind() {
	u := s.u
	if u.profile.Kind != KindUnknown {
		u.Kind, u.KindWhy = u.profile.Kind, profileSays
		return
	}
	if n := len(s.bad); 2*n > len(s.sample) {
		u.KindWhy = fmt.Sprintf("%d of its first %d rows cannot be read: %s", n, n+len(s.sample), s.firstBad.Error())
		u.Refused = true
		return
	}
	if s.isProse() {
		u.KindWhy = "it holds lines of words, and no table"
		s.refuseTellingLines()
		return
	}
	kinds, why := s.kinds()
	u.KindWhy = why
	if len(kinds) == 1 {
		u.Kind = kinds[0]
		return
	}
	u.Bare = len(kinds) == len(allKinds) && u.HeaderLine == 0 && !s.columnsTell()
	var choices []Choice
	for _, k := range kinds {
		choices = append(choices, Choice{string(k), kindText(k)})
	}
	u.ask(AskKind, "What does this table list? "+why, choices...)
}

func kindText(k Kind) string {
	switch k {
	case KindTypes:
		return "types of device with their limits"
	case KindSchedule:
		return "points and what is fitted there"
	case KindReadings:
		return "readings of resting values"
	case KindNumbers:
		return "at which numbers devices were found"
	}
	return "events: tests, cleaning, alarms, faults"
}

var allKinds = []Kind{KindTypes, KindSchedule, KindReadings, KindEvents, KindNumbers}

// result tells whether a column says how a test went.
func (s *study) result() bool {
	for i, role := range s.roles {
		m := s.matches[i]
		if m.field == Result && m.strength >= strengthContained && s.content[i].filled > 0 || role == Result && (m.field == "" || m.field == What) {
			return true
		}
	}
	return false
}

// happenings gives the column whose cells say what happened, -1 for none.
func (s *study) happenings() int {
	for i, role := range s.roles {
		if role == What && slices.Contains([]Field{"", What, Type, Device, description, Text, Unused}, s.matches[i].field) {
			return i
		}
	}
	return -1
}

// numericValue tells whether a column headed as a value holds numbers, or cells with figures in them that are none: 3O, ~31.
func (s *study) numericValue() bool {
	for i, m := range s.matches {
		if c := &s.content[i]; m.field == Value && (c.filled == 0 || c.halfNumbers() || m.strength >= strengthNear && c.half(c.numbers+c.lists+c.digits)) {
			return true
		}
	}
	return false
}

// bareValue: a column of numbers that no heading explains, beside a point and a date.
func (s *study) bareValue(ref, date bool) bool {
	return ref && date && (!s.found(Low, High, What, Serial, Metres) && len(s.bareNumbers()) > 0 || len(s.asked) > 0)
}

// bareNumbers gives the columns of numbers without a known heading.
func (s *study) bareNumbers() []int {
	var out []int
	for i, role := range s.roles {
		if role == Value && s.barred[i] == "" && s.matches[i].field == "" && i != s.weakRef() && !s.content[i].counts() {
			out = append(out, i)
		}
	}
	return out
}

// weakRef gives the first column without a known heading whose cells are all like "1.73", where no
// other column names points; -1 for none.
func (s *study) weakRef() int {
	if s.found(Point, Address, number, Wanted, standing, setNumber) || slices.Contains(s.roles, Point) {
		return -1
	}
	best := -1
	for i := range s.content {
		c := &s.content[i]
		if s.barred[i] == "" && s.matches[i].field == "" && c.weak == c.filled && c.filled > 0 && len(c.distinct) > 1 && (best < 0 || c.held > s.content[best].held) {
			best = i
		}
	}
	return best
}

// texts counts the columns of plain text.
func (s *study) texts() int {
	n := 0
	for i, role := range s.roles {
		if role == Text && s.barred[i] == "" && !strings.HasPrefix(s.u.Columns[i].Heading, troubleHeading) {
			n++
		}
	}
	return n
}
