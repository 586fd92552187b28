package hunts

// Feed is which ends of the panel are plugged in.
type Feed string

// The ways to feed.
const (
	Both    Feed = "both"
	FromOUT Feed = "OUT"
	FromIN  Feed = "IN"
	Off     Feed = "off" // neither: the meter may be joined
)

// Look is what a step looks at.
type Look string

// The looks.
const (
	AtPanel   Look = "panel"   // who answers, what the panel says, what each end gives
	AtVolts   Look = "volts"   // between the cores, at a device's terminals towards OUT or IN
	AtOhms    Look = "ohms"    // between two of plus, minus and earth, from the opening or from a panel end; the feed is off
	AtDevice  Look = "device"  // its screws, number, polarity, head, isolator: looked at, and another one put in to compare
	AtStretch Look = "stretch" // along the cable
)

// Leads is what the meter is joined to.
type Leads string

// The pairs of leads.
const (
	Cores      Leads = "plus and minus"
	PlusEarth  Leads = "plus and earth"
	MinusEarth Leads = "minus and earth"
)

// None is no place.
const None = -1

// Step is what the technician does next: how the loop is to stand, and then what to look at. What stands so already
// costs nothing.
type Step struct {
	OpenAt int  // the cable behind this device is unplugged; None: nowhere
	Feed   Feed // which ends are plugged in
	Look   Look
	At     int   // the device of AtVolts and AtDevice, the stretch of AtStretch
	ToIN   bool  // AtVolts: the terminals towards IN. AtOhms: looking towards IN; without an opening from the OUT end
	Leads  Leads // AtOhms
}

// Message is what the panel says.
type Message string

// The messages.
const (
	SaysNothing Message = ""
	SaysOpen    Message = "open on loop"
	SaysShort   Message = "short"
	SaysEarth   Message = "earth fault"
	SaysDouble  Message = "double address"
	SaysMissing Message = "devices missing"
	SaysCurrent Message = "loop current too high"
	SaysOhms    Message = "loop resistance too high"
)

// Answer is what a step tells.
type Answer struct {
	Message Message
	Answers []bool // AtPanel: by device
	Twice   int    // SaysDouble: the device at whose number two answer, else None
	OutMA   float64
	InMA    float64
	Volts   float64
	Ohms    float64 // infinite: over the range of the meter
	Found   Kind    // AtDevice, AtStretch: what is to be seen; empty: nothing
}

// Asked is a step that was done.
type Asked struct {
	Step    Step
	Answer  Answer
	Minutes float64
}

// Verdict ends a hunt: where it is, and how sure.
type Verdict struct {
	Kind Kind
	At   int
	Sure float64 // a share
}

// Finder says what to do next, from all that was done; a verdict ends the hunt, and the step is then of no meaning.
// A finder is made for one case.
type Finder interface {
	Next(asked []Asked) (Step, *Verdict)
}

// Case is what is known at the beginning: the loop as it is written down, which is a little off, and what the panel says
// with both ends plugged in.
type Case struct {
	Ring  Ring
	Panel Answer
}
