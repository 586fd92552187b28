package fault

// Kind is a kind of fault.
type Kind uint8

// The kinds. Those of the cable are at a stretch, the others at a device.
const (
	Open Kind = iota + 1
	Short
	Earth
	Contact   // ohms too many at a clamp
	Leakage   // between the cores
	StuckOpen // an isolator
	StuckShut // an isolator; a short beside it shows it
	Double
	Dead
	Polarity
	Overload
	Misset // a device that has a number of nobody

	gone // there was one, and it is not there now; it has no place
)

// Kinds lists them.
func Kinds() []Kind {
	return []Kind{Open, Short, Earth, Contact, Leakage, StuckOpen, StuckShut, Double, Dead, Polarity, Overload, Misset}
}

// Gone says that there is nothing wrong now, and so no place.
func (k Kind) Gone() bool { return k == gone }

// OfCable says whether a kind is at a stretch of cable.
func (k Kind) OfCable() bool { return k >= Open && k <= Leakage }

// kindRow is what a kind is called, and how often it is met before anything is known.
type kindRow struct {
	word string
	// weight is a share of faults met on loops in use; common practice, no source. Loose clamps, water in a joint
	// and devices swapped at a service are what is met most.
	weight float64
}

var kindRows = [...]kindRow{
	Open:      {"a break", 3},
	Short:     {"a short between the cores", 2},
	Earth:     {"a core that touches earth", 3},
	Contact:   {"a bad contact", 2},
	Leakage:   {"leakage between the cores", 1},
	StuckOpen: {"an isolator that stays open", 1},
	StuckShut: {"an isolator that does not open", 1},
	Double:    {"a number given twice", 2},
	Dead:      {"a dead device", 3},
	Polarity:  {"a device joined the wrong way round", 1},
	Overload:  {"a device that draws too much", 1},
	Misset:    {"a device with a wrong number", 2},
	gone:      {"nothing that is wrong now", 0.5},
}

func (k Kind) String() string {
	if int(k) < len(kindRows) && k > 0 {
		return kindRows[k].word
	}
	return "an unknown fault"
}

// Message is what the panel says.
type Message uint8

// The messages.
const (
	Silent Message = iota
	SaysOpen
	SaysShort
	SaysEarth
	SaysDouble
	SaysMissing
	SaysCurrent
	SaysOhms
	Unread // nobody looked
)

// shows is the message by which a panel that is fed from both ends tells of a kind. Common practice, no source.
var shows = [...]Message{
	Open: SaysOpen, Short: SaysShort, Earth: SaysEarth, Contact: SaysOhms, Leakage: SaysCurrent, StuckOpen: SaysOpen,
	StuckShut: SaysShort, Double: SaysDouble, Dead: SaysMissing, Polarity: SaysMissing, Overload: SaysCurrent,
	Misset: SaysMissing, gone: Silent,
}
