package fault

// None is no place.
const None = -1

// Feed is which ends of the loop are plugged in at the panel.
type Feed uint8

// The ways to feed.
const (
	Both Feed = iota
	FromOut
	FromIn
	Off // neither: the meter may be joined
)

// Look is what a step looks at.
type Look uint8

// The looks.
const (
	AtPanel   Look = iota // who answers, what the panel says, what each end gives
	AtVolts               // between the cores at a device's terminals
	AtOhms                // between two of plus, minus and earth; the feed is off
	AtDevice              // its screws, number, polarity, head, isolator, and another one put in to compare
	AtStretch             // along the cable
)

// Leads is what the meter is joined to.
type Leads uint8

// The pairs of leads.
const (
	Cores Leads = iota
	PlusEarth
	MinusEarth
)

// Step is what the technician does next: how the loop is to stand, and what to look at.
type Step struct {
	OpenAt int // the cable behind this device is unplugged; None: nowhere
	Feed   Feed
	Look   Look
	At     int  // the device of AtVolts and AtDevice, the stretch of AtStretch
	ToIn   bool // AtVolts: the terminals towards IN. AtOhms: looking towards IN; without an opening from the OUT end
	Leads  Leads
}

// Answer is what a step told. What was not read is NaN, Unread or nil.
type Answer struct {
	Message     Message
	Answers     []bool // by device
	Twice       int    // the device at whose number two answer, else None
	OutMA, InMA float64
	Volts       float64
	Ohms        float64  // infinite: over the range of the meter
	Found       Kind     // of AtDevice and AtStretch; 0: nothing to be seen
	OnSpurs     []string // what is silent on spurs that begin where a device answers
}

// Asked is a step with its answer.
type Asked struct {
	Step   Step
	Answer Answer
}
