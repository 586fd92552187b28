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

// kinds gives the kinds that fit, with the reason.
func (s *study) kinds() ([]Kind, string) {
	ref := len(s.inDoubt(Point, Address)) > 0 || s.found(Point, Address, number, Wanted, standing, setNumber) || s.byContent(Point) || s.weakRef() >= 0 || s.found(Serial) && s.known.hasPoints() && (s.found(Date, Value, Found, Day) || s.u.said[Date] != "")
	date := s.found(Date) || s.found(Year) && s.found(Month) || s.byContent(Date) || s.u.profile.Constants[Date] != "" || s.u.said[Date] != ""
	what := s.happenings() >= 0 && (date || s.found(What))
	value := s.found(Value) && s.numericValue() || s.bareValue(ref, date)
	result := ref && date && s.result()
	switch {
	case ref && s.found(Ticked):
		return []Kind{KindEvents}, "it has a column to tick for each thing that may happen to a point"
	case ref && s.isWide() && s.trials:
		return []Kind{KindEvents}, "it has a column for each visit that says how its tests went"
	case ref && s.isWide():
		return []Kind{KindReadings}, "it has a column of values for each visit"
	case !ref && s.found(Low, High, Band, Alarm, Compensated, Standby, AlarmCurrent, LeastVolts, Life) && s.found(Name, Type, Device, description):
		return []Kind{KindTypes}, "it names types and their figures, and no points"
	case ref && s.found(Found):
		return []Kind{KindNumbers}, "it says at which number each device was found"
	case ref && date && s.found(Category, Attended) && !value && s.happenings() < 0 && !s.found(What):
		return []Kind{KindEvents}, "it says why alarms were given, or who came"
	case (what || result) && value:
		return []Kind{KindReadings, KindEvents}, "It has both a value and what happened."
	case what:
		return []Kind{KindEvents}, "it says what happened to each point, and when"
	case result && s.found(Serial, Metres):
		return []Kind{KindEvents, KindSchedule}, "It has both how a test went and what is fitted."
	case result:
		return []Kind{KindEvents}, "it says of each point how its test went, and when"
	case value && ref && (s.found(Metres) || s.found(Serial) && (!date || s.found(Type) && !s.known.hasPoints())):
		return []Kind{KindReadings, KindSchedule}, "It has both values and what is fitted."
	case value && (ref || date):
		return []Kind{KindReadings}, "it has a value for each point"
	case ref && s.found(What) && date:
		return []Kind{KindEvents}, "it has a column for what happened"
	case ref && date && len(s.inDoubt(Result, What)) > 0:
		return []Kind{KindEvents}, "it may say of each point how its test went, and when"
	case ref && s.found(Type, Device, Zone, Area, Floor, Location, Serial, Fitted, Metres, Settings, description):
		return []Kind{KindSchedule}, "it says for each point what is fitted or where it is"
	case ref && s.u.HeaderLine == 0 && s.texts() > 0:
		return []Kind{KindSchedule}, "each point stands beside text, without values or events"
	case ref:
		return []Kind{KindSchedule, KindReadings, KindEvents}, "It names points, but not what is said of them."
	}
	if s.bareSchedule() {
		return []Kind{KindSchedule}, "types of the register stand beside numbers"
	}
	return allKinds, "No column names a point, and none of the limits of a type."
}

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

// numericValue tells whether a column headed as a value holds numbers.
func (s *study) numericValue() bool {
	for i, m := range s.matches {
		if m.field == Value && (s.content[i].filled == 0 || s.content[i].halfNumbers()) {
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
