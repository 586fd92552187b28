// Package live reads what panels print. It knows no format: a [Style] is learned from a few lines in which a person marked
// what is day, time, loop, number, zone, event and text, from all lines heard so far, and from the site's points. A line is
// read only where it fits a learned shape wholly, names a point that there is, in its zone and with its text, and shows the
// time that the panel's clock should show. All else is kept as it was heard, with the reason.
//
// The package does no I/O and reads no clock: bytes come with the time at which they arrived.
package live

import (
	"time"
)

// Role is what a part of a line says.
type Role string

// The parts of a line that a person can mark.
const (
	Day    Role = "day"
	Clock  Role = "time"
	Loop   Role = "loop"
	Number Role = "number"
	Sub    Role = "sub"
	Zone   Role = "zone"
	What   Role = "event"
	Text   Role = "text"
)

// Roles lists the parts, in the order in which they are offered.
func Roles() []Role { return []Role{Day, Clock, Loop, Number, Sub, Zone, What, Text} }

// Event is what a line tells of.
type Event string

// What can happen. Nothing is what a word means that tells of no event.
const (
	Alarm    Event = "alarm"
	PreAlarm Event = "pre-alarm"
	Fault    Event = "fault"
	Cleared  Event = "fault cleared"
	Disabled Event = "disabled"
	Enabled  Event = "enabled"
	Test     Event = "test"
	Reset    Event = "reset"
	Silence  Event = "silence"
	Nothing  Event = "nothing"
)

// Events lists what a word can mean.
func Events() []Event {
	return []Event{Alarm, PreAlarm, Fault, Cleared, Disabled, Enabled, Test, Reset, Silence, Nothing}
}

// Point is a point as the site's register knows it. Sub 0, Zone 0: it has none.
type Point struct {
	Loop              string
	Number, Sub, Zone int
	Text              string
}

// Chunk is what arrived at an instant.
type Chunk struct {
	At    time.Time
	Bytes []byte
}

// Mark is a part of an example that a person marked: bytes of what was heard, To excluded.
type Mark struct {
	From, To int
	Role     Role
	Means    Event // of a part that is the event
}

// Example is one record, of one line or several, with its marks.
type Example struct {
	From, To int
	Marks    []Mark
}

// Lesson is what a style is learned from.
type Lesson struct {
	Heard    []Chunk
	Examples []Example
	Site     *time.Location
	Points   []Point
	Words    map[string]Event // what a person said of words that were asked
}

// Happening is what a line says. What is zero it does not say.
type Happening struct {
	Date              string // 2026-03-14; empty: the line has no day
	Time              string // 09:12, 09:12:44; empty: the line has no time
	Loop              string // without leading zeros
	Number, Sub, Zone int
	Event             Event
	Text              string
	Point             int // index of the point in the lesson's or reader's points; -1: it names none
}

// Line is what became of some bytes: From and To count from the first byte heard.
type Line struct {
	From, To int64
	Came     time.Time // when its first byte arrived
	At       time.Time // the same; or when it was printed, of lines that came late in one piece
	Shown    string    // as it was understood to be written, lines of a record joined by line feeds
	Read     *Happening
	Why      Reason // why it was not read
	// Near is what it would say, where the zone or the text of a point is all that speaks against it: its point is the one that
	// the rest names.
	Near *Happening
	Word string // the word that is to be asked, where that is why
}

// Reason is why a line was not read.
type Reason string

// Why a line is not read.
const (
	Blank      Reason = "it is empty"
	NoShape    Reason = "it fits no learned shape"
	Several    Reason = "it can be read in more than one way"
	NewWord    Reason = "its event is a word that nobody explained"
	NoPoint    Reason = "the register has no such point"
	OtherZone  Reason = "the register has the point in another zone"
	OtherText  Reason = "the register has another text for the point"
	OtherClock Reason = "its time is not what the panel's clock should show"
	CutShort   Reason = "it was cut short or damaged, and names no point where such lines name one"
	NewRemark  Reason = "its text names no point and was not heard before"
	Remark     Reason = "its word was said to be no event"
)

// Do says what somebody can do about lines that are not read for a reason; empty: nothing need be done.
func (w Reason) Do() string {
	switch w {
	case NoShape:
		return "mark one such line, if it tells of something; else leave it"
	case Several:
		return "mark such a line, so that it can be read in one way alone"
	case NewWord:
		return "say what the word means"
	case NoPoint:
		return "look whether the register lacks the point"
	case OtherZone, OtherText:
		return "correct the point in the register, or the panel"
	case OtherClock:
		return "nothing, where lines are damaged or come once more; a clock that was set is followed from the third line on; " +
			"lines printed before they came are read where three or more come in one piece"
	case CutShort:
		return "look at the cable and the speed, where there are many"
	case NewRemark:
		return "nothing: it is read when it is heard again"
	}
	return ""
}
