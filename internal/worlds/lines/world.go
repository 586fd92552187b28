package lines

import "time"

// Role is what a part of a line says.
type Role int

// The parts that a person can mark.
const (
	None Role = iota
	Day
	Clock
	Loop
	Number
	Sub
	Zone
	What // the word of the event
	Text
	aside // stands where a text stands, and may be taken for one
)

// String names the role.
func (r Role) String() string {
	return [...]string{"none", "day", "time", "loop", "number", "sub-address", "zone", "event", "text"}[r]
}

// Span is a run of bytes, To excluded. It may hold a line break, where paper was too narrow.
type Span struct{ From, To int }

// Mark is a part of an example, marked by a person. Spans count from the first byte of [Lesson.Heard].
type Mark struct {
	Span

	Role  Role
	Event Event // what the marked word means, where Role is What
}

// Example is one line, or two, with its marks.
type Example struct {
	Span

	Marks []Mark
}

// Truth is what a line says, and what a reader may claim of it.
type Truth struct {
	// Wall is the panel's own clock, as far as it is printed: 2026-03-14T09:12:44, 2026-03-14T09:12. Where no year
	// or no day is printed it stands here all the same.
	Wall string
	// DayUnsaid: no day is printed with it. A claim may begin with the T then.
	DayUnsaid         bool
	Loop              string // without leading zeros
	Number, Sub, Zone int    // 0: it says none
	Event             Event
	Text              string // as printed; white space does not count when it is compared
	// TextOr is what may be claimed as well: with a word in it that stands where texts stand, as SYSTEM.
	TextOr string
}

// Record is what the panel printed at once: an event on one line or several, or something that is none.
type Record struct {
	At    time.Time // when its first byte arrives, by a clock that is right
	Bytes []byte
	Truth *Truth // nil: it is no event
	// Fault names what the wire did to it, see [Faults]; empty: it came whole.
	Fault string
	// Mangled: its bytes are not what was printed, or run into another's. It may be read as what it was or not be understood.
	Mangled bool
	// Repeat: it came before; a reader may drop it.
	Repeat bool

	marks []Mark // from its first byte
	said  *happening
}

// World is a style with a site: what a learner is given, and what it is asked.
type World struct {
	Style  string
	Site   *time.Location // of the site; the panel's clock is meant to show its time
	Points []Point        // the register; one text is not the panel's
	Heard  []Record       // before; they are whole
	Later  []Record

	style *Style
	site  []Point // as the panel has them
}
