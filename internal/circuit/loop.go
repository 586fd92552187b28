package circuit

// Loop is a detection loop as a technician walks it, from the panel's OUT terminals to its IN terminals.
type Loop struct {
	Name    string
	Out, In End
	// Points in cable order. A point on a spur follows, in the order of its own cable, the points it is fed
	// through; where the spurs stand in the list does not matter.
	Points    []Point
	Return    Cable // from the last point on the ring back to IN
	Isolators []Isolator
}

// End is a pair of the panel's terminals.
type End struct {
	Volts       Volts // the least that it gives, from the emptiest battery
	High        Volts // the most that it gives, at the highest charge; 0: no more than Volts
	Plus, Minus Ohms  // resistance of the source in each core, filters and terminals included
	Limit       Amps  // what the end can give; 0: not known
}

// Point is a place on the loop: a device, or a mere junction.
type Point struct {
	Name        string
	Spur        string // the ring point that its spur hangs from; empty on the ring itself
	Cable       Cable  // from the point before it on the ring or spur, or from the panel
	Rest, Alarm Load
	Least       Volts // least working volts; 0: not known
	Junction    bool  // no device: a tee, a joint, or an isolator in line

	// What is lost with it.
	Zone, Floor string
	Level       *int    // of the floor, counted upwards; nil: which floors lie beside it is not known
	Area        float64 // square metres that it protects; 0: not known
	Counted     bool    // a detector or call point, which the rules count
}

// Load is what a device draws.
type Load struct {
	Kind  LoadKind
	Value float64 // amps, ohms or watts by kind; 0 draws nothing, whatever the kind
}

// LoadKind says what stays constant when the voltage changes.
type LoadKind uint8

// The kinds of load.
const (
	Current    LoadKind = iota // amps: most electronics
	Resistance                 // ohms: lamps, relays, resistors
	Power                      // watts: what regulates its own supply
)

// In gives a constant current.
func In(a Amps) Load { return Load{Current, float64(a)} }

// Across gives a constant resistance.
func Across(r Ohms) Load { return Load{Resistance, float64(r)} }

// Drawing gives a constant power.
func Drawing(w Watts) Load { return Load{Power, float64(w)} }

// Isolator opens towards a short. An isolator in line, not in a device's base, sits at a point that is a junction.
type Isolator struct {
	Point       string // the name of the point that it is at
	Side        Side
	Plus, Minus Ohms // its resistance while closed, in each core
	IsolatorBounds
}

// IsolatorBounds are what an isolator is declared to do. The quantities are those of EN 54-17:2005 (from memory). What is 0
// is not judged.
type IsolatorBounds struct {
	Holds   Volts // at or above these it stays closed
	Opens   Volts // at or below these it opens
	Closes  Volts // at or above these on its fed side it closes again
	Carries Amps  // while closed
}

// Side says on which side of its point an isolator opens.
type Side uint8

// The sides of a point.
const (
	After  Side = iota // towards IN, or, on a spur, away from the ring
	Before             // towards OUT, or, on a spur, towards the ring
	Base               // both, half of the resistance on each side; the device is fed from whichever side is left
	Branch             // towards the spurs that hang from the point
)

// Segment numbers the cables of a loop: the one that leads to Points[i] is i, the return cable is len(Points).
type Segment int

// ReturnSegment is the number of the cable back to IN.
func (l *Loop) ReturnSegment() Segment { return Segment(len(l.Points)) }

// at finds a point by its name, or -1.
func (l *Loop) at(name string) int {
	for i := range l.Points {
		if l.Points[i].Name == name {
			return i
		}
	}
	return -1
}

// clone copies the loop so that its points, cables and isolators can be changed.
func (l *Loop) clone() Loop {
	copied := *l
	copied.Points = append([]Point(nil), l.Points...)
	copied.Isolators = append([]Isolator(nil), l.Isolators...)
	return copied
}
