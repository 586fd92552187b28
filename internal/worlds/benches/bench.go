// Package benches plays random stories of a bench run, two hands at one box of devices, against whatever keeps the run, and
// says what did not hold. It was written from the words of the task alone, without sight of the engine, and imports nothing
// of the program.
//
// Beside the run the story knows the real devices: what is printed on each and which number it truly carries. A hand may
// misread, set wrongly, take a wrong device, insist, skip, reject, undo, and work for a while without network.
//
// What must hold:
//
//   - Left, Rejects and Standing are exact after every act, for what each hand can know: with network all that is handed in,
//     without it what was there when the network went and its own acts.
//   - What is refused, or asked and not insisted on, changes nothing. What is sound is taken without a question.
//   - Undo takes back the last act of that hand that still stands, and nothing else; what stood before stands again.
//   - At once are caught: a serial seen before, a number set on another device of the range, another type than planned, a
//     number read back that is not the place's, a number that the type cannot be set to, a place without a number, a device that
//     is not on the list of the box.
//   - At the end, all handed in, no two devices of a range truly carry one number unless it was said when the later one was
//     done, or is said of the run as it stands; nor do two have one serial. No such doubt is raised of sound devices.
//   - Handing in twice, leaving and coming back, and a full storage lose nothing and add nothing.
//
// Not asked, because the words leave it open: which place comes next, whether a remark refuses, asks or tells, and what is
// said of readings, modes and of places that were skipped before.
package benches

// Codes of remarks that are asked for.
const (
	SerialSeen       = "serial-seen"
	NumberTaken      = "number-taken"
	TypeOther        = "type-other"
	NumberImpossible = "number-impossible"
	NumberOther      = "number-other"
	NotOnList        = "not-on-list"
	NoNumber         = "no-number"
)

// How grave a remark is.
const (
	Refused = "refused" // nothing is written
	Asked   = "asked"   // nothing is written unless the hand is sure
	Told    = "told"    // it is written
)

// Device is a device as somebody reads it off.
type Device struct{ Serial, Type string }

// Place is a point of the run, with the number that it should have; 0: the plan has none.
type Place struct {
	Name, Type    string
	Number, Width int
	Module        bool // on a loop of separate ranges its number is one of the modules'
}

// Start is what a run begins with.
type Start struct {
	First                    string // "place": the run names a place, whatever the device; "device": for the device in hand
	Places                   []Place
	Box                      []Device // what the list of the box says; nil: there is no list
	Others                   []Place  // points of the loop that are not of the run, and carry their numbers
	LowestNumber, LastNumber int
	Unset                    int
	Separate                 bool
	Most                     map[string]int // the highest number that a type can be set to
}

// Given is what a hand gives of a device that is done.
type Given struct {
	Place  string
	Device Device
	Back   int  // the number read back; 0: it was not, and counts as the place's
	Sure   bool // it is asked, and the hand is sure
}

// Remark is what is said of it.
type Remark struct{ Code, Grave string }

// Left is a place where nothing done stands.
type Left struct {
	Place   string
	Skipped bool
}

// Line is something done that stands.
type Line struct {
	Place, Serial, Type string
	Number              int
}

// Doubt is what is said of the run as it stands: the code [NumberTaken] or [SerialSeen], and the places it is about.
type Doubt struct {
	Code   string
	Places []string
}

// Bench is what keeps a run. Hands are 0 and 1. An error of Done, Skip, Reject, Undo or Begin means that nothing was written.
type Bench interface {
	Begin(s Start) ([]Remark, error)
	// Hand gives the place that is next; of is the device in hand where the device comes first.
	Hand(who int, of Device) (Place, bool)
	// Done is written unless a remark refuses it, or asks and the hand is not sure.
	Done(who int, g Given) ([]Remark, error)
	Skip(who int, place, reason string) error
	Reject(who int, d Device, reason string) error
	Undo(who int) error
	Left(who int) []Left
	Rejects(who int) []Device
	// Standing gives every Done that is not undone, also where two stand at one place.
	Standing(who int) []Line
	Doubts(who int) []Doubt
	// Cut takes the network from a hand; Merge gives it back, and all is handed in. Merge with network hands in again.
	Cut(who int)
	Merge(who int) error
	// Leave has a hand leave the run and come back to it.
	Leave(who int)
}

// Storage is a bench whose hands can run out of storage; then Done is an error. A bench that has none need not have it.
type Storage interface{ Full(who int, full bool) }
