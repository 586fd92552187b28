package lines

import "time"

// Event is what a line tells of.
type Event string

// What can happen. Cleared says that a fault is over.
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
)

// Events lists what can happen, in the order in which a style gives its words.
func Events() []Event {
	return []Event{Alarm, PreAlarm, Fault, Cleared, Disabled, Enabled, Test, Reset, Silence}
}

// happening is one thing that happened at the panel, before it is printed. Numbers of zero and empty texts: it has none.
type happening struct {
	wall              time.Time // the panel's own clock; its location says nothing
	event             Event
	loop              string
	number, sub, zone int
	text              string
	serial            int
}

// Point is a point as the site's register knows it.
type Point struct {
	Loop              string
	Number, Sub, Zone int // Sub 0: it has none
	Text              string
}
