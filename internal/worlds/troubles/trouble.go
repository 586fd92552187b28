// Package troubles plants troubles on random loops and scores whoever explains them. It was written from the words of the
// task alone, without sight of the engine that explains, and imports nothing of the program.
//
// What is taken for physics (common practice, no source):
//
//   - A ring is fed from both ends: one opening loses nobody; two lose the stretch between them, and the spurs on it.
//   - A spur is fed from its one device on the ring: an opening loses what is behind it.
//   - A short takes all between the two isolators nearest to it, spurs on that stretch too. An isolator, or a device that
//     has one built in, goes on answering. The panel isolates each end of the ring.
//   - Two or more devices on one number answer as one: the panel finds them unstable, or shows one of them and hides the rest.
//   - A number outside the span is not asked, but for the unset number. A wide device is listed at its first number.
package troubles

// The kinds of cause.
const (
	Unset         = "unset"           // still at the unset number
	Exchanged     = "exchanged"       // two carry each other's number
	Ring          = "ring"            // three or more carry the next one's number, in a circle
	Doubled       = "doubled"         // one carries another's number
	Misset        = "misset"          // one carries a number that nobody should have
	Shifted       = "shifted"         // a run of following numbers is one too high or one too low
	Silent        = "silent"          // one does not answer
	OtherType     = "other-type"      // a device of another type is fitted
	NotOnRegister = "not-on-register" // a device answers that is on no list
	Open          = "open"            // a stretch is lost between two openings, or the rest of a spur
	Short         = "short"           // a stretch between isolators is lost
	MisreadAll    = "misread-all"     // all of a type were set by one misreading
)

// Kinds gives all kinds.
func Kinds() []string {
	return []string{
		Unset, Exchanged, Ring, Doubled, Misset, Shifted, Silent, OtherType, NotOnRegister, Open, Short, MisreadAll,
	}
}

// Type is a type of device.
type Type struct {
	Name   string
	Device string // smoke, heat, multi, call point, sounder, module, isolator
	Module bool   // on a loop of separate ranges its numbers are those of the modules
	Setter string // how it is set: "switches 7", "dials 15", "electronic" and so on; "" of what takes no number
}

// Device is a device of the loop as the register has it. They stand in the order of the cable; those of a spur stand after
// the device it hangs from, the nearest first.
type Device struct {
	Type     string
	Module   bool
	Wanted   int    // its first number; 0: it takes none (a plain isolator)
	Width    int    // how many numbers it takes
	Serial   string // "": the register does not know
	Zone     string
	Spur     int  // index of the device on the ring that its spur hangs from; -1: it is on the ring itself
	Isolates bool // it is an isolator, or has one built in
}

// Loop is a loop as the register has it.
type Loop struct {
	First, Last int
	Unset       int  // 0: none is known
	Separate    bool // detectors and modules have a range each
	Types       []Type
	Devices     []Device
}

// Answer is one line of what was found.
type Answer struct {
	Number   int
	Module   bool   // on a loop of separate ranges: it stands among the modules
	Type     string // "": the list is bare
	Serial   string // "": the list has none
	Unstable bool   // now one answers, now another
}

// Cause is one cause, planted or said.
type Cause struct {
	Kind    string
	Devices []int // indexes of the devices that it touches, in any order; of not-on-register none
	Also    []int // of a planted cause: devices that may be named too (a lost isolator, one of the type that shows nothing)
	Number  int   // of not-on-register: the number at which it answers
	Module  bool  // of not-on-register on a loop of separate ranges: among the modules
}

// Trouble is a loop with what is wrong on it, and what is heard of it.
type Trouble struct {
	Loop
	By      string // panel, or person: a person's list never says unstable
	Answers []Answer
	Truth   []Cause
	// Equal are other explanations, each whole, that give the same answers and are no less likely by the weights of weigh.
	Equal [][]Cause
}

// Explainer gives the causes of what was found, the likeliest first. It must look at Loop and Answers alone.
type Explainer func(Trouble) []Cause
